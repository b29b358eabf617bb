"""The palette of a plan on paper: what each tube is worth, what all reach, where they lie."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.sheet.blocks import Block, Row, Stack, Text, safe, strong
from refmatch.sheet.pen import BOLD, GROUND, INK, LINE, PLAIN, SOFT, Area, Pen, fitted, width
from refmatch.sheet.plan_content import ReachDot, ReachShown, TubeLine, WorkLine

# A layout of the palette: squeezes along its edge, puddles in the middle in the order of work.

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


# The tubes of a plan's palette, what each is worth, and what other palettes do.

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


# What palettes reach, in hue and chroma: outlines in grey, the targets as dabs of their colour.
#
# The plane is that of a* and b*: hue goes round, chroma outwards. Numbers stand in two columns
# beside the picture, each with a line to its dab, so that none covers another.

PLOT, NUMBERS, LEGEND_GAP, MARGIN = 280.0, 22.0, 14.0, 15.0
"""Points: side of the picture, width of a column of numbers, room before the legend and
inside the picture's edge, for words."""

BELOW = 12.0
"""Points below the picture for the words of its sides."""

RING = 20.0
"""Chroma between the thin circles."""

SPACING = 10.5
"""Points between two numbers of a column at least."""

STROKES: tuple[tuple[float, float, tuple[float, ...]], ...] = (
    (1.6, INK, ()),
    (1.0, LINE, ()),
    (0.9, INK, (5.0, 2.5)),
    (0.9, INK, (1.2, 2.2)),
    (0.9, INK, (7.0, 2.0, 1.2, 2.0)),
)
"""Width, grey and dashes of the outlines: this palette, the box, then those of the trade."""


