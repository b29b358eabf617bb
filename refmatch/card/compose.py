"""Laying out a box's calibration card: a group of windows for each tube."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence

from refmatch.card.layout import Card, CardTube, PaintWindow, PlainPaper
from refmatch.card.page import (
    GREY_CARD_LSTAR as GREY_CARD_LSTAR,
)
from refmatch.card.page import (
    INNER_MM,
    MARGIN_MM,
    MARKER_MM,
    check_neutral,
    edge_paper,
    greys,
    markers,
    room_for_rows_mm,
)
from refmatch.card.place import Place
from refmatch.errors import CardError
from refmatch.paint.box import Box, Tube
from refmatch.recipe.entries import is_strong
from refmatch.sheet.paper import size_mm

WINDOW_WIDTH_MM, LEAST_WINDOW_HEIGHT_MM, GAP_MM = 19.0, 15.0, 6.0
NAME_MM, LABEL_MM, BAR_MM, BELOW_MM = 5.0, 4.5, 4.0, 3.5
IN_GROUP, GROUPS_ACROSS = 3, 2

WEAK, STRONG = ((1, 0), (1, 1), (1, 9)), ((1, 0), (1, 9), (1, 30))
"""Parts of tube and of white: of a strong paint 1 to 1 is hardly lighter than its masstone."""


def compose(box: Box, paper: str = "a4", neutral_value: float = GREY_CARD_LSTAR) -> Card:
    """Lay out the calibration card of a box.

    Raises:
        BoxError: the box has no white. UsageError: an unknown paper, no L* of a grey.
    """
    width, height = size_mm(paper)
    check_neutral(neutral_value)
    tubes = [box.white, *(tube for tube in box.tubes if tube is not box.white)]
    windows = tuple(_windows(tubes, box.white, paper))
    pages = windows[-1].page
    seed = json.dumps([digest_of(box), paper, [(w.tube, w.white_parts) for w in windows]])
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
    told = [box.parts, [[tube.name, list(tube.keys)] for tube in box.tubes]]
    return hashlib.sha256(json.dumps(told).encode("utf-8")).hexdigest()[:16]


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


def _windows(tubes: Sequence[Tube], white: Tube, paper: str) -> Iterator[PaintWindow]:
    rows, pitch, window_height = _rows(paper)
    group_width = IN_GROUP * WINDOW_WIDTH_MM + (IN_GROUP - 1) * GAP_MM
    starts = (INNER_MM, size_mm(paper)[0] - INNER_MM - group_width)
    for number, tube in enumerate(tubes):
        page, on_page = divmod(number, rows * GROUPS_ACROSS)
        row, group = divmod(on_page, GROUPS_ACROSS)
        top = INNER_MM + row * pitch + NAME_MM + LABEL_MM
        for index, (parts, white_parts) in enumerate(dabs_of(tube, white)):
            x = starts[group] + index * (WINDOW_WIDTH_MM + GAP_MM)
            place = Place(x, top, WINDOW_WIDTH_MM, window_height)
            bar = Place(x, place.bottom_mm, WINDOW_WIDTH_MM, BAR_MM)
            yield PaintWindow(page + 1, place, bar, tube.name, parts, white_parts)


def _rows(paper: str) -> tuple[int, float, float]:
    """Return how many rows of windows a page has, how far apart, and a window's height."""
    room = room_for_rows_mm(paper)
    around = NAME_MM + LABEL_MM + BAR_MM + BELOW_MM
    rows = int(room // (around + LEAST_WINDOW_HEIGHT_MM))
    return rows, room / rows, room / rows - around


def _plain_paper(paper: str, windows: Sequence[PaintWindow]) -> Iterator[PlainPaper]:
    """Yield the white at the page's edges and between the windows."""
    for page in range(1, windows[-1].page + 1):
        yield from edge_paper(paper, page)
    for window in windows:
        place = window.place
        gap = Place(place.right_mm, place.y_mm, GAP_MM, place.height_mm)
        if gap.right_mm < size_mm(paper)[0] - MARGIN_MM - MARKER_MM:
            yield PlainPaper(window.page, gap.inset(1.0))
