"""Laying out a box's calibration card: a group of windows for each tube."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from refmatch.dabs.card import GREY_CARD_LSTAR as GREY_CARD_LSTAR
from refmatch.dabs.card import (
    INNER_MM,
    MARGIN_MM,
    MARKER_MM,
    Card,
    CardTube,
    PaintWindow,
    Rectangle,
    Stretch,
    check_neutral,
    edge_paper,
    greys,
    markers,
    room_for_rows_mm,
    size_mm,
)
from refmatch.dabs.card_form import (
    VERSION,
    Json,
    as_text,
    greys_of,
    markers_of,
    number,
    paint_row,
    paint_window,
    paper_rows,
    papers_of,
    place_rows,
    read_card,
    read_text,
    rows,
    tube_row,
    tubes_of,
)
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
    check_neutral(neutral_value)
    tubes = [box.white, *(tube for tube in box.tubes if tube is not box.white)]
    alone = tuple(_windows(tubes, box.white, paper))
    pairs = () if is_short else tuple(_pair_windows(dark_pairs(box), len(tubes), paper))
    return card_of(
        (*alone, *pairs),
        paper,
        neutral_value,
        tuple(CardTube(tube.name, tube.pigments) for tube in tubes),
        box_name=box.name,
        box_digest=digest_of(box),
        parts_by=box.parts,
        white=box.white.name,
    )


def card_of(
    windows: Sequence[PaintWindow],
    paper: str,
    neutral_value: float,
    tubes: tuple[CardTube, ...],
    *,
    box_name: str,
    box_digest: str,
    parts_by: str,
    white: str,
) -> Card:
    """Return the card with these windows: all else follows from them, the paper and the box.

    Raises:
        UsageError: an unknown paper.
    """
    width, height = size_mm(paper)
    pages = windows[-1].page
    seed = json.dumps([box_digest, paper, [_told_apart(window) for window in windows]])
    return Card(
        paper=paper,
        width_mm=width,
        height_mm=height,
        pages=pages,
        neutral_value=neutral_value,
        windows=tuple(windows),
        markers=markers(paper, pages, seed),
        greys=greys(paper, pages),
        papers=tuple(_plain_paper(paper, windows)),
        box_name=box_name,
        box_digest=box_digest,
        parts_by=parts_by,
        white=white,
        tubes=tubes,
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
        begin = next_page(tubes, paper)
    for order, pair in enumerate(pairs, begin):
        page, place, bar = place_of(order, paper)
        yield PaintWindow(page, place, bar, pair.tube, pair.parts, 0, pair.other, pair.other_parts)


def next_page(groups: int, paper: str) -> int:
    """Return the order of the first window on the page after so many groups."""
    on_page = _rows(paper)[0] * GROUPS_ACROSS
    return (groups + -groups % on_page) * IN_GROUP


def place_of(order: int, paper: str) -> tuple[int, Rectangle, Rectangle]:
    """Return the page of a window, its place, and that of its bar; groups hold `IN_GROUP` each."""
    group, index = divmod(order, IN_GROUP)
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
            page, place, bar = place_of(group * IN_GROUP + index, paper)
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
