"""Ways to find the light of a photo."""
