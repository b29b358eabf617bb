"""The painting folder: everything found out about one photo, kept safe from day to day."""
