"""Laying out a box's calibration card: a group of windows for each tube."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, TypeVar

import numpy as np

from refmatch.dabs.card import (
    DICTIONARY,
    INNER_MM,
    MARGIN_MM,
    MARKER_MM,
    NUMBERS,
    Card,
    CardTube,
    Frame,
    Marker,
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
from refmatch.dabs.card import GREY_CARD_LSTAR as GREY_CARD_LSTAR
from refmatch.errors import CardError
from refmatch.paint.box import BLACKS, Box, Tube
from refmatch.recipe.mixture import Palette, is_strong

WINDOW_WIDTH_MM, LEAST_WINDOW_HEIGHT_MM, GAP_MM = 19.0, 15.0, 6.0
NAME_MM, LABEL_MM, BAR_MM, BELOW_MM = 5.0, 4.5, 4.0, 3.5
IN_GROUP, GROUPS_ACROSS = 3, 2

TINT_WHITE_PARTS = 3.0
"""White to one part of tube in the tint that shows which hue it has."""

WEAK, STRONG = ((1, 0), (1, 1), (1, 9)), ((1, 0), (1, 9), (1, 30))
"""Parts of tube and of white: of a strong paint 1 to 1 is hardly lighter than its masstone."""

DARK_LSTAR, BLACK_TO, MOST_TO = 40.0, 5, 9
"""A tube is dark below this L* as squeezed; parts of it to one of black; most parts of a pair."""

FEWEST_PAIRS = 6
"""So many must fit on the last page, or the pairs begin another: with these, mixes below L* 40
miss by a quarter less, and lighter ones by no more (`tests.benchmarks.card_darks`)."""


def compose(
    box: Box,
    paper: str = "a4",
    neutral_value: float = GREY_CARD_LSTAR,
    *,
    is_short: bool = False,
) -> Card:
    """Lay out the calibration card of a box.

    A short one has each tube as squeezed and in white; else there are dabs of two tubes besides.

    Raises:
        BoxError: the box has no white. UsageError: an unknown paper, no L* of a grey.
    """
    width, height = size_mm(paper)
    check_neutral(neutral_value)
    tubes = [box.white, *(tube for tube in box.tubes if tube is not box.white)]
    alone = tuple(_windows(tubes, box.white, paper))
    pairs = () if is_short else tuple(_pair_windows(dark_pairs(box), len(tubes), paper))
    windows = (*alone, *pairs)
    pages = windows[-1].page
    seed = json.dumps([digest_of(box), paper, [_told_apart(window) for window in windows]])
    return Card(
        paper=paper,
        width_mm=width,
        height_mm=height,
        pages=pages,
        neutral_value=neutral_value,
        windows=windows,
        markers=markers(paper, pages, seed),
        greys=greys(paper, pages),
        papers=tuple(_plain_paper(paper, windows)),
        box_name=box.name,
        box_digest=digest_of(box),
        parts_by=box.parts,
        white=box.white.name,
        tubes=tuple(CardTube(tube.name, tube.pigments) for tube in tubes),
    )


def digest_of(box: Box) -> str:
    """Return what tells one box's tubes, by name and pigments, from another's."""
    content = [box.parts, [[tube.name, list(tube.keys)] for tube in box.tubes]]
    return hashlib.sha256(json.dumps(content).encode("utf-8")).hexdigest()[:16]


def check_made_for(card: Card, box: Box) -> None:
    """See that a box still holds every tube of the card, with the same pigments.

    Raises:
        CardError: it does not.
    """
    held = {tube.name: tube.pigments for tube in box.tubes}
    strange = [tube.name for tube in card.tubes if held.get(tube.name) != tube.pigments]
    if strange:
        raise CardError("card_for_other_tubes", box=box.name, tubes=tuple(strange))


def dabs_of(tube: Tube, white: Tube) -> Sequence[tuple[int, int]]:
    """Return the dabs to paint of a tube, each in parts of it and parts of white."""
    if tube.is_white:
        return WEAK[:1]
    return STRONG if is_strong(tube, white) else WEAK


@dataclass(frozen=True)
class Pair:
    """A dab of two tubes: ``parts`` of one to ``other_parts`` of the other."""

    tube: str
    parts: int
    other: str
    other_parts: int


def dark_pairs(box: Box) -> tuple[Pair, ...]:
    """Return the dabs of two tubes that tell most of darks, those first that tell most.

    A dark tube as squeezed shows little of itself, and its tints tell how it absorbs, not how it
    scatters. With black, which works harder in a colour than in white, and with the colour that
    lies most opposite to it, as strong as itself, it shows what it does in the dark mixes that
    painters make of both.
    """
    palette = Palette.of(box.tubes, box.surface)
    each, white = np.eye(len(box.tubes)), box.tubes.index(box.white)
    masstone, tint = palette.lab(each), palette.lab(each + TINT_WHITE_PARTS * each[white])
    colours = [n for n, tube in enumerate(box.tubes) if not _is_plain(tube, box.black)]
    darks = [n for n in colours if masstone[n, 0] < DARK_LSTAR]
    black = box.black
    with_black = [Pair(box.tubes[n].name, BLACK_TO, black.name, 1) for n in darks if black]
    hues = tint[:, 1:] / np.maximum(np.hypot(*tint.T[1:]), 1e-6)[:, None]
    opposite: dict[frozenset[str], Pair] = {}
    for n in darks:
        across = min(colours, key=lambda other: float(hues[n] @ hues[other]))
        if hues[n] @ hues[across] < 0.0:
            pair = _as_strong(box.tubes[n], box.tubes[across])
            opposite.setdefault(frozenset((pair.tube, pair.other)), pair)
    first = sorted({0, len(with_black) // 2} & set(range(len(with_black))))
    rest = [pair for n, pair in enumerate(with_black) if n not in first]
    return (*(with_black[n] for n in first), *opposite.values(), *rest)


def _is_plain(tube: Tube, black: Tube | None) -> bool:
    return tube.is_white or tube is black or bool(BLACKS.intersection(tube.keys))


def _as_strong(tube: Tube, other: Tube) -> Pair:
    """Return two tubes in whole parts that take away about as much light."""
    ratio = float(tube.absorption.sum() / other.absorption.sum())
    more = min(MOST_TO, round(max(ratio, 1.0 / ratio)))
    return Pair(tube.name, *((1, other.name, more) if ratio >= 1.0 else (more, other.name, 1)))


def _told_apart(window: PaintWindow) -> tuple[object, ...]:
    """Return what tells cards apart; of a window for one tube as it ever was."""
    one = (window.tube, window.white_parts)
    return (*one, window.other) if window.other else one


def _pair_windows(pairs: Sequence[Pair], tubes: int, paper: str) -> Iterator[PaintWindow]:
    """Yield a window for each pair, after the groups of so many tubes.

    As many as fit on the last page, or all on pages of their own where hardly any would.
    """
    on_page = _rows(paper)[0] * GROUPS_ACROSS
    left = -tubes % on_page * IN_GROUP
    if left >= min(FEWEST_PAIRS, len(pairs)):
        begin, pairs = tubes * IN_GROUP, pairs[:left]
    else:
        begin = (tubes + -tubes % on_page) * IN_GROUP
    for number, pair in enumerate(pairs, begin):
        page, place, bar = _place_of(*divmod(number, IN_GROUP), paper)
        yield PaintWindow(page, place, bar, pair.tube, pair.parts, 0, pair.other, pair.other_parts)


def _place_of(group: int, index: int, paper: str) -> tuple[int, Rectangle, Rectangle]:
    """Return the page of a window of a group, its place, and that of its bar."""
    rows, pitch, window_height = _rows(paper)
    group_width = IN_GROUP * WINDOW_WIDTH_MM + (IN_GROUP - 1) * GAP_MM
    starts = (INNER_MM, size_mm(paper)[0] - INNER_MM - group_width)
    page, on_page = divmod(group, rows * GROUPS_ACROSS)
    row, across = divmod(on_page, GROUPS_ACROSS)
    x = starts[across] + index * (WINDOW_WIDTH_MM + GAP_MM)
    place = Rectangle(
        x, INNER_MM + row * pitch + NAME_MM + LABEL_MM, WINDOW_WIDTH_MM, window_height
    )
    return page + 1, place, Rectangle(x, place.bottom_mm, WINDOW_WIDTH_MM, BAR_MM)


def _windows(tubes: Sequence[Tube], white: Tube, paper: str) -> Iterator[PaintWindow]:
    for group, tube in enumerate(tubes):
        for index, (parts, white_parts) in enumerate(dabs_of(tube, white)):
            page, place, bar = _place_of(group, index, paper)
            yield PaintWindow(page, place, bar, tube.name, parts, white_parts)


def _rows(paper: str) -> tuple[int, float, float]:
    """Return how many rows of windows a page has, how far apart, and a window's height."""
    room = room_for_rows_mm(paper)
    around = NAME_MM + LABEL_MM + BAR_MM + BELOW_MM
    rows = int(room // (around + LEAST_WINDOW_HEIGHT_MM))
    return rows, room / rows, room / rows - around


def _plain_paper(paper: str, windows: Sequence[PaintWindow]) -> Iterator[Stretch]:
    """Yield the white at the page's edges and between the windows."""
    for page in range(1, windows[-1].page + 1):
        yield from edge_paper(paper, page)
    for window in windows:
        place = window.place
        gap = Rectangle(place.right_mm, place.y_mm, GAP_MM, place.height_mm)
        if gap.right_mm < size_mm(paper)[0] - MARGIN_MM - MARKER_MM:
            yield Stretch(window.page, gap.inset(1.0))


# What the files of all cards have in common: read with every doubt spoken.

VERSION = 1

Json = dict[str, Any]
Row = TypeVar("Row")
Read = TypeVar("Read", bound=Frame[Window])


def as_text(content: Json) -> str:
    """Return a card's file."""
    return json.dumps(content, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def paper_rows(card: Frame[Window]) -> Json:
    """Return what paper a card is printed on, and the grey that lies on it."""
    return {
        "paper": card.paper,
        "width_mm": card.width_mm,
        "height_mm": card.height_mm,
        "pages": card.pages,
        "neutral_value": card.neutral_value,
    }


def place_rows(card: Frame[Window]) -> Json:
    """Return where markers, grey card and plain paper lie."""
    return {
        "dictionary": DICTIONARY,
        "markers": [{"number": m.number, "page": m.page, **asdict(m.place)} for m in card.markers],
        "greys": [{"page": grey.page, **asdict(grey.place)} for grey in card.greys],
        "plain_paper": [{"page": stretch.page, **asdict(stretch.place)} for stretch in card.papers],
    }


def tube_row(tube: CardTube) -> Json:
    """Return a tube."""
    return {"name": tube.name, "pigments": list(tube.pigments)}


def window_row(window: Window) -> Json:
    """Return where a window and its bar lie."""
    return {"page": window.page, **asdict(window.place), "bar_mm": window.bar.height_mm}


def paint_row(window: PaintWindow) -> Json:
    """Return a window for paint of known parts."""
    return {
        **window_row(window),
        "tube": window.tube,
        "parts": window.parts,
        "white_parts": window.white_parts,
        **({"other": window.other, "other_parts": window.other_parts} if window.other else {}),
    }


def read_text(path: Path) -> str:
    """Read a card's file.

    Raises:
        CardError: it cannot.
    """
    try:
        return Path(path).read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise CardError("card_file_unreadable", file=str(path)) from error


def read_card(text: str, where: str, form: str, made: Callable[[Json], Read]) -> Read:
    """Read a card from JSON text of this form; ``where`` names it in a complaint.

    Raises:
        CardError: not JSON, not such a card, damaged, or from a newer refmatch.
    """
    try:
        raw = json.loads(text)
    except ValueError as error:
        raise CardError("no_card_file", file=where, why=str(error)) from error
    if not isinstance(raw, dict) or raw.get("format") != form:
        raise CardError("no_card_file", file=where, why="")
    if not isinstance(raw.get("version"), int) or raw["version"] > VERSION:
        raise CardError("card_file_newer", file=where)
    try:
        card = made(raw)
        _check(card, raw)
    except (KeyError, TypeError, ValueError) as error:
        raise CardError("card_file_damaged", file=where, why=_reason(error)) from error
    return card


def rows(raw: Json, key: str, make: Callable[[Json], Row]) -> tuple[Row, ...]:
    """Return what each row of a list says."""
    listed: Sequence[Json] = raw[key]
    return tuple(make(row) for row in listed)


def tubes_of(raw: Json) -> tuple[CardTube, ...]:
    """Return a card's tubes."""
    return rows(raw, "tubes", lambda row: CardTube(row["name"], tuple(row["pigments"])))


def markers_of(raw: Json) -> tuple[Marker, ...]:
    """Return a card's markers."""
    return rows(
        raw, "markers", lambda row: Marker(int(row["number"]), int(row["page"]), place(row))
    )


def greys_of(raw: Json) -> tuple[Stretch, ...]:
    """Return where the grey card lies on each page."""
    return rows(raw, "greys", lambda row: Stretch(int(row["page"]), place(row)))


def papers_of(raw: Json) -> tuple[Stretch, ...]:
    """Return a card's stretches of plain paper."""
    return rows(raw, "plain_paper", lambda row: Stretch(int(row["page"]), place(row)))


def paint_window(row: Json) -> PaintWindow:
    """Return a window for paint of known parts."""
    parts, white_parts = int(row["parts"]), int(row["white_parts"])
    other, other_parts = str(row.get("other", "")), int(row.get("other_parts", 0))
    if parts < 1 or white_parts < 0 or bool(other) != (other_parts > 0):
        raise ValueError("a window has no parts")
    at = place(row)
    where = (int(row["page"]), at, bar(row, at))
    return PaintWindow(*where, str(row["tube"]), parts, white_parts, other, other_parts)


def place(row: Json) -> Rectangle:
    """Return a rectangle."""
    rectangle = Rectangle(*(number(row[key]) for key in ("x_mm", "y_mm", "width_mm", "height_mm")))
    if min(rectangle.width_mm, rectangle.height_mm) <= 0.0:
        raise ValueError("a place has no size")
    return rectangle


def bar(row: Json, window: Rectangle) -> Rectangle:
    """Return the bar under a window."""
    return Rectangle(window.x_mm, window.bottom_mm, window.width_mm, number(row["bar_mm"]))


def number(value: object) -> float:
    """Return a finite number."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError(f"{value!r} is not a number")
    return float(value)


def _check(card: Frame[Window], raw: Json) -> None:
    if raw["dictionary"] != DICTIONARY:
        raise ValueError("unknown markers")
    pages = set(range(1, card.pages + 1))
    for each in (card.windows, card.markers, card.greys, card.papers):
        if {row.page for row in each} != pages:
            raise ValueError("a page is incomplete")
    numbers = [marker.number for marker in card.markers]
    if len(set(numbers)) != len(numbers) or not set(numbers) <= set(range(NUMBERS)):
        raise ValueError("the markers' numbers are wrong")
    windows = [each for each in card.windows if isinstance(each, PaintWindow)]
    paints = {each.tube for each in windows} | {each.other for each in windows if each.other}
    if paints != {tube.name for tube in tubes_of(raw)}:
        raise ValueError("the windows are not those of the tubes")


def _reason(error: Exception) -> str:
    return f"it lacks {error}" if isinstance(error, KeyError) else str(error)


# The calibration card as a JSON file, written beside its PDF.

FORMAT = "refmatch-card"


def card_to_json(card: Card) -> str:
    """Write a card as JSON text; `card_from_json` reads the same card back."""
    content = {
        "format": FORMAT,
        "version": VERSION,
        "box": {
            "name": card.box_name,
            "digest": card.box_digest,
            "parts_by": card.parts_by,
            "white": card.white,
        },
        **paper_rows(card),
        "tubes": [tube_row(tube) for tube in card.tubes],
        "windows": [paint_row(window) for window in card.windows],
        **place_rows(card),
    }
    return as_text(content)


def read_card_file(path: Path) -> Card:
    """Read a card's JSON file.

    Raises:
        CardError: it is not there, not JSON, or not a card.
    """
    return card_from_json(read_text(path), str(path))


def card_from_json(text: str, where: str = "the card") -> Card:
    """Read a card from JSON text; ``where`` names it in a complaint.

    Raises:
        CardError: not JSON, not a card, or from a newer refmatch.
    """
    return read_card(text, where, FORMAT, _card)


def _card(raw: Json) -> Card:
    box = raw["box"]
    return Card(
        paper=str(raw["paper"]),
        width_mm=number(raw["width_mm"]),
        height_mm=number(raw["height_mm"]),
        pages=int(raw["pages"]),
        neutral_value=number(raw["neutral_value"]),
        windows=rows(raw, "windows", paint_window),
        markers=markers_of(raw),
        greys=greys_of(raw),
        papers=papers_of(raw),
        box_name=str(box["name"]),
        box_digest=str(box["digest"]),
        parts_by=str(box["parts_by"]),
        white=str(box["white"]),
        tubes=tubes_of(raw),
    )
