"""The printed cards: laid out, printed, found in a photo again, and read."""
