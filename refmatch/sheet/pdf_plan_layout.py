"""A layout of the palette: squeezes along its edge, puddles in the middle in the order of work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from refmatch.sheet.blocks import Stack, Text, safe, strong
from refmatch.sheet.fonts import BOLD, PLAIN, fitted, width
from refmatch.sheet.pen import GROUND, INK, Area, Pen
from refmatch.sheet.plan_content import TubeLine, WorkLine

RIM, CELL, TUBE_DOWN, PUDDLE_DOWN = 10.0, 66.0, 60.0, 66.0
"""Points: grey at the edge, width of a place, heights of a row of squeezes and of puddles."""

LARGEST, SMALLEST = 15.0, 4.0
"""Radius of the largest and of the smallest heap."""

TITLE = "The palette laid out"
WORDS = (
    "Squeezes along the edge, light to dark as they are laid out; below them the puddles by their "
    "place in the work, what is drawn from a puddle joined to it. Sizes go by volume."
)


@dataclass(frozen=True)
class LayoutBlock:
    """The palette as it lies before the painter."""

    tubes: Sequence[TubeLine]
    work: Sequence[WorkLine]
    width: float

    @property
    def height(self) -> float:
        """Height in points."""
        rows = len(self._tube_rows) * TUBE_DOWN + len(self._puddle_rows) * PUDDLE_DOWN
        return self._head.height + 6.0 + 2.0 * RIM + rows

    @cached_property
    def _head(self) -> Stack:
        title = Text(strong(TITLE), self.width, 14.0, leading=1.15)
        return Stack((title, Text(safe(WORDS), self.width, 9.0)), gap=4.0)

    @property
    def _columns(self) -> int:
        return int((self.width - 2.0 * RIM) / CELL)

    @cached_property
    def _tube_rows(self) -> list[Sequence[TubeLine]]:
        return [self.tubes[i : i + self._columns] for i in range(0, len(self.tubes), self._columns)]

    @cached_property
    def _puddle_rows(self) -> list[list[WorkLine]]:
        """Return the puddles row by row; a family that has room for it stands in one row."""
        rows: list[list[WorkLine]] = [[]]
        for family in _families(self.work):
            if rows[-1] and len(rows[-1]) + len(family) > self._columns:
                rows.append([])
            for line in family:
                if len(rows[-1]) == self._columns:
                    rows.append([])
                rows[-1].append(line)
        return rows

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the ground, the squeezes, and the puddles."""
        self._head.draw(pen, x, y)
        y += self._head.height + 6.0
        field = Area(x, y, self.width, self.height - self._head.height - 6.0)
        pen.grey(field, GROUND)
        y += RIM
        for tubes in self._tube_rows:
            for column, tube in enumerate(tubes):
                middle = x + RIM + (column + 0.5) * CELL
                pen.dab(middle, y + LARGEST + 1.0, _radius(tube.volume_share), tube.masstone)
                _draw_name(pen, middle, y + 2.0 * LARGEST + 11.0, tube.tube, PLAIN)
            y += TUBE_DOWN
        for row in self._puddle_rows:
            across = [x + RIM + (column + 0.5) * CELL for column in range(len(row))]
            for middle, line in zip(across[1:], row[1:], strict=True):
                if line.drawn_from is not None:
                    pen.rule(middle - CELL, y + LARGEST + 4.0, middle, y + LARGEST + 4.0, 1.0)
            for middle, line in zip(across, row, strict=True):
                _draw_puddle(pen, middle, y + LARGEST + 4.0, line)
            y += PUDDLE_DOWN


def _families(work: Sequence[WorkLine]) -> list[list[WorkLine]]:
    families: list[list[WorkLine]] = []
    for line in work:
        if line.drawn_from is None:
            families.append([])
        families[-1].append(line)
    return families


def _draw_puddle(pen: Pen, x: float, y: float, line: WorkLine) -> None:
    pen.dab(x, y, _radius(line.volume_share), line.mix)
    _draw_name(pen, x, y + LARGEST + 11.0, f"{line.order}. {line.label}", BOLD)


def _draw_name(pen: Pen, x: float, y: float, name: str, font: str) -> None:
    for line in _two_lines(name, font):
        pen.word_middle(x, y, line, 7.5, font, level=INK)
        y += 9.0


def _two_lines(name: str, font: str) -> list[str]:
    """Return a name in one line or two, each within a place; what is left out ends in "…"."""
    room, words = CELL - 4.0, name.split()
    first = words[:1]
    while len(first) < len(words) and width(" ".join(words[: len(first) + 1]), font, 7.5) <= room:
        first = words[: len(first) + 1]
    lines = [" ".join(first), " ".join(words[len(first) :])]
    return [fitted(line, font, 7.5, room) for line in lines if line]


def _radius(share: float) -> float:
    """Return a heap's radius: its width goes with the cube root of its volume."""
    return float(max(LARGEST * share ** (1.0 / 3.0), SMALLEST))
