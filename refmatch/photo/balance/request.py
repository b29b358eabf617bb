"""What the painter tells a balance method, and what the method answers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BalanceError
from refmatch.flag import Flag
from refmatch.photo.balance.locus import COOLEST_K, HOTTEST_K

if TYPE_CHECKING:
    from refmatch.photo.mask import Hole
    from refmatch.photo.photo import Photo

GREY_CARD_LSTAR = 49.5
"""L* of an 18 % grey card (common practice: 18 % reflectance, 116 * 0.18**(1/3) - 16)."""

PAPER_LSTAR = 95.0
"""L* of white paper (ISO 12647-2:2013 has coated printing papers at 93 to 95; from memory)."""


@dataclass(frozen=True)
class BalanceRequest:
    """What is known of the light, and how much of its colour is to stay.

    ``neutral`` is a spot on a grey thing of lightness ``neutral_lstar``, ``white``
    one on a white thing of ``white_lstar``; ``set_exposure`` brings the spot to
    that lightness. ``kelvin`` and ``duv`` describe the light itself. ``keep_light``,
    0 to 100, is the part of the cast that stays in the picture.
    """

    neutral: Hole | None = None
    neutral_lstar: float = GREY_CARD_LSTAR
    white: Hole | None = None
    white_lstar: float = PAPER_LSTAR
    set_exposure: bool = True
    kelvin: float | None = None
    duv: float = 0.0
    keep_light: float = 0.0

    def __post_init__(self) -> None:
        """Refuse numbers that mean nothing.

        Raises:
            BalanceError: a number is out of its range.
        """
        _within("keep_light", self.keep_light, (0.0, 100.0))
        _within("neutral_lstar", self.neutral_lstar, (5.0, 100.0))
        _within("white_lstar", self.white_lstar, (50.0, 100.0))
        _within("duv", self.duv, (-0.05, 0.05))
        if self.kelvin is not None:
            _within("kelvin", self.kelvin, (COOLEST_K, HOTTEST_K))


@dataclass(frozen=True, eq=False)
class SeenLight:
    """The light as it shows in the photo: what a white thing in it looks like.

    ``xyz``, shape (3,), is on the photo's own scale (ICC D50 white) with Y = 1;
    None when the method leaves the photo alone. ``exposure_factor`` is the gain
    that brings a spot of known lightness to it.
    """

    xyz: Array | None
    exposure_factor: float = 1.0
    confidence: float | None = None
    flags: tuple[Flag, ...] = ()


Method = Callable[["Photo", BalanceRequest], SeenLight]
"""A balance method: one function in a file of its own, one line in `METHODS`."""


def _within(what: str, number: float, limits: tuple[float, float]) -> None:
    low, high = limits
    if not low <= number <= high:  # also catches not-a-number
        raise BalanceError("light_out_of_range", what=what, number=number, low=low, high=high)
