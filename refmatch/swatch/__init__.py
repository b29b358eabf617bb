"""Dabs that were photographed: what they say of the paints, though nobody knows the camera."""
