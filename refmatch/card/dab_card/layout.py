"""The dab card as data: a window for each target of a painting, and for white and black paint."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.card.layout import CardTube, Frame, PaintWindow, Window
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import CardError
from refmatch.flag import Flag


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
        return tuple(each for each in self.windows if isinstance(each, TargetWindow))

    @property
    def paints(self) -> tuple[PaintWindow, ...]:
        """The windows for paint as squeezed, page by page."""
        return tuple(each for each in self.windows if isinstance(each, PaintWindow))
