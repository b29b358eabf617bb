"""A phone photo of the painted calibration card: the card itself, invented tubes, a table."""
