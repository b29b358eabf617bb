"""The key on its page: a ladder of the targets by value, photo and keyed edge to edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from refmatch.sheet.blocks import Block, Stack, Text, safe, strong
from refmatch.sheet.fonts import BOLD
from refmatch.sheet.pen import GROUND, SOFT, Area, Pen
from refmatch.sheet.plan_content import KeyLine, KeyShown

SIDE, RIM, LEAST = 58.0, 5.0, 21.0
"""Points: width of one swatch, of the grey at either side, least height of a row."""

SEAM = 0.3
"""Points by which a row runs under the next, so that no paper shows between them."""

BADGE = 26.0
TOLD = RIM * 2.0 + SIDE * 2.0 + BADGE + 8.0
"""Where the words begin."""


def key_rows(key: KeyShown, width: float) -> Sequence[Block]:
    """Return the ladder, a row a target, the lightest on top."""
    return (_Heads(), *(KeyRow(line, width) for line in key.lines))


class _Heads:
    """What the two columns of swatches are."""

    height = 12.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        left = x + BADGE + RIM
        pen.word(left, y + 8.5, "photo", 8.0, level=SOFT)
        pen.word(left + SIDE, y + 8.5, "keyed", 8.0, level=SOFT)


@dataclass(frozen=True)
class KeyRow:
    """A target: its number, photo and keyed side by side, and both values."""

    line: KeyLine
    width: float

    @cached_property
    def _words(self) -> Stack:
        line, across = self.line, self.width - TOLD
        told = f"{strong(line.label)} &nbsp; {safe(line.values)}"
        if len(line.label) > 60:
            told = strong(line.label)
        blocks: list[Block] = [Text(told, across, 9.0, leading=1.15)]
        if len(line.label) > 60:
            blocks.append(Text(safe(line.values), across, 9.0, leading=1.15))
        blocks += [Text(safe(caution), across, 8.0, level=SOFT) for caution in line.cautions]
        return Stack(tuple(blocks), gap=1.0)

    @property
    def height(self) -> float:
        """Height in points."""
        return max(LEAST, self._words.height + 6.0)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row; its swatches meet those above and below."""
        left, high = x + BADGE, self.height
        pen.grey(Area(left, y, 2.0 * (RIM + SIDE), high + SEAM), GROUND)
        pen.paint(Area(left + RIM, y, SIDE, high + SEAM), self.line.before)
        pen.paint(Area(left + RIM + SIDE, y, SIDE, high + SEAM), self.line.after)
        pen.badge(x, y + high / 2.0 - 6.1, str(self.line.number), 9.0, BOLD)
        self._words.draw(pen, x + TOLD, y + (high - self._words.height) / 2.0)
