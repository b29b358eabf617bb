"""Pigments, tubes and the light in a paint film."""
