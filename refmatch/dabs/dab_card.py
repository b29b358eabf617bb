"""Laying out a painting's dab card: windows in two columns, what goes into each at its right.

The lowest row of every page is for white and black paint: each photo shows one page, and what is
known must be on it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs import card_form as form
from refmatch.dabs.card import (
    GREY_CARD_LSTAR,
    INNER_MM,
    CardTube,
    Frame,
    PaintWindow,
    Rectangle,
    Stretch,
    Window,
    check_neutral,
    edge_paper,
    greys,
    markers,
    room_for_rows_mm,
    size_mm,
)
from refmatch.errors import CardError
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube

# The dab card as data: a window for each target of a painting, and for white and black paint.


@dataclass(frozen=True, slots=True)
class TargetWindow(Window):
    """A window for the dab that was mixed for a target.

    ``number`` is the target's on the sheet, from 1, ``lab`` its colour when the card was laid out,
    ``words`` what the sheet says of it, ``recipe`` its parts in a line, "" where there are none.
    """

    number: int
    target: str
    lab: tuple[float, float, float]
    words: str
    recipe: str

    @property
    def label(self) -> str:
        """The target's own."""
        return self.target

    @property
    def wanted(self) -> Array:
        """The target's Lab, (3,)."""
        return np.array(self.lab)


@dataclass(frozen=True)
class DabCard(Frame[TargetWindow | PaintWindow]):
    """The dab card of a painting, by its title.

    ``tubes`` are those of the windows for paint: the box's ``white`` and its black, where it has
    them.
    ``flags`` say what of the card no longer holds (`standing`); they are not saved.
    """

    title: str
    parts_by: str
    white: str | None
    tubes: tuple[CardTube, ...]
    flags: tuple[Flag, ...] = ()

    def another(self, photo: str) -> CardError:
        return CardError("card_of_another_painting", photo=photo, title=self.title)

    @property
    def targets(self) -> tuple[TargetWindow, ...]:
        """The windows for targets, by number."""
        return tuple(window for window in self.windows if isinstance(window, TargetWindow))

    @property
    def paints(self) -> tuple[PaintWindow, ...]:
        """The windows for paint as squeezed, page by page."""
        return tuple(window for window in self.windows if isinstance(window, PaintWindow))


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

    def window(self, row: int, column: int) -> Rectangle:
        """Return a window."""
        left = INNER_MM + column * (self.cell_mm + GAP_MM)
        high = self.pitch_mm - BAR_MM - BELOW_MM
        return Rectangle(left, INNER_MM + row * self.pitch_mm, WINDOW_WIDTH_MM, high)


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


def text_place(window: Rectangle, paper: str) -> Rectangle:
    """Return where it is said what goes into a window."""
    left = window.right_mm + GAP_MM
    right = window.x_mm + _grid(paper).cell_mm
    return Rectangle(left, window.y_mm, right - left, window.height_mm + BAR_MM + BELOW_MM / 2.0)


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


def _target_window(target: Wanted, number: int, page: int, place: Rectangle) -> TargetWindow:
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


def bar_under(window: Rectangle) -> Rectangle:
    """Return the black bar of a window."""
    return Rectangle(window.x_mm, window.bottom_mm, window.width_mm, BAR_MM)


def _seed(windows: Sequence[TargetWindow | PaintWindow], paper: str) -> str:
    """Return what tells this card from that of another painting, or of other targets."""
    content = [
        [window.target, *window.lab] if isinstance(window, TargetWindow) else [window.tube]
        for window in windows
    ]
    return json.dumps(["dab card", paper, content])


def _plain_paper(grid: Grid, pages: int) -> Iterator[Stretch]:
    """Yield the white at the page's edges, right of every window, and under its bar."""
    for page in range(1, pages + 1):
        yield from edge_paper(grid.paper, page)
        for row in range(grid.rows):
            for column in range(COLUMNS):
                window = grid.window(row, column)
                right = Rectangle(window.right_mm, window.y_mm, GAP_MM, window.height_mm)
                yield Stretch(page, right.inset(CLEAR_MM))
                top = window.bottom_mm + BAR_MM
                below = Rectangle(window.x_mm, top, WINDOW_WIDTH_MM, BELOW_MM)
                yield Stretch(page, below.inset(CLEAR_MM))


# The dab card as a JSON file, kept in its painting's folder.

FORMAT = "refmatch-dab-card"


