"""Every sentence a painter reads, once, by the name of its flag or error."""
