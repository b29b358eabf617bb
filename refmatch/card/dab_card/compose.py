"""Laying out a painting's dab card: windows in two columns, what goes into each at its right.

The lowest row of every page is for white and black paint: each photo shows one page, and what is
known must be on it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from refmatch.card.dab_card.layout import DabCard, TargetWindow
from refmatch.card.layout import CardTube, PaintWindow, PlainPaper
from refmatch.card.page import (
    GREY_CARD_LSTAR,
    INNER_MM,
    check_neutral,
    edge_paper,
    greys,
    markers,
    room_for_rows_mm,
)
from refmatch.card.place import Place
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import CardError
from refmatch.paint.box import Box, Tube
from refmatch.sheet.paper import size_mm

WINDOW_WIDTH_MM, LEAST_WINDOW_HEIGHT_MM = 24.0, 18.0
BAR_MM, BELOW_MM, GAP_MM = 4.0, 6.0, 6.0
COLUMNS = 2
CLEAR_MM = 1.0
"""Between a stretch of plain paper and what is printed or cut beside it."""

DECIMALS = 4
"""Of a target's Lab in the card's file."""


@dataclass(frozen=True)
class Grid:
    """The places of a page's windows: ``rows`` of two, ``pitch_mm`` apart."""

    paper: str
    rows: int
    pitch_mm: float
    cell_mm: float

    def window(self, row: int, column: int) -> Place:
        """Return a window."""
        left = INNER_MM + column * (self.cell_mm + GAP_MM)
        high = self.pitch_mm - BAR_MM - BELOW_MM
        return Place(left, INNER_MM + row * self.pitch_mm, WINDOW_WIDTH_MM, high)


@dataclass(frozen=True, eq=False)
class Wanted:
    """A target of a painting: its Lab (3,), what the sheet says of it, and its recipe in a line.

    ``recipe`` is "" where there is none.
    """

    label: str
    lab: Array
    words: str
    recipe: str


def compose(
    title: str,
    wanted: Sequence[Wanted],
    box: Box,
    paper: str = "a4",
    neutral_value: float = GREY_CARD_LSTAR,
) -> DabCard:
    """Lay out the dab card of a painting, by its title; ``box`` is its own.

    Raises:
        CardError: the painting has no targets. UsageError: an unknown paper, no L* of a grey.
    """
    width, height = size_mm(paper)
    check_neutral(neutral_value)
    if not wanted:
        raise CardError("no_targets_for_card", title=title)
    grid, paints = _grid(paper), known_paints(box)
    windows = tuple(_windows(wanted, paints, grid))
    pages = max(window.page for window in windows)
    return DabCard(
        paper=paper,
        width_mm=width,
        height_mm=height,
        pages=pages,
        neutral_value=neutral_value,
        windows=windows,
        markers=markers(paper, pages, _seed(windows, paper)),
        greys=greys(paper, pages),
        papers=tuple(_plain_paper(grid, pages)),
        title=title,
        parts_by=box.parts,
        white=next((tube.name for tube in paints if tube.is_white), None),
        tubes=tuple(CardTube(tube.name, tube.pigments) for tube in paints),
    )


def known_paints(box: Box) -> tuple[Tube, ...]:
    """Return the tubes that are painted as squeezed: the white, and a black, where there are."""
    whites = [box.white] if any(tube.is_white for tube in box.tubes) else []
    return (*whites, *([box.black] if box.black else []))


def text_place(window: Place, paper: str) -> Place:
    """Return where it is said what goes into a window."""
    left = window.right_mm + GAP_MM
    right = window.x_mm + _grid(paper).cell_mm
    return Place(left, window.y_mm, right - left, window.height_mm + BAR_MM + BELOW_MM / 2.0)


def _grid(paper: str) -> Grid:
    room = room_for_rows_mm(paper)
    rows = int(room // (LEAST_WINDOW_HEIGHT_MM + BAR_MM + BELOW_MM))
    across = size_mm(paper)[0] - 2.0 * INNER_MM - (COLUMNS - 1) * GAP_MM
    return Grid(paper, rows, room / rows, across / COLUMNS)


def _windows(
    wanted: Sequence[Wanted], paints: Sequence[Tube], grid: Grid
) -> Iterator[TargetWindow | PaintWindow]:
    rows = grid.rows - bool(paints)
    pages = -(-len(wanted) // (rows * COLUMNS))
    for index, target in enumerate(wanted):
        page, on_page = divmod(index, rows * COLUMNS)
        place = grid.window(*divmod(on_page, COLUMNS))
        yield _target_window(target, index + 1, page + 1, place)
    for page in range(1, pages + 1):
        for column, tube in enumerate(paints):
            place = grid.window(rows, column)
            yield PaintWindow(page, place, bar_under(place), tube.name, 1, 0)


def _target_window(target: Wanted, number: int, page: int, place: Place) -> TargetWindow:
    lightness, a, b = (round(float(value), DECIMALS) for value in target.lab)
    return TargetWindow(
        page=page,
        place=place,
        bar=bar_under(place),
        number=number,
        target=target.label,
        lab=(lightness, a, b),
        words=target.words,
        recipe=target.recipe,
    )


def bar_under(window: Place) -> Place:
    """Return the black bar of a window."""
    return Place(window.x_mm, window.bottom_mm, window.width_mm, BAR_MM)


def _seed(windows: Sequence[TargetWindow | PaintWindow], paper: str) -> str:
    """Return what tells this card from that of another painting, or of other targets."""
    told = [
        [each.target, *each.lab] if isinstance(each, TargetWindow) else [each.tube]
        for each in windows
    ]
    return json.dumps(["dab card", paper, told])


def _plain_paper(grid: Grid, pages: int) -> Iterator[PlainPaper]:
    """Yield the white at the page's edges, right of every window, and under its bar."""
    for page in range(1, pages + 1):
        yield from edge_paper(grid.paper, page)
        for row in range(grid.rows):
            for column in range(COLUMNS):
                window = grid.window(row, column)
                right = Place(window.right_mm, window.y_mm, GAP_MM, window.height_mm)
                yield PlainPaper(page, right.inset(CLEAR_MM))
                top = window.bottom_mm + BAR_MM
                below = Place(window.x_mm, top, WINDOW_WIDTH_MM, BELOW_MM)
                yield PlainPaper(page, below.inset(CLEAR_MM))
