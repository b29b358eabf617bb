"""The page of layers, from the canvas up: what is laid in each, how fat, how long it dries."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from refmatch.sheet.blocks import Block, Stack, Text, safe, strong
from refmatch.sheet.content import CoatLine, Content, GroundShown, LayerLine, LayersShown
from refmatch.sheet.pen import BOLD, GROUND, INK, PLAIN, SOFT, Area, Pen, width
from refmatch.sheet.plan_pages import CLOSE, SECTION, Piece, PlanPage, paged
from refmatch.sheet.slip import WarningRow

OIL_LONG, OIL_HIGH = 120.0, 7.0
"""Points: the bar that shows how fat a layer is, as long as paint all of oil would be."""

SWATCH, SWATCH_HIGH, RIM = 40.0, 18.0, 3.0
WORDS_AT = 26.0 + SWATCH + 8.0
"""Points: number, swatch on its grey, then the words."""


@dataclass(frozen=True)
class LayerHead:
    """A layer's name, and the bar of its oil."""

    line: LayerLine
    across: float
    height: float = 17.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the name at the left, the bar at the right."""
        pen.word(x, y + 12.5, self.line.name, 12.0, BOLD)
        figure = f"oil {100.0 * self.line.oil:.0f} %"
        right = x + self.across
        pen.word_right(right, y + 12.0, figure, 8.5, PLAIN)
        bar = Area(right - width("oil 100 %", PLAIN, 8.5) - 6.0 - OIL_LONG, y + 5.5, OIL_LONG, 7.0)
        pen.grey(Area(bar.x, bar.y, bar.width * self.line.oil, OIL_HIGH), SOFT)
        pen.frame(bar, 0.5, INK)


@dataclass(frozen=True)
class CoatRow:
    """A puddle of a layer: its number, its colour, its medium and its drying."""

    line: CoatLine
    across: float

    @cached_property
    def _words(self) -> Text:
        words = f"{strong(self.line.label)} &nbsp; {safe(self.line.words)}"
        return Text(words, self.across - WORDS_AT, 9.0, leading=1.15)

    @property
    def height(self) -> float:
        """Height in points."""
        return max(SWATCH_HIGH, self._words.height + 4.0)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row; its grey meets those above and below."""
        high = self.height
        field = Area(x + 26.0, y, SWATCH, high + 0.3)
        pen.grey(field, GROUND)
        pen.paint(Area(field.x + RIM, y + 1.5, SWATCH - 2.0 * RIM, high - 3.0), self.line.mix)
        pen.badge(x, y + high / 2.0 - 6.1, str(self.line.number), 9.0, BOLD)
        self._words.draw(pen, x + WORDS_AT, y + (high - self._words.height) / 2.0)


DAB, DAB_GAP, GROUND_RIM = 34.0, 10.0, 14.0


@dataclass(frozen=True)
class GroundBlock:
    """The targets on the canvas's ground, each with its number."""

    ground: GroundShown
    across: float

    @property
    def _columns(self) -> int:
        return max(1, int((self.across - 2.0 * GROUND_RIM + DAB_GAP) // (DAB + DAB_GAP)))

    @property
    def height(self) -> float:
        """Height in points."""
        rows = -(-len(self.ground.targets) // self._columns)
        return rows * (DAB + 12.0 + DAB_GAP) - DAB_GAP + 2.0 * GROUND_RIM

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the ground, then a dab a target."""
        pen.paint(Area(x, y, self.across, self.height), np.array(self.ground.lab))
        level = 0.0 if self.ground.lab[0] > 45.0 else 1.0
        for place, (number, lab) in enumerate(self.ground.targets):
            row, column = divmod(place, self._columns)
            left = x + GROUND_RIM + column * (DAB + DAB_GAP)
            top = y + GROUND_RIM + row * (DAB + 12.0 + DAB_GAP)
            pen.paint(Area(left, top, DAB, DAB), lab)
            middle = left + DAB / 2.0
            pen.word_middle(middle, top + DAB + 10.0, str(number), 8.5, BOLD, level=level)


def pages(content: Content, area: Area) -> tuple[PlanPage, ...]:
    """Return the page of layers, more only where one is too small; none where none are asked."""
    if content.layers is None:
        return ()
    pieces = tuple(_pieces(content.layers, area.width))
    return paged(pieces, content.title, area, "layers" if content.layers.lines else "ground")


def _pieces(shown: LayersShown, across: float) -> Iterator[Piece]:
    if shown.lines:
        head: tuple[Block, ...] = (
            Text(strong("Layers"), across, 14.0, leading=1.15),
            Text(safe(shown.words), across, 9.0),
        )
        yield Piece(Stack(head, gap=CLOSE), keeps=True)
    for line in shown.lines:
        if line.wait:
            yield Piece(Text(safe(line.wait), across, 9.5, level=SOFT), 12.0, keeps=True)
        yield Piece(LayerHead(line, across), 12.0, keeps=True)
        words: list[Block] = [Text(safe(line.words), across, 9.0)]
        words += [WarningRow(caution, across, 9.0) for caution in line.cautions]
        yield Piece(Stack(tuple(words), gap=2.0), 2.0, keeps=True)
        for place, puddle in enumerate(line.puddles):
            row = CoatRow(puddle, across)
            yield Piece(row, 0.0 if place else CLOSE, keeps=place == 0 and len(line.puddles) > 1)
    if shown.whole:
        yield Piece(Text(strong(shown.whole), across, 9.5), 14.0)
    if shown.cares:
        care = f"{strong('Care.')} {safe(' '.join(shown.cares))}"
        yield Piece(Text(care, across, 9.0), 8.0)
    if shown.ground is not None:
        yield Piece(Text(strong("On the ground"), across, 14.0, leading=1.15), SECTION, keeps=True)
        yield Piece(Text(safe(shown.ground.words), across, 9.0), keeps=True)
        yield Piece(GroundBlock(shown.ground, across), 6.0)
