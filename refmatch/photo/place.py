"""Places on a photo as a painter writes them: ``X,Y``, ``X%,Y%``, with a width and a name.

They are counted from the upper left corner of what the painter sees, the photo
upright and cropped: that corner is (0, 0), the middle of the first pixel (0.5, 0.5).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from refmatch.errors import UsageError
from refmatch.photo.hole import DEFAULT_DIAMETER_PERCENT, LEAST_DIAMETER_PX, Hole
from refmatch.photo.photo import Photo

# A length on a photo, in pixels or as a percentage of a side.


@dataclass(frozen=True, slots=True)
class Length:
    """A number of pixels, or a percentage of some whole."""

    number: float
    percent: bool

    def px(self, whole_px: float) -> float:
        """Return the length in pixels, ``whole_px`` being the whole."""
        return self.number * whole_px / 100.0 if self.percent else self.number


def parse_length(text: str) -> Length:
    """Read ``12``, ``12.5`` or ``12.5%``.

    Raises:
        ValueError: not a finite number.
    """
    text = text.strip()
    percent = text.endswith("%")
    number = float(text[:-1] if percent else text)
    if not math.isfinite(number):
        raise ValueError(text)
    return Length(number, percent)


@dataclass(frozen=True, slots=True)
class Place:
    """A round place as written, before it is known how large the photo is."""

    x: Length
    y: Length
    diameter: Length | None = None
    label: str | None = None

    def on(self, photo: Photo, label: str = "1") -> Hole:
        """Return the hole on this photo; ``label`` names it where the place has no name."""
        shorter_px = min(photo.width_px, photo.height_px)
        return Hole(
            x_px=self.x.px(photo.width_px),
            y_px=self.y.px(photo.height_px),
            diameter_px=self._diameter_px(shorter_px),
            label=self.label or label,
        )

    def _diameter_px(self, shorter_px: int) -> float:
        diameter = self.diameter or Length(DEFAULT_DIAMETER_PERCENT, percent=True)
        width_px = diameter.px(shorter_px)
        return max(width_px, LEAST_DIAMETER_PX) if diameter.percent else width_px


def parse_place(text: str) -> Place:
    """Read ``X,Y[,DIAMETER][=LABEL]``; split at the last ``=``.

    Raises:
        UsageError: anything else, a diameter of nothing, or an empty label.
    """
    place, equals, label = text.rpartition("=")
    if not equals:
        place, label = text, ""
    parts = place.split(",")
    try:
        lengths = [parse_length(part) for part in parts]
        well_formed = len(parts) in (2, 3) and bool(label.strip()) == bool(equals)
    except ValueError:
        well_formed = False
    if not well_formed:
        raise UsageError("place_malformed", written=text)
    diameter = lengths[2] if len(lengths) == 3 else None
    if diameter is not None and diameter.number <= 0.0:
        raise UsageError("place_without_width", written=text)
    return Place(lengths[0], lengths[1], diameter, label.strip() or None)
