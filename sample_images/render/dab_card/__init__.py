"""A phone photo of a painted dab card: the first two puddles of the garden table."""
