"""The server behind the painter's page: who may come in, what may be asked, and how it is told."""
