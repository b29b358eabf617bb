"""The painting folder: what is remembered of one picture."""
