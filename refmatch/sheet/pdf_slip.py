"""One slip: a colour, the parts that make it, the way there, and room for the painter's dabs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from refmatch.sheet.blocks import Block, Row, Stack, Text, safe, strong
from refmatch.sheet.content import Slip
from refmatch.sheet.fonts import BOLD
from refmatch.sheet.pdf_history import history_block
from refmatch.sheet.pdf_slip_rows import AlternativeRow, Bar, PartRow, StepRow, Title, WarningRow
from refmatch.sheet.pen import GROUND, SOFT, WHITE, Area, Pen

PANEL, DABS, GAP = 0.205, 0.105, 12.0
"""Shares of the slip's width for the colour and for the dabs; points between columns."""


@dataclass(frozen=True)
class SlipBlock:
    """A slip of a width; ``scale`` enlarges its words where there is room."""

    slip: Slip
    width: float
    scale: float = 1.0

    @property
    def height(self) -> float:
        """The least height in which everything stands."""
        return max(self._middle.height, 128.0 * self.scale)

    def draw_in(self, pen: Pen, area: Area) -> None:
        """Draw the slip in an area at least as high as it; colour and dabs grow with it."""
        panel, dabs = PANEL * area.width, DABS * area.width
        _draw_panel(pen, Area(area.x, area.y, panel, area.height), self.slip)
        self._middle.draw(pen, area.x + panel + GAP, area.y)
        _draw_dabs(pen, Area(area.right - dabs, area.y, dabs, area.height))

    @cached_property
    def _middle(self) -> Stack:
        across = self.width * (1.0 - PANEL - DABS) - 2.0 * GAP
        slip, scale = self.slip, self.scale
        return Stack(
            (
                _head(slip, across, scale),
                *_recipe(slip, across, scale),
                *_below(slip, across, scale),
            ),
            gap=5.0 * scale,
        )


def _head(slip: Slip, width: float, scale: float) -> Block:
    neighbours = tuple(Text(safe(line), width, 8.5 * scale) for line in slip.neighbours)
    numbers = f'<font size="{7.5 * scale:g}">{safe(slip.target_numbers)}</font>'
    words = Text(f"{safe(slip.words)} &nbsp; {numbers}", width, 10.0 * scale)
    return Stack(
        (Title(slip.number, slip.label, width, 12.5 * scale), words, *neighbours),
        gap=1.5 * scale,
    )


def _recipe(slip: Slip, width: float, scale: float) -> tuple[Block, ...]:
    """Return parts and steps side by side, and the verdict where it takes the least room."""
    across = (width - GAP) / 2.0
    rows = (PartRow(part, across, scale) for part in slip.parts)
    total = Text(safe(slip.total), across, 8.0 * scale, level=SOFT)
    recipe = Stack((Bar(slip.parts, across, 9.0 * scale), *rows, total), gap=2.5 * scale)
    steps = Stack(tuple(StepRow(step, across, scale) for step in slip.steps), gap=3.0 * scale)
    under_recipe = Stack((recipe, _verdict(slip, across, scale)), gap=5.0 * scale)
    if under_recipe.height <= steps.height:
        return (Row(((0.0, under_recipe), (across + GAP, steps))),)
    both = Row(((0.0, recipe), (across + GAP, steps)))
    return (both, _verdict(slip, width, scale))


def _verdict(slip: Slip, width: float, scale: float) -> Block:
    figures = f"{strong(slip.distance)} ({safe(slip.differences)})."
    told = f"{figures} Mix beside photo: {safe(slip.difference)}. {safe(slip.trade)}".rstrip()
    return Text(told if slip.distance else "", width, 8.5 * scale)


def _below(slip: Slip, width: float, scale: float) -> tuple[Block, ...]:
    size = 8.5 * scale
    others = tuple(AlternativeRow(other, width, size) for other in slip.alternatives)
    reach = (WarningRow(slip.out_of_reach, width, size, BOLD),) if slip.out_of_reach else ()
    flags = tuple(WarningRow(text, width, size) for text in slip.flags)
    looks = history_block(slip, width, size)
    return (looks, Stack(others, gap=3.0), Stack((*reach, *flags), gap=2.0))


def _draw_panel(pen: Pen, area: Area, slip: Slip) -> None:
    """Draw the colour on neutral grey: photo and mix edge to edge, with no line between."""
    pen.grey(area, GROUND)
    patch = Area(area.x + 11.0, area.y + 11.0, area.width - 22.0, area.height - 34.0)
    half = Area(patch.x, patch.y, patch.width / 2.0, patch.height)
    pen.paint(patch, slip.target)
    below = patch.bottom + 15.0
    if slip.mix is None:
        pen.word_middle(patch.x + half.width, below, "photo", 9.0, BOLD, level=WHITE)
        return
    pen.paint(Area(half.right, half.y, half.width, half.height), slip.mix)
    pen.word_middle(half.x + half.width / 2.0, below, "photo", 9.0, BOLD)
    pen.word_middle(half.right + half.width / 2.0, below, "mix", 9.0, BOLD)


def _draw_dabs(pen: Pen, area: Area) -> None:
    """Draw three empty places for the painter's own dabs."""
    pen.word(area.x, area.y + 8.0, "your dabs", 8.0, level=SOFT)
    gap, top = 6.0, 12.0
    side = (area.height - top - 2.0 * gap) / 3.0
    for row in range(3):
        y = area.y + top + row * (side + gap)
        pen.frame(Area(area.x, y, area.width, side), 0.5, SOFT)
