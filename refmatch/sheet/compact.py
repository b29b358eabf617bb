"""A slip kept small: what the hand needs, with a swatch just large enough to judge by.

Meant for a third of the ink and for several to a page: no bar, no colour after each step, one
place for a dab, nothing on what the other ways turn under lamps.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import ClassVar

from refmatch.sheet.blocks import Block, Row, Stack, Text, safe, strong
from refmatch.sheet.content import Slip
from refmatch.sheet.pen import BOLD, GROUND, SOFT, Area, Pen
from refmatch.sheet.slip import PartRow, Title, WarningRow, history_block, verdict_words

SWATCH, RIM, DAB, GAP = 50.0, 3.5, 30.0, 11.0
"""Points: side of the swatch, grey around it, height of the place for a dab, between columns."""

PARTS, STEPS = 0.24, 0.27
"""Shares of the words' width for the parts and for the steps; the verdict takes the rest."""


@dataclass(frozen=True)
class CompactBlock:
    """A small slip of a width; ``scale`` enlarges its words where there is room."""

    gap: ClassVar[float] = 12.0
    """Points between two of them on a page."""

    slip: Slip
    width: float
    scale: float = 1.0

    @property
    def height(self) -> float:
        """The least height in which everything stands."""
        return max(self._words.height, SWATCH + 12.0 + DAB)

    def draw_in(self, pen: Pen, area: Area) -> None:
        """Draw the slip in an area at least as high as it; the place for a dab grows with it."""
        _draw_swatch(pen, Area(area.x, area.y, SWATCH, SWATCH), self.slip)
        pen.word(area.x, area.y + SWATCH + 8.5, "your dab", 7.0, level=SOFT)
        high = area.height - SWATCH - 11.0
        pen.frame(Area(area.x, area.y + SWATCH + 11.0, SWATCH, min(high, 2.0 * DAB)), 0.5, SOFT)
        self._words.draw(pen, area.x + SWATCH + GAP, area.y)

    @cached_property
    def _words(self) -> Stack:
        slip, scale, across = self.slip, self.scale, self.width - SWATCH - GAP
        size = 7.5 * scale
        flags = tuple(WarningRow(text, across, size) for text in slip.flags)
        reach = slip.out_of_reach
        warnings = (WarningRow(reach, across, size, BOLD), *flags) if reach else flags
        figures = Text(safe(slip.figures), across, 6.0 * scale, level=SOFT)
        looks = history_block(slip, across, size)
        columns = self._columns(across, size)
        return Stack((columns, Stack(warnings, gap=1.0), looks, figures), gap=3.0)

    def _columns(self, across: float, size: float) -> Block:
        """Return name, parts and steps beside the verdict and the other ways."""
        slip, scale = self.slip, self.scale
        parts, steps = PARTS * (across - 2.0 * GAP), STEPS * (across - 2.0 * GAP)
        left, rest = parts + GAP + steps, across - parts - steps - 2.0 * GAP
        lines = (slip.words, slip.one_puddle, slip.layer, *slip.neighbours)
        words = Text(safe(" · ".join(line for line in lines if line)), left, 8.0 * scale)
        rows = tuple(PartRow(part, parts, 0.68 * scale) for part in slip.parts)
        total = Text(safe(slip.total), parts, 7.0 * scale, level=SOFT)
        straight = Text(safe(slip.straight), rest, size)
        told = " ".join(
            f"<b>{number}</b>&nbsp;{safe(' '.join((step.words, *step.warnings)))}"
            for number, step in enumerate(slip.steps, start=1)
        )
        recipe = Row(
            (
                (0.0, Stack((*rows, total), gap=0.5)),
                (parts + GAP, Text(told, steps, size)),
            )
        )
        verdict = Text(verdict_words(replace(slip, trade="")), rest, size)
        others = (
            Text(f"{strong(other.why)}: {safe(replace(other, remarks='').words)}", rest, size)
            for other in slip.alternatives
        )
        title = Title(slip.number, slip.label, left, 10.5 * scale)
        return Row(
            (
                (0.0, Stack((title, words, recipe), gap=2.5)),
                (left + GAP, Stack((verdict, straight, *others), gap=2.0)),
            )
        )


def _draw_swatch(pen: Pen, area: Area, slip: Slip) -> None:
    """Draw photo and mix edge to edge on a rim of neutral grey."""
    pen.grey(area, GROUND)
    field = area.inset(RIM)
    pen.paint(field, slip.target)
    if slip.mix is not None:
        half = field.width / 2.0
        pen.paint(Area(field.x + half, field.y, half, field.height), slip.mix)
