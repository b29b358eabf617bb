"""Strings as ladders: a local colour from light to shadow, photo and puddle edge to edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from refmatch.sheet.blocks import Block, Stack, Text, safe, strong
from refmatch.sheet.fonts import BOLD
from refmatch.sheet.pdf_plan_key import SEAM
from refmatch.sheet.pen import GROUND, SOFT, Area, Pen
from refmatch.sheet.plan_content import StringLine, StringShown
from refmatch.sheet.plan_palette import slips

FIGURE, SIDE, RIM, LEAST = 24.0, 58.0, 5.0, 27.0
TOLD = FIGURE + 2.0 * (RIM + SIDE) + 8.0


def string_rows(string: StringShown, width: float) -> Sequence[Block]:
    """Return a heading and a row a step, the lightest on top."""
    told = f"{slips(string.numbers)}. {string.words}"
    head = Text(f"{strong(string.label)} &nbsp; {safe(told)}", width, 9.5)
    return (_Below(head), *(StringRow(step, width) for step in string.steps))


@dataclass(frozen=True)
class _Below:
    """A heading with room below it."""

    head: Text

    @property
    def height(self) -> float:
        return self.head.height + 4.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        self.head.draw(pen, x, y)


@dataclass(frozen=True)
class StringRow:
    """One rung: its number, the photo's colour and the puddle's, and how it is drawn."""

    step: StringLine
    width: float

    @cached_property
    def _words(self) -> Stack:
        across = self.width - TOLD
        return Stack(
            (
                Text(safe(self.step.words), across, 9.5, leading=1.15),
                Text(safe(self.step.told), across, 8.0, level=SOFT),
            ),
            gap=1.0,
        )

    @property
    def height(self) -> float:
        """Height in points."""
        return max(LEAST, self._words.height + 5.0)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the rung; it meets those above and below."""
        left, high = x + FIGURE, self.height
        pen.grey(Area(left, y, 2.0 * (RIM + SIDE), high + SEAM), GROUND)
        pen.paint(Area(left + RIM, y, SIDE, high + SEAM), self.step.wanted)
        pen.paint(Area(left + RIM + SIDE, y, SIDE, high + SEAM), self.step.mix)
        pen.word(x, y + high / 2.0 + 4.0, f"{self.step.order}.", 11.0, BOLD)
        self._words.draw(pen, x + TOLD, y + (high - self._words.height) / 2.0)
