"""Laying out a box's card: a group of windows for each tube, markers and grey on each page."""

from __future__ import annotations

import hashlib
import itertools
import json
from collections.abc import Iterator, Sequence

from refmatch.card import markers
from refmatch.card.layout import Card, CardTube, GreyPlace, Marker, PlainPaper, Window
from refmatch.card.place import Place
from refmatch.errors import CardError, UsageError
from refmatch.paint.box import Box, Tube
from refmatch.recipe.entries import is_strong
from refmatch.sheet.paper import size_mm

MARGIN_MM = 12.0
"""What the usual printers leave white, and a little more."""

MARKER_MM, MARKERS_DOWN = 14.0, 5
BESIDE_MARKERS_MM = 4.0
WINDOW_WIDTH_MM, LEAST_WINDOW_HEIGHT_MM, GAP_MM = 19.0, 15.0, 6.0
NAME_MM, LABEL_MM, BAR_MM, BELOW_MM = 5.0, 4.5, 4.0, 3.5
GREY_WIDTH_MM, GREY_HEIGHT_MM = 46.0, 22.0
BLANK_WIDTH_MM = 24.0
IN_GROUP, GROUPS_ACROSS = 3, 2

WEAK, STRONG = ((1, 0), (1, 1), (1, 9)), ((1, 0), (1, 9), (1, 30))
"""Parts of tube and of white: of a strong paint 1 to 1 is hardly lighter than its masstone."""

GREY_CARD_LSTAR = 49.5
"""A grey card that reflects 18 %."""


def compose(box: Box, paper: str = "a4", neutral_value: float = GREY_CARD_LSTAR) -> Card:
    """Lay out the calibration card of a box.

    Raises:
        BoxError: the box has no white. UsageError: an unknown paper, no L* of a grey.
    """
    width, height = size_mm(paper)
    if not 0.0 < neutral_value <= 100.0:
        raise UsageError(
            f"A grey card cannot have L* {neutral_value:g}; give 1 to 100, or leave it out for "
            f"the usual {GREY_CARD_LSTAR:g}."
        )
    tubes = [box.white, *(tube for tube in box.tubes if tube is not box.white)]
    windows = tuple(_windows(tubes, box.white, paper))
    pages = windows[-1].page
    seed = json.dumps([digest_of(box), paper, [(w.tube, w.white_parts) for w in windows]])
    return Card(
        box_name=box.name,
        box_digest=digest_of(box),
        parts_by=box.parts,
        paper=paper,
        width_mm=width,
        height_mm=height,
        pages=pages,
        neutral_value=neutral_value,
        white=box.white.name,
        tubes=tuple(CardTube(tube.name, tube.pigments) for tube in tubes),
        windows=windows,
        markers=tuple(_markers(paper, pages, seed)),
        greys=tuple(GreyPlace(page, _grey(paper)) for page in range(1, pages + 1)),
        papers=tuple(_plain_paper(paper, windows)),
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
        raise CardError(
            f"The card was made for other tubes than those of the box '{box.name}', which lacks "
            f"{', '.join(strange)} or holds it with other pigments; give the card's own box."
        )


def dabs_of(tube: Tube, white: Tube) -> Sequence[tuple[int, int]]:
    """Return the dabs to paint of a tube, each in parts of it and parts of white."""
    if tube.is_white:
        return WEAK[:1]
    return STRONG if is_strong(tube, white) else WEAK


def _windows(tubes: Sequence[Tube], white: Tube, paper: str) -> Iterator[Window]:
    rows, pitch, window_height = _rows(paper)
    left = MARGIN_MM + MARKER_MM + BESIDE_MARKERS_MM
    group_width = IN_GROUP * WINDOW_WIDTH_MM + (IN_GROUP - 1) * GAP_MM
    starts = (left, size_mm(paper)[0] - left - group_width)
    for number, tube in enumerate(tubes):
        page, on_page = divmod(number, rows * GROUPS_ACROSS)
        row, group = divmod(on_page, GROUPS_ACROSS)
        top = left + row * pitch + NAME_MM + LABEL_MM
        for index, (parts, white_parts) in enumerate(dabs_of(tube, white)):
            x = starts[group] + index * (WINDOW_WIDTH_MM + GAP_MM)
            place = Place(x, top, WINDOW_WIDTH_MM, window_height)
            bar = Place(x, place.bottom_mm, WINDOW_WIDTH_MM, BAR_MM)
            yield Window(page + 1, place, bar, tube.name, parts, white_parts)


def _rows(paper: str) -> tuple[int, float, float]:
    """Return how many rows of windows a page has, how far apart, and a window's height."""
    top = MARGIN_MM + MARKER_MM + BESIDE_MARKERS_MM
    room = _grey(paper).y_mm - BESIDE_MARKERS_MM - top
    around = NAME_MM + LABEL_MM + BAR_MM + BELOW_MM
    rows = int(room // (around + LEAST_WINDOW_HEIGHT_MM))
    return rows, room / rows, room / rows - around


def _grey(paper: str) -> Place:
    left = MARGIN_MM + MARKER_MM + BESIDE_MARKERS_MM
    top = size_mm(paper)[1] - MARGIN_MM - GREY_HEIGHT_MM
    return Place(left, top, GREY_WIDTH_MM, GREY_HEIGHT_MM)


def _marker_places(paper: str) -> list[Place]:
    width, height = size_mm(paper)
    step = (height - 2.0 * MARGIN_MM - MARKER_MM) / (MARKERS_DOWN - 1)
    sides = (MARGIN_MM, width - MARGIN_MM - MARKER_MM)
    return [
        Place(x, MARGIN_MM + index * step, MARKER_MM, MARKER_MM)
        for x in sides
        for index in range(MARKERS_DOWN)
    ]


def _markers(paper: str, pages: int, seed: str) -> Iterator[Marker]:
    places = _marker_places(paper)
    drawn = iter(markers.numbers(seed, pages * len(places)))
    for page in range(1, pages + 1):
        for place in places:
            yield Marker(next(drawn), page, place)


def _plain_paper(paper: str, windows: Sequence[Window]) -> Iterator[PlainPaper]:
    """Yield the white between the markers, beside the words, and between the windows."""
    places = _marker_places(paper)
    for page in range(1, windows[-1].page + 1):
        for upper, lower in itertools.pairwise(places):
            if lower.y_mm > upper.y_mm:
                high = lower.y_mm - upper.bottom_mm
                yield PlainPaper(page, Place(upper.x_mm, upper.bottom_mm, MARKER_MM, high).inset(3))
        for place in beside_words(paper):
            yield PlainPaper(page, place)
    for window in windows:
        place = window.place
        gap = Place(place.right_mm, place.y_mm, GAP_MM, place.height_mm)
        if gap.right_mm < size_mm(paper)[0] - MARGIN_MM - MARKER_MM:
            yield PlainPaper(window.page, gap.inset(1.0))


def beside_words(paper: str) -> tuple[Place, Place]:
    """Return the two stretches that head and foot leave white at their right."""
    width, height = size_mm(paper)
    left = width - MARGIN_MM - MARKER_MM - BESIDE_MARKERS_MM - BLANK_WIDTH_MM
    high = MARKER_MM - 2.0
    bottom = height - MARGIN_MM - MARKER_MM
    return (Place(left, MARGIN_MM, BLANK_WIDTH_MM, high), Place(left, bottom, BLANK_WIDTH_MM, high))