@dataclass(frozen=True)
class ReachBlock:
    """The picture of reach and its legend."""

    reaches: Sequence[ReachShown]
    dots: Sequence[ReachDot]
    width: float

    @property
    def height(self) -> float:
        """Height in points."""
        return max(PLOT + BELOW, self._legend.height + 8.0)

    @property
    def _legend(self) -> Stack:
        across = self.width - PLOT - 2.0 * NUMBERS - LEGEND_GAP
        words = (
            "Hue goes round, how strong a colour is goes outwards: a circle each "
            f"{RING:.0f} of chroma. The dabs are the colours to mix, by their slips' numbers. A "
            "dab outside an outline is out of that palette's reach; inside, its value may still be."
        )
        rows = [
            Row(((0.0, _Sample(place)), (34.0, Text(self._named(reach), across - 34.0, 8.5))))
            for place, reach in enumerate(self.reaches[: len(STROKES)])
        ]
        title = Text(strong("What the palette reaches"), across, 14.0, leading=1.15)
        return Stack((title, Text(safe(words), across, 8.5), *rows), gap=6.0)

    def _named(self, reach: ReachShown) -> str:
        return f"{strong(reach.name)}: {safe(reach.tubes)}"

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the plane, the outlines, the dabs and their numbers."""
        plot = Area(x + NUMBERS, y, PLOT, PLOT)
        scale = _scale(plot, self.reaches, self.dots)
        _draw_plane(pen, plot, scale)
        with pen.within(plot):
            for place, reach in reversed(list(enumerate(self.reaches[: len(STROKES)]))):
                _draw_outline(pen, scale.points(reach.outline_ab), place)
        _draw_dots(pen, plot, scale, self.dots)
        self._legend.draw(pen, plot.right + NUMBERS + LEGEND_GAP, y + 2.0)


class _Sample:
    """A piece of an outline, for the legend."""

    height = 10.0

    def __init__(self, place: int) -> None:
        self.place = place

    def draw(self, pen: Pen, x: float, y: float) -> None:
        line, level, dashes = STROKES[self.place]
        pen.outline([(x, y + 5.5), (x + 27.0, y + 5.5)], line, level, dashes, closed=False)


@dataclass(frozen=True)
class _Scale:
    """From a* and b* to the page: redder right, yellower up; ``across, down`` is grey."""

    plot: Area
    across: float
    down: float
    by: float

    def points(self, ab: Array) -> list[tuple[float, float]]:
        return [(self.across + self.by * float(a), self.down - self.by * float(b)) for a, b in ab]


def _scale(plot: Area, reaches: Sequence[ReachShown], dots: Sequence[ReachDot]) -> _Scale:
    """Return the scale at which all outlines, all dabs and grey fill the picture."""
    corners = [reach.outline_ab for reach in reaches if len(reach.outline_ab)]
    every = np.concatenate([*corners, *(dot.lab[None, 1:] for dot in dots), np.zeros((1, 2))])
    low, high = every.min(axis=0), every.max(axis=0)
    by = (PLOT - 2.0 * MARGIN) / max(float((high - low).max()), RING)
    a, b = (float(each) for each in (low + high) / 2.0)
    return _Scale(plot, plot.x + PLOT / 2.0 - by * a, plot.y + PLOT / 2.0 + by * b, by)


def _draw_plane(pen: Pen, plot: Area, scale: _Scale) -> None:
    across, down = scale.across, scale.down
    for step in range(1, int(2.0 * PLOT / scale.by / RING)):
        for run in _ring(plot, scale, step * RING):
            pen.outline(run, 0.3, LINE, (), closed=False)
    pen.rule(plot.x, down, plot.right, down, 0.3, level=LINE)
    pen.rule(across, plot.y, across, plot.bottom, 0.3, level=LINE)
    pen.frame(plot, 0.4, LINE)
    pen.word(across + 3.0, plot.y + 8.5, "yellower", 7.5, level=SOFT)
    pen.word(across + 3.0, plot.bottom - 4.0, "bluer", 7.5, level=SOFT)
    # below the picture, since lines to the numbers run along the level of grey
    pen.word_right(plot.right, plot.bottom + 9.0, "redder →", 7.5, level=SOFT)
    pen.word(plot.x, plot.bottom + 9.0, "← greener", 7.5, level=SOFT)


def _ring(plot: Area, scale: _Scale, chroma: float) -> list[list[tuple[float, float]]]:
    """Return a circle of one chroma as the runs of its points that lie in the picture."""
    turn = np.radians(np.arange(0.0, 362.0, 2.0))
    runs: list[list[tuple[float, float]]] = [[]]
    for x, y in scale.points(chroma * np.column_stack([np.cos(turn), np.sin(turn)])):
        if plot.x <= x <= plot.right and plot.y <= y <= plot.bottom:
            runs[-1].append((x, y))
        elif runs[-1]:
            runs.append([])
    return [run for run in runs if len(run) > 1]


def _draw_outline(pen: Pen, points: Sequence[tuple[float, float]], place: int) -> None:
    line, level, dashes = STROKES[place]
    pen.outline(points, line, level, dashes)


def _draw_dots(pen: Pen, plot: Area, scale: _Scale, dots: Sequence[ReachDot]) -> None:
    """Draw each dab and its number in the nearer column; where there is no room, the dab alone."""
    fitting = int(PLOT / SPACING)
    order = sorted(dots, key=lambda dot: (dot.lab[1], dot.number))
    half = (len(order) + 1) // 2
    for column, edge, side in ((order[:half], plot.x, -1.0), (order[half:], plot.right, 1.0)):
        largest = sorted(column, key=lambda dot: -dot.share)[:fitting]
        _draw_numbers(pen, scale, largest, edge, side)
    for dot in sorted(dots, key=lambda dot: -dot.share):
        ((x, y),) = scale.points(dot.lab[None, 1:])
        pen.dab(x, y, 4.0, dot.lab)


def _draw_numbers(
    pen: Pen, scale: _Scale, dots: Sequence[ReachDot], edge: float, side: float
) -> None:
    rows = sorted((scale.points(dot.lab[None, 1:])[0][::-1], dot.number) for dot in dots)
    downs = spread([down for (down, _), _ in rows], scale.plot.y + 8.0, scale.plot.bottom)
    for down, ((own, x), number) in zip(downs, rows, strict=True):
        pen.rule(edge + side * 4.0, down - 3.0, x, own, 0.3)
        write = pen.word_right if side < 0 else pen.word
        write(edge + side * 6.0, down, str(number), 9.0, PLAIN)


def spread(wanted: Sequence[float], top: float, bottom: float) -> list[float]:
    """Return heights near those wanted (rising), `SPACING` apart, from ``top`` to ``bottom``."""
    downs: list[float] = []
    for down in wanted:
        downs.append(max(down, top, downs[-1] + SPACING if downs else top))
    limit = bottom
    for place in range(len(downs) - 1, -1, -1):
        downs[place] = min(downs[place], limit)
        limit = downs[place] - SPACING
    return downs
