"""The scene seen straight from above, before any lens: a picture measured in millimetres."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.card import Rectangle

PX_PER_MM = 12


@dataclass(frozen=True)
class Patch:
    """A part of the raster: where to find it, and each pixel's place on the page in mm."""

    rows: slice
    columns: slice
    x_mm: Array
    y_mm: Array


@dataclass(frozen=True, eq=False)
class Raster:
    """Layers are laid on ``surface``, in the camera's linear light; ``lit`` is the light there.

    The page's corner is (0, 0) mm; the raster begins at ``left_mm``, ``top_mm``.
    """

    left_mm: float
    top_mm: float
    surface: Array
    lit: Array

    @classmethod
    def around(cls, place: Rectangle) -> Raster:
        """Return an empty raster, evenly lit."""
        shape = (round(place.height_mm * PX_PER_MM), round(place.width_mm * PX_PER_MM))
        surface = np.zeros((*shape, 3), np.float32)
        return cls(place.x_mm, place.y_mm, surface, np.ones(shape, np.float32))

    @property
    def whole(self) -> Patch:
        """All of it."""
        rows, columns = self.lit.shape
        return self._patch(0, rows, 0, columns)

    def patch(self, place: Rectangle, margin_mm: float = 0.0) -> Patch:
        """Return the part that holds a place and a margin around it."""
        wide = place.inset(-margin_mm)
        top, bottom = ((y - self.top_mm) * PX_PER_MM for y in (wide.y_mm, wide.bottom_mm))
        left, right = ((x - self.left_mm) * PX_PER_MM for x in (wide.x_mm, wide.right_mm))
        return self._patch(int(top), int(bottom) + 1, int(left), int(right) + 1)

    def _patch(self, top: int, bottom: int, left: int, right: int) -> Patch:
        x = self.left_mm + (np.arange(left, right, dtype=np.float32) + 0.5) / PX_PER_MM
        y = self.top_mm + (np.arange(top, bottom, dtype=np.float32) + 0.5) / PX_PER_MM
        return Patch(slice(top, bottom), slice(left, right), *np.meshgrid(x, y))

    def lay(self, patch: Patch, cover: Array, colour: Array) -> None:
        """Lay a colour, (3,) or (rows, columns, 3), over a patch where ``cover`` is 1."""
        below = self.surface[patch.rows, patch.columns]
        below += cover[..., None] * (colour - below)

    def light(self, patch: Patch, factor: Array) -> None:
        """Multiply the light on a patch."""
        self.lit[patch.rows, patch.columns] *= factor

    def cast(self, patch: Patch, thing: Array, height_mm: float, dark: float) -> None:
        """Cast a thing's soft shadow to the lower right, the light coming from the upper left."""
        self.light(patch, 1.0 - dark * shadow_of(thing, height_mm))

    def fresh(self, patch: Patch, cover: Array) -> None:
        """Take off what shadow lay where a thing now covers it: the thing lies above."""
        below = self.lit[patch.rows, patch.columns]
        below += cover * (1.0 - below)


def shadow_of(thing: Array, height_mm: float) -> Array:
    """Return where a thing of that height keeps the window's light away, 0 to 1."""
    away = height_mm * PX_PER_MM
    move = np.array([[1.0, 0.0, 0.9 * away], [0.0, 1.0, 0.6 * away]])
    moved = cv2.warpAffine(thing.astype(np.float32), move, thing.shape[::-1])
    return cv2.GaussianBlur(moved, (0, 0), max(0.55 * away, 0.6))


def rectangle(patch: Patch, place: Rectangle, wander: Array | float = 0.0) -> Array:
    """Return the cover, 0 to 1, of a rectangle; ``wander`` (mm) moves its edges out."""
    inside = np.minimum.reduce(
        [
            patch.x_mm - place.x_mm,
            place.right_mm - patch.x_mm,
            patch.y_mm - place.y_mm,
            place.bottom_mm - patch.y_mm,
        ]
    )
    return np.clip((inside + wander) * PX_PER_MM + 0.5, 0.0, 1.0).astype(np.float32)


def turned(patch: Patch, about: Array, degrees: float) -> Patch:
    """Return a patch whose places are turned about a point: what is drawn on it lies aslant."""
    cos, sin = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    x, y = patch.x_mm - about[0], patch.y_mm - about[1]
    return Patch(
        patch.rows, patch.columns, about[0] + cos * x + sin * y, about[1] - sin * x + cos * y
    )
