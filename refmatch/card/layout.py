"""The printed cards as data: what lies where on each page, in millimetres.

A card is a frame with windows. It is taped over primed canvas paper and each dab is
painted through its window, then drawn out over the black bar below it. What is printed
and what is looked for in a photo are both made from this one description.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Generic, TypeVar

from refmatch.card.place import Place
from refmatch.errors import CardError

WINDOW_INSET_MM = 2.5
"""What is left out along a window's edges: the frame's shadow, a crooked cut, a thin rim."""

BAR_INSET_MM = 0.9
GREY_INSET_MM = 4.0
"""Likewise on the bar, and on the grey card, which need not lie straight."""


@dataclass(frozen=True, slots=True)
class Window(ABC):
    """An opening for one dab, and the bar that its paint is drawn out over."""

    page: int
    place: Place
    bar: Place

    @property
    @abstractmethod
    def label(self) -> str:
        """How a painter would name what lies in it."""


@dataclass(frozen=True, slots=True)
class PaintWindow(Window):
    """A window for paint that is known by its parts.

    ``parts`` of the tube to ``white_parts`` of the box's white; 0 of it is the masstone.
    """

    tube: str
    parts: int
    white_parts: int

    @property
    def label(self) -> str:
        """How a painter would name it: "ultramarine 1 to 9 white"."""
        return f"{self.tube} {self.parts_in_words}"

    @property
    def parts_in_words(self) -> str:
        """What to mix for it: "as squeezed" or "1 to 9 white"."""
        return f"{self.parts} to {self.white_parts} white" if self.white_parts else "as squeezed"


@dataclass(frozen=True, slots=True)
class Marker:
    """A square marker; its ``number`` tells card, page and place."""

    number: int
    page: int
    place: Place


@dataclass(frozen=True, slots=True)
class PlainPaper:
    """A stretch of the page where nothing is printed: it shows how evenly the light falls."""

    page: int
    place: Place


@dataclass(frozen=True, slots=True)
class GreyPlace:
    """Where the grey card lies, over a printed cross that shows while it does not."""

    page: int
    place: Place


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
    greys: tuple[GreyPlace, ...]
    papers: tuple[PlainPaper, ...]

    @abstractmethod
    def another(self, photo: str) -> CardError:
        """Return the refusal of a photo, by name, that shows another card than this."""

    def windows_on(self, page: int) -> tuple[W, ...]:
        """Return a page's windows, row by row."""
        return tuple(each for each in self.windows if each.page == page)

    def markers_on(self, page: int) -> tuple[Marker, ...]:
        """Return a page's markers."""
        return tuple(each for each in self.markers if each.page == page)

    def papers_on(self, page: int) -> tuple[PlainPaper, ...]:
        """Return a page's stretches of plain paper."""
        return tuple(each for each in self.papers if each.page == page)

    def grey_on(self, page: int) -> GreyPlace:
        """Return where a page's grey card lies."""
        return next(each for each in self.greys if each.page == page)


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
        return not any(each.tube == tube and each.white_parts for each in self.windows)
