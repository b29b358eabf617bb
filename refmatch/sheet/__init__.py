"""The mixing sheet: what is said of a painting, as PDF, text and plain data."""
