"""The calibration card: laid out, printed, found in a photo again, and read."""
