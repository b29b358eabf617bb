"""Rectangles on a printed page, in millimetres from its top left corner."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array


@dataclass(frozen=True, slots=True)
class Place:
    """A rectangle on the page."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float

    @property
    def right_mm(self) -> float:
        """The right edge."""
        return self.x_mm + self.width_mm

    @property
    def bottom_mm(self) -> float:
        """The lower edge."""
        return self.y_mm + self.height_mm

    @property
    def corners_mm(self) -> Array:
        """The corners, (4, 2), clockwise from the top left."""
        left, top, right, bottom = self.x_mm, self.y_mm, self.right_mm, self.bottom_mm
        return np.array([[left, top], [right, top], [right, bottom], [left, bottom]])

    @property
    def centre_mm(self) -> Array:
        """The middle, (2,)."""
        return self.corners_mm.mean(axis=0)

    def inset(self, by_mm: float) -> Place:
        """Return the rectangle with ``by_mm`` taken off each side."""
        width, height = self.width_mm - 2.0 * by_mm, self.height_mm - 2.0 * by_mm
        return Place(self.x_mm + by_mm, self.y_mm + by_mm, width, height)

    def overlaps(self, other: Place) -> bool:
        """Say whether two rectangles share more than an edge."""
        across = min(self.right_mm, other.right_mm) - max(self.x_mm, other.x_mm)
        down = min(self.bottom_mm, other.bottom_mm) - max(self.y_mm, other.y_mm)
        return min(across, down) > 1e-9
