"""The dab card: a window for each target's dab, so that one photo shows a painting's puddles."""
