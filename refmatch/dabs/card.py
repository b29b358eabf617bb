"""The printed cards as data: what lies where on each page, in millimetres.

A card is a frame with windows. It is taped over primed canvas paper and each dab is
painted through its window, then drawn out over the black bar below it. What is printed
and what is looked for in a photo are both made from this one description.
"""

from __future__ import annotations

import hashlib
import itertools
import random
from abc import ABC, abstractmethod
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import CardError, UsageError
from refmatch.photo.decoded import Bools
from refmatch.photo.opencv import opencv

# Rectangles on a printed page, in millimetres from its top left corner.


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A rectangle on the page."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float

    @property
    def right_mm(self) -> float:
        """The right edge."""
        return self.x_mm + self.width_mm

    @property
    def bottom_mm(self) -> float:
        """The lower edge."""
        return self.y_mm + self.height_mm

    @property
    def corners_mm(self) -> Array:
        """The corners, (4, 2), clockwise from the top left."""
        left, top, right, bottom = self.x_mm, self.y_mm, self.right_mm, self.bottom_mm
        return np.array([[left, top], [right, top], [right, bottom], [left, bottom]])

    @property
    def centre_mm(self) -> Array:
        """The middle, (2,)."""
        return self.corners_mm.mean(axis=0)

    def inset(self, by_mm: float) -> Rectangle:
        """Return the rectangle with ``by_mm`` taken off each side."""
        width, height = self.width_mm - 2.0 * by_mm, self.height_mm - 2.0 * by_mm
        return Rectangle(self.x_mm + by_mm, self.y_mm + by_mm, width, height)

    def overlaps(self, other: Rectangle) -> bool:
        """Say whether two rectangles share more than an edge."""
        across = min(self.right_mm, other.right_mm) - max(self.x_mm, other.x_mm)
        down = min(self.bottom_mm, other.bottom_mm) - max(self.y_mm, other.y_mm)
        return min(across, down) > 1e-9


WINDOW_INSET_MM = 2.5
"""What is left out along a window's edges: the frame's shadow, a crooked cut, a thin rim."""

BAR_INSET_MM = 0.9
GREY_INSET_MM = 4.0
"""Likewise on the bar, and on the grey card, which need not lie straight."""


@dataclass(frozen=True, slots=True)
class Window(ABC):
    """An opening for one dab, and the bar that its paint is drawn out over."""

    page: int
    place: Rectangle
    bar: Rectangle

    @property
    @abstractmethod
    def label(self) -> str:
        """How a painter would name what lies in it."""


@dataclass(frozen=True, slots=True)
class PaintWindow(Window):
    """A window for paint that is known by its parts.

    ``parts`` of the tube to ``white_parts`` of the box's white; 0 of it is the masstone. Or to
    ``other_parts`` of another tube, ``other``: a dark of two tubes.
    """

    tube: str
    parts: int
    white_parts: int
    other: str = ""
    other_parts: int = 0

    @property
    def label(self) -> str:
        """How a painter would name it: "ultramarine 1 to 9 white"."""
        return f"{self.tube} {self.parts_in_words}"

    @property
    def parts_in_words(self) -> str:
        """What to mix for it: "as squeezed", "1 to 9 white" or "5 to 1 ivory black"."""
        if self.other:
            return f"{self.parts} to {self.other_parts} {self.other}"
        return f"{self.parts} to {self.white_parts} white" if self.white_parts else "as squeezed"


@dataclass(frozen=True, slots=True)
class Marker:
    """A square marker; its ``number`` tells card, page and place."""

    number: int
    page: int
    place: Rectangle


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of a page, for the grey card or of plain paper.

    The grey card lies over a printed cross that shows while it does not; where nothing is
    printed the paper shows how evenly the light falls.
    """

    page: int
    place: Rectangle


@dataclass(frozen=True, slots=True)
class CardTube:
    """A tube that has windows on the card."""

    name: str
    pigments: tuple[str, ...]


W = TypeVar("W", bound=Window, covariant=True)
"""What a card's windows are for."""


@dataclass(frozen=True)
class Frame(ABC, Generic[W]):
    """What every card has: pages, from 1, with windows, markers, a place for the grey, plain paper.

    ``neutral_value`` is the L* of the grey card that lies on it.
    """

    paper: str
    width_mm: float
    height_mm: float
    pages: int
    neutral_value: float
    windows: tuple[W, ...]
    markers: tuple[Marker, ...]
    greys: tuple[Stretch, ...]
    papers: tuple[Stretch, ...]

    @abstractmethod
    def another(self, photo: str) -> CardError:
        """Return the refusal of a photo, by name, that shows another card than this."""

    def windows_on(self, page: int) -> tuple[W, ...]:
        """Return a page's windows, row by row."""
        return tuple(window for window in self.windows if window.page == page)

    def markers_on(self, page: int) -> tuple[Marker, ...]:
        """Return a page's markers."""
        return tuple(marker for marker in self.markers if marker.page == page)

    def papers_on(self, page: int) -> tuple[Stretch, ...]:
        """Return a page's stretches of plain paper."""
        return tuple(stretch for stretch in self.papers if stretch.page == page)

    def grey_on(self, page: int) -> Stretch:
        """Return where a page's grey card lies."""
        return next(grey for grey in self.greys if grey.page == page)


