"""The tubes of a plan's palette, what each is worth, and what other palettes do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from refmatch.sheet.blocks import Block, Stack, Text, safe, strong
from refmatch.sheet.pen import SOFT, Pen
from refmatch.sheet.plan_content import TubeLine

DABS = 40.0
"""Points for the masstone and the tint."""


def tube_rows(tubes: Sequence[TubeLine], width: float) -> Sequence[Block]:
    """Return a row a tube, in the order to lay them out."""
    return [TubeRow(tube, width) for tube in tubes]


def known_block(title: str, lines: Sequence[str], width: float) -> Block:
    """Return a small heading and its lines."""
    if not lines:
        return Stack(())
    rows = (Text(safe(line), width, 8.5, leading=1.2) for line in lines)
    return Stack((Text(strong(title), width, 9.5), *rows), gap=2.5)


@dataclass(frozen=True)
class TubeRow:
    """A tube: masstone and tint, its name, how much of it, and what is lost without it."""

    line: TubeLine
    width: float

    @cached_property
    def _words(self) -> Stack:
        line, across = self.line, self.width - DABS
        told = "; ".join(part for part in (line.amount, line.without) if part)
        return Stack(
            (
                Text(strong(line.tube), across, 9.5, leading=1.15),
                Text(safe(told), across, 8.5, leading=1.15, level=SOFT),
            ),
            gap=0.5,
        )

    @property
    def height(self) -> float:
        """Height in points."""
        return max(self._words.height, 20.0) + 5.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        middle = y + 11.5
        pen.dab(x + 24.5, middle + 4.0, 5.0, self.line.tint)
        pen.dab(x + 11.0, middle, 9.5, self.line.masstone)
        self._words.draw(pen, x + DABS, y + 1.0)
