"""A puddle's history on its slip: target and dab edge to edge, and what was done then."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from refmatch.sheet.blocks import Block, Stack, Text, safe, strong
from refmatch.sheet.content import RoundLine, Slip
from refmatch.sheet.pen import SOFT, Area, Pen

TITLE = "Looked at"
HALVES = "Left the target, right the dab."


def history_block(slip: Slip, width: float, size: float) -> Block:
    """Return the slip's rounds, oldest first; nothing where no dab was looked at."""
    if not slip.history:
        return Stack(())
    told = " ".join(word for word in (HALVES, f"{slip.earlier}." if slip.earlier else "") if word)
    title = Text(f"{strong(TITLE)} &nbsp; {safe(told)}", width, size, level=SOFT)
    return Stack((title, *(RoundRow(each, width, size) for each in slip.history)), gap=2.5)


@dataclass(frozen=True)
class RoundRow:
    """One dab: its two colours, the day, how far off it was, and what was done."""

    round: RoundLine
    width: float
    size: float

    @cached_property
    def _words(self) -> Text:
        told = f"{self.round.words}; {self.round.done}" if self.round.done else self.round.words
        markup = f"{strong(self.round.when)}: {safe(told)}."
        return Text(markup, self.width - 4.1 * self.size, self.size)

    @property
    def height(self) -> float:
        """Height in points."""
        return max(self._words.height, 1.7 * self.size)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        side = 1.7 * self.size
        pen.paint(Area(x, y, side, side), self.round.target)
        pen.paint(Area(x + side, y, side, side), self.round.seen)
        pen.frame(Area(x, y, 2.0 * side, side), 0.4)
        slack = max(side - self._words.height, 0.0) / 2.0
        self._words.draw(pen, x + 4.1 * self.size, y + slack)
