"""Checking on the page: a photo of dabs laid on the table, judged, and what was done then."""
