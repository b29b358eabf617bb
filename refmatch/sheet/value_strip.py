"""A strip of greys, Munsell values 0 to 10, each with a hole to punch: it finds a value by eye."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.hues import lstar_from_value
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.value_finder import PLAIN, Steps, value_label
from refmatch.sheet.blocks import Text, safe, strong
from refmatch.sheet.pen import INK, LINE, MM, WHITE, Area, Pen

HEIGHT_MM, HOLE_MM, DIGIT_ROW = 20.0, 6.0, 12.0
WHITE_FIGURES_BELOW = 5.0
"""Steps darker than this carry a white figure."""

TITLE = "Value strip"
WORDS = (
    "Cut out along the frame and punch the circles. Hold a step over photo, palette or canvas, "
    "squint, and go along until the hole melts into its step: that is the value, 0 black to 10 "
    "white."
)


def grey_of(value: float) -> Array:
    """Return the Lab of a neutral grey of a Munsell value (ASTM D1535), (3,)."""
    return np.array([float(lstar_from_value(value)), 0.0, 0.0])


def draw_figure(pen: Pen, x: float, y: float, value: float, size: float = 10.0) -> None:
    """Draw a step's value about ``x``, white on the darks."""
    level = WHITE if value < WHITE_FIGURES_BELOW else INK
    pen.word_middle(x, y, value_label(value), size, level=level)


def draw_hole(pen: Pen, x: float, y: float) -> None:
    """Draw the circle to punch, to be seen on any grey."""
    pen.ring(x, y, HOLE_MM / 2.0 * MM, 1.4, WHITE)
    pen.ring(x, y, HOLE_MM / 2.0 * MM, 0.5, INK)


@dataclass(frozen=True)
class ValueStrip:
    """The strip with its words above, ``width`` points across.

    ``steps`` are those of a value finder: what is written on each, and what is sent.
    """

    width: float
    steps: Steps = PLAIN

    @property
    def height(self) -> float:
        """Height in points."""
        return self._head.height + self._said.height + HEIGHT_MM * MM + 5.0

    @property
    def _head(self) -> Text:
        return Text(strong(TITLE), self.width, 9.5)

    @property
    def _said(self) -> Text:
        return Text(safe(WORDS), self.width, 8.0)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the words, then the steps edge to edge."""
        self._head.draw(pen, x, y)
        self._said.draw(pen, x, y + self._head.height)
        y += self._head.height + self._said.height + 4.0
        across, high = self.width / len(self.steps), HEIGHT_MM * MM
        for number, (value, sent) in enumerate(self.steps):
            cell = Area(x + number * across, y, across, high)
            pen.paint(cell, grey_of(sent))
            middle = cell.x + across / 2.0
            draw_figure(pen, middle, y + DIGIT_ROW, value)
            draw_hole(pen, middle, y + DIGIT_ROW + (high - DIGIT_ROW) / 2.0 + 1.0)
        pen.frame(Area(x, y, self.width, high), 0.5, LINE)
