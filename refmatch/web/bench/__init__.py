"""Boxes of the painter's own tubes in the making: card, photos, mends, and the box."""
