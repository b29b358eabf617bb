"""Every cheap recipe of a box, with its colour, laid out so that the nearest are found at once."""
