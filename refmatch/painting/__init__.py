"""The painting folder: everything found out about one photo, kept safe between sessions."""
