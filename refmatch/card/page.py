"""What lies at the same place on every page of every card: markers, the grey card, plain paper."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from refmatch.card.layout import GreyPlace, Marker, PlainPaper
from refmatch.card.markers import numbers as numbers_of
from refmatch.card.place import Place
from refmatch.errors import UsageError
from refmatch.sheet.paper import size_mm

MARGIN_MM = 12.0
"""What the usual printers leave white, and a little more."""

MARKER_MM, MARKERS_DOWN = 14.0, 5
BESIDE_MARKERS_MM = 4.0
INNER_MM = MARGIN_MM + MARKER_MM + BESIDE_MARKERS_MM
"""From a page's left, right or upper edge to where windows may begin."""

GREY_WIDTH_MM, GREY_HEIGHT_MM = 46.0, 22.0
BLANK_WIDTH_MM = 24.0

GREY_CARD_LSTAR = 49.5
"""A grey card that reflects 18 %."""


def check_neutral(lstar: float) -> None:
    """See that a grey card can have this L*.

    Raises:
        UsageError: it cannot.
    """
    if not 0.0 < lstar <= 100.0:
        raise UsageError("no_such_grey", lstar=lstar, usual=GREY_CARD_LSTAR)


def markers(paper: str, pages: int, seed: str) -> tuple[Marker, ...]:
    """Return every page's markers, their numbers drawn by the ``seed`` that tells cards apart."""
    places = _marker_places(paper)
    numbers = iter(numbers_of(seed, pages * len(places)))
    return tuple(
        Marker(next(numbers), page, place) for page in range(1, pages + 1) for place in places
    )


def greys(paper: str, pages: int) -> tuple[GreyPlace, ...]:
    """Return where the grey card lies on each page."""
    return tuple(GreyPlace(page, grey_place(paper)) for page in range(1, pages + 1))


def grey_place(paper: str) -> Place:
    """Return where the grey card lies on a page."""
    top = size_mm(paper)[1] - MARGIN_MM - GREY_HEIGHT_MM
    return Place(INNER_MM, top, GREY_WIDTH_MM, GREY_HEIGHT_MM)


def room_for_rows_mm(paper: str) -> float:
    """Return how high the part of a page is that windows may fill."""
    return grey_place(paper).y_mm - BESIDE_MARKERS_MM - INNER_MM


def edge_paper(paper: str, page: int) -> Iterator[PlainPaper]:
    """Yield the white between a page's markers, and beside the words of its head and foot."""
    for upper, lower in itertools.pairwise(_marker_places(paper)):
        if lower.y_mm > upper.y_mm:
            high = lower.y_mm - upper.bottom_mm
            yield PlainPaper(page, Place(upper.x_mm, upper.bottom_mm, MARKER_MM, high).inset(3))
    for place in beside_words(paper):
        yield PlainPaper(page, place)


def beside_words(paper: str) -> tuple[Place, Place]:
    """Return the two stretches that head and foot leave white at their right."""
    width, height = size_mm(paper)
    left = width - MARGIN_MM - MARKER_MM - BESIDE_MARKERS_MM - BLANK_WIDTH_MM
    high = MARKER_MM - 2.0
    bottom = height - MARGIN_MM - MARKER_MM
    return (Place(left, MARGIN_MM, BLANK_WIDTH_MM, high), Place(left, bottom, BLANK_WIDTH_MM, high))


def _marker_places(paper: str) -> list[Place]:
    width, height = size_mm(paper)
    step = (height - 2.0 * MARGIN_MM - MARKER_MM) / (MARKERS_DOWN - 1)
    sides = (MARGIN_MM, width - MARGIN_MM - MARKER_MM)
    return [
        Place(x, MARGIN_MM + index * step, MARKER_MM, MARKER_MM)
        for x in sides
        for index in range(MARKERS_DOWN)
    ]