def card_to_json(card: DabCard) -> str:
    """Write a card as JSON text; `card_from_json` reads the same card back."""
    content = {
        "format": FORMAT,
        "version": form.VERSION,
        "painting": {"title": card.title, "parts_by": card.parts_by, "white": card.white},
        **form.paper_rows(card),
        "tubes": [form.tube_row(tube) for tube in card.tubes],
        "targets": [_target_row(window) for window in card.targets],
        "windows": [form.paint_row(window) for window in card.paints],
        **form.place_rows(card),
    }
    return form.as_text(content)


def read_card_file(path: Path) -> DabCard:
    """Read the file of a dab card.

    Raises:
        CardError: it is not there, not JSON, or not a dab card.
    """
    if not path.exists():
        raise CardError("no_dab_card", folder=str(path.parent))
    return card_from_json(form.read_text(path), str(path))


def card_from_json(text: str, where: str = "the card") -> DabCard:
    """Read a dab card from JSON text; ``where`` names it in a complaint.

    Raises:
        CardError: not JSON, not a dab card, or from a newer refmatch.
    """
    return form.read_card(text, where, FORMAT, _card)


def _card(raw: form.Json) -> DabCard:
    painting = raw["painting"]
    targets = form.rows(raw, "targets", _target)
    if len({target.target for target in targets}) != len(targets):
        raise ValueError("two targets have one name")
    paints: tuple[PaintWindow, ...] = form.rows(raw, "windows", form.paint_window)
    return DabCard(
        paper=str(raw["paper"]),
        width_mm=form.number(raw["width_mm"]),
        height_mm=form.number(raw["height_mm"]),
        pages=int(raw["pages"]),
        neutral_value=form.number(raw["neutral_value"]),
        windows=(*targets, *paints),
        markers=form.markers_of(raw),
        greys=form.greys_of(raw),
        papers=form.papers_of(raw),
        title=str(painting["title"]),
        parts_by=str(painting["parts_by"]),
        white=None if painting["white"] is None else str(painting["white"]),
        tubes=form.tubes_of(raw),
    )


def _target_row(window: TargetWindow) -> form.Json:
    return {
        **form.window_row(window),
        "number": window.number,
        "target": window.target,
        "lab": list(window.lab),
        "words": window.words,
        "recipe": window.recipe,
    }


def _target(row: form.Json) -> TargetWindow:
    place = form.place(row)
    lightness, a, b = (form.number(value) for value in row["lab"])
    return TargetWindow(
        page=int(row["page"]),
        place=place,
        bar=form.bar(row, place),
        number=int(row["number"]),
        target=str(row["target"]),
        lab=(lightness, a, b),
        words=str(row["words"]),
        recipe=str(row["recipe"]),
    )


# What of a printed dab card still holds, when its painting has gone on meanwhile.

SAME_DELTA_E_00 = 0.5
"""A target that moved by less is the same: nobody would mix it anew (own choice)."""


def as_it_stands(card: DabCard, now: Mapping[str, Array], box: Box, title: str = "") -> DabCard:
    """Return the card with those windows that still mean what they say; flags tell of the rest.

    A target stands where the painting, by its title, has it now by that name and in that colour,
    (3,); paint where the ``box``, the painting's own, has that tube with the same pigments.

    Raises:
        CardError: no target stands.
    """
    targets = tuple(window for window in card.targets if _stands(window, now))
    if not targets:
        raise CardError("no_target_stands", title=title)
    held = {tube.name: tube.pigments for tube in box.tubes}
    tubes = tuple(tube for tube in card.tubes if held.get(tube.name) == tube.pigments)
    kept = {tube.name for tube in tubes}
    paints = tuple(window for window in card.paints if window.tube in kept)
    return replace(
        card,
        windows=(*targets, *paints),
        tubes=tubes,
        flags=(*_of_targets(card, targets, now), *_of_paints(card, paints)),
    )


def _stands(window: TargetWindow, now: Mapping[str, Array]) -> bool:
    lab = now.get(window.target)
    return lab is not None and float(delta_e_00(window.wanted, lab)) < SAME_DELTA_E_00


def _of_targets(
    card: DabCard, standing: tuple[TargetWindow, ...], now: Mapping[str, Array]
) -> tuple[Flag, ...]:
    stood = {each.target for each in standing}
    gone = [each.target for each in card.targets if each.target not in stood]
    new = [label for label in now if label not in {each.target for each in card.targets}]
    found = []
    if gone:
        found.append(Flag("target_changed", targets=tuple(gone)))
    if new:
        found.append(Flag("target_not_on_card", targets=tuple(new)))
    return tuple(found)


def _of_paints(card: DabCard, standing: tuple[PaintWindow, ...]) -> tuple[Flag, ...]:
    gone = {window.tube for window in card.paints} - {window.tube for window in standing}
    return tuple(Flag("paint_changed", tube=tube) for tube in sorted(gone))