@dataclass(frozen=True)
class Card(Frame[PaintWindow]):
    """The calibration card, and for which box it was made.

    ``box_digest`` is that of the tubes' names and pigments (`compose.digest_of`).
    """

    box_name: str
    box_digest: str
    parts_by: str
    white: str
    tubes: tuple[CardTube, ...]

    def another(self, photo: str) -> CardError:
        return CardError("card_of_another_box", photo=photo, box=self.box_name)

    def is_white(self, tube: str) -> bool:
        """Say whether a tube is a white: only whites are not let down in white."""
        return not any(window.tube == tube and window.white_parts for window in self.windows)


# The markers: which numbers a card's carry, and what each looks like.
#
# The numbers are drawn from a thousand by the card's own digest, so that a page knows its
# place, two pages differ, and another box's card is noticed.

DICTIONARY = "DICT_5X5_1000"
NUMBERS = 1000
MODULES = 7
"""Squares along a marker's side: five that tell its number, within a black rim of one."""


def dictionary() -> Any:
    """Return OpenCV's dictionary of these markers."""
    aruco = opencv().aruco
    return aruco.getPredefinedDictionary(getattr(aruco, DICTIONARY))


def marker_numbers(digest: str, count: int) -> list[int]:
    """Return ``count`` different numbers for the card of this digest."""
    seed = int.from_bytes(hashlib.sha256(digest.encode("utf-8")).digest()[:8], "big")
    return random.Random(seed).sample(range(NUMBERS), count)


def black_modules(number: int) -> Bools:
    """Return which of a marker's squares are black, (7, 7)."""
    picture = opencv().aruco.generateImageMarker(dictionary(), number, MODULES)
    return np.asarray(picture) == 0


def black_runs(number: int, place: Rectangle) -> Sequence[Rectangle]:
    """Return a marker as black rectangles: the runs of each of its rows."""
    side = place.width_mm / MODULES
    runs = []
    for row, black in enumerate(black_modules(number)):
        edges = np.flatnonzero(np.diff(np.concatenate(([0], black.astype(int), [0]))))
        for start, stop in edges.reshape(-1, 2).tolist():
            left, top = place.x_mm + start * side, place.y_mm + row * side
            runs.append(Rectangle(left, top, (stop - start) * side, side))
    return runs


# The papers that can be printed on.

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height in millimetres (ISO 216; ANSI/ASME Y14.1)."""


def size_mm(paper: str) -> tuple[float, float]:
    """Return a paper's width and height.

    Raises:
        UsageError: no such paper.
    """
    if paper not in PAPERS:
        raise UsageError("no_such_paper", paper=paper, known=tuple(PAPERS))
    return PAPERS[paper]


# What lies at the same place on every page of every card: markers, the grey card, plain paper.

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
    places = marker_places(paper)
    numbers = iter(marker_numbers(seed, pages * len(places)))
    return tuple(
        Marker(next(numbers), page, place) for page in range(1, pages + 1) for place in places
    )


def greys(paper: str, pages: int) -> tuple[Stretch, ...]:
    """Return where the grey card lies on each page."""
    return tuple(Stretch(page, grey_place(paper)) for page in range(1, pages + 1))


def grey_place(paper: str) -> Rectangle:
    """Return where the grey card lies on a page."""
    top = size_mm(paper)[1] - MARGIN_MM - GREY_HEIGHT_MM
    return Rectangle(INNER_MM, top, GREY_WIDTH_MM, GREY_HEIGHT_MM)


CODE_MM = 24.0
"""The side of the code of a calibration card: half a millimetre a module for twelve tubes, to be
read in a photo of six pixels to the millimetre."""


def code_place(paper: str) -> Rectangle:
    """Return where a calibration card's code lies on a page: between foot and plain paper."""
    left = beside_words(paper)[1].x_mm - BESIDE_MARKERS_MM - CODE_MM
    return Rectangle(left, grey_place(paper).bottom_mm - CODE_MM, CODE_MM, CODE_MM)


def room_for_rows_mm(paper: str) -> float:
    """Return how high the part of a page is that windows may fill."""
    return grey_place(paper).y_mm - BESIDE_MARKERS_MM - INNER_MM


def edge_paper(paper: str, page: int) -> Iterator[Stretch]:
    """Yield the white between a page's markers, and beside the words of its head and foot."""
    for upper, lower in itertools.pairwise(marker_places(paper)):
        if lower.y_mm > upper.y_mm:
            high = lower.y_mm - upper.bottom_mm
            yield Stretch(page, Rectangle(upper.x_mm, upper.bottom_mm, MARKER_MM, high).inset(3))
    for place in beside_words(paper):
        yield Stretch(page, place)


def beside_words(paper: str) -> tuple[Rectangle, Rectangle]:
    """Return the two stretches that head and foot leave white at their right."""
    width, height = size_mm(paper)
    left = width - MARGIN_MM - MARKER_MM - BESIDE_MARKERS_MM - BLANK_WIDTH_MM
    high = MARKER_MM - 2.0
    bottom = height - MARGIN_MM - MARKER_MM
    return (
        Rectangle(left, MARGIN_MM, BLANK_WIDTH_MM, high),
        Rectangle(left, bottom, BLANK_WIDTH_MM, high),
    )


def marker_places(paper: str) -> list[Rectangle]:
    """Return where the markers lie on any page, down the left side and then the right."""
    width, height = size_mm(paper)
    step = (height - 2.0 * MARGIN_MM - MARKER_MM) / (MARKERS_DOWN - 1)
    sides = (MARGIN_MM, width - MARGIN_MM - MARKER_MM)
    return [
        Rectangle(x, MARGIN_MM + index * step, MARKER_MM, MARKER_MM)
        for x in sides
        for index in range(MARKERS_DOWN)
    ]
