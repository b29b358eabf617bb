"""From a reference photo to puddles of the right colour, mixed from the tubes a painter owns."""

__version__ = "0.1.0"
