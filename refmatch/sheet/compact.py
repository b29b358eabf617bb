"""A slip kept small: what the hand needs, with a swatch just large enough to judge by.

Meant for a third of the ink and for two columns to a page: no bar, no colour after each step,
one place for a dab, one other way at most. A puddle that a plan draws from another has none:
its own tubes are told instead.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import ClassVar

from refmatch.sheet.blocks import Block, Stack, Text, safe, strong
from refmatch.sheet.content import Slip
from refmatch.sheet.pen import BOLD, GROUND, SOFT, Area, Pen
from refmatch.sheet.slip import Title, WarningRow, history_block, verdict_words

SWATCH, RIM, DAB, GAP = 50.0, 3.5, 24.0, 9.0
"""Points: side of the swatch, grey around it, height of the place for a dab, before the words."""

TALL = 38.0
"""Height of the swatch in points."""


@dataclass(frozen=True)
class CompactBlock:
    """A small slip of a width; ``scale`` enlarges its words where there is room."""

    gap: ClassVar[float] = 12.0
    """Points between two of them on a page."""
    most_stretch: ClassVar[float] = 36.0
    """Points by which one grows to fill a page; more becomes room for trials."""

    slip: Slip
    width: float
    scale: float = 1.0

    @property
    def height(self) -> float:
        """The least height in which everything stands."""
        return max(self._words.height, TALL + 11.0 + DAB)

    def draw_in(self, pen: Pen, area: Area) -> None:
        """Draw the slip in an area at least as high as it; the place for a dab grows with it."""
        _draw_swatch(pen, Area(area.x, area.y, SWATCH, TALL), self.slip)
        pen.word(area.x, area.y + TALL + 8.5, "your dab", 7.0, level=SOFT)
        high = area.height - TALL - 11.0
        pen.frame(Area(area.x, area.y + TALL + 11.0, SWATCH, min(high, 2.0 * DAB)), 0.5, SOFT)
        self._words.draw(pen, area.x + SWATCH + GAP, area.y)

    @cached_property
    def _words(self) -> Stack:
        slip, scale, across = self.slip, self.scale, self.width - SWATCH - GAP
        size = 7.5 * scale
        lines = " ".join(line for line in (slip.one_puddle, slip.layer, *slip.neighbours) if line)
        words = f"{slip.words}. {lines}" if slip.words and lines else slip.words or lines
        steps = " ".join(
            f"<b>{number}</b>&nbsp;{safe(' '.join((step.words, *step.warnings)))}"
            for number, step in enumerate(slip.steps, start=1)
        )
        reach = slip.out_of_reach
        return Stack(
            (
                Title(slip.number, slip.label, across, 10.0 * scale),
                Text(safe(words), across, size),
                self._parts(across),
                Text(steps, across, size),
                Text(verdict_words(replace(slip, trade="")), across, size),
                self._other_way(across, size),
                WarningRow(reach, across, size, BOLD) if reach else Stack(()),
                *(WarningRow(text, across, size) for text in slip.flags),
                history_block(slip, across, size),
                Text(safe(slip.figures), across, 6.0 * scale, level=SOFT),
            ),
            gap=2.0 * scale,
        )

    def _parts(self, across: float) -> Block:
        """Return all that goes in, one after the other, its figures bold."""
        parts = [f"<b>{safe(p.figure)}</b>&nbsp;{safe(p.words)}" for p in self.slip.parts]
        return Text(" + ".join(parts), across, 9.5 * self.scale, leading=1.2)

    def _other_way(self, across: float, size: float) -> Block:
        """Return a drawn puddle's tubes, or the first of the other ways."""
        if self.slip.straight or not self.slip.alternatives:
            return Text(safe(self.slip.straight), across, size)
        other = self.slip.alternatives[0]
        words = f"{strong(f'Or {other.why}')}: {safe(replace(other, remarks='').words)}"
        return Text(words, across, size)


def _draw_swatch(pen: Pen, area: Area, slip: Slip) -> None:
    """Draw photo and mix edge to edge on a rim of neutral grey."""
    pen.grey(area, GROUND)
    field = area.inset(RIM)
    pen.paint(field, slip.target)
    if slip.mix is not None:
        half = field.width / 2.0
        pen.paint(Area(field.x + half, field.y, half, field.height), slip.mix)
