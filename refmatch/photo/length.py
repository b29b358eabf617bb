"""A length on a photo, in pixels or as a percentage of a side."""

from __future__ import annotations

import math
from dataclasses import dataclass


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
