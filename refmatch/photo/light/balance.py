"""What is done about the colour of the light a photo was taken in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from refmatch.colorimetry.lab import BRADFORD
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.errors import BalanceError
from refmatch.flag import Flag
from refmatch.photo.light.locus import COOLEST_K, HOTTEST_K, temperature_of

if TYPE_CHECKING:
    from refmatch.photo.hole import Hole
    from refmatch.photo.photo import Photo


@dataclass(frozen=True, eq=False)
class Balance:
    """One correction for the whole photo, and what it says about the light.

    ``matrix`` has shape (3, 3) and acts on XYZ of the ICC D50 white, linear in
    light: ``xyz @ matrix.T``. ``cast_kelvin`` and ``cast_duv`` are the light's
    correlated colour temperature and its distance from the Planckian locus in
    CIE 1960 uv, where the method knows them. ``keep_light_percent`` is the part of the
    cast that stays, 0 to 100. ``exposure_factor`` is the gain of light already
    inside ``matrix``. ``confidence`` is 0 to 1 for a guess, None for a measurement.
    """

    method: str
    matrix: Array
    cast_kelvin: float | None = None
    cast_duv: float | None = None
    keep_light_percent: float = 0.0
    exposure_factor: float = 1.0
    confidence: float | None = None
    flags: tuple[Flag, ...] = ()


def as_shot() -> Balance:
    """Return the balance that changes nothing: the photo as its file has it."""
    return Balance("as-shot", np.eye(3), keep_light_percent=100.0)


# What the painter tells a balance method, and what the method answers.

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


# From the light that a method saw to the one matrix that is applied to the photo.

LEAST_CONE = 0.01
"""The least part of white's that each of Bradford's cones must have of a light: less cannot be
made white, and less than nothing is no light. A black body of 1000 K has 0.014 of the third."""


def balance_of(light: SeenLight, method: str, keep_light: float) -> Balance:
    """Turn the light that was seen into a balance.

    Raises:
        BalanceError: the light is stronger in colour than any that can be taken out.
    """
    if light.xyz is None:
        return as_shot()
    if np.min((BRADFORD @ light.xyz) / (BRADFORD @ PHOTO_WHITE)) < LEAST_CONE:
        raise BalanceError("light_beyond_colours")
    cast = temperature_of(light.xyz)
    return Balance(
        method=method,
        matrix=light.exposure_factor * adaptation_keeping(light.xyz, keep_light),
        cast_kelvin=cast.kelvin,
        cast_duv=cast.duv,
        keep_light_percent=keep_light,
        exposure_factor=light.exposure_factor,
        confidence=light.confidence,
        flags=light.flags,
    )


def adaptation_keeping(light: Array, keep_light: float) -> Array:
    """Return the 3 x 3 matrix that takes ``light`` to the photo's white, or part of the way.

    ``keep_light`` 0 removes the cast, 100 leaves it. Between, the logarithms of the
    gains of Bradford's three cones are shortened alike: the eye answers to ratios
    of light, so half the logarithm looks like half the cast. A grey keeps its
    luminance. Shape of ``light`` (3,), XYZ with Y = 1.
    """
    gain = (BRADFORD @ PHOTO_WHITE) / (BRADFORD @ light)
    partial = np.linalg.solve(BRADFORD, (gain ** (1.0 - keep_light / 100.0))[:, None] * BRADFORD)
    return np.asarray(partial / (partial @ light)[1])


def clipped_flags(clipped_fraction: float) -> tuple[Flag, ...]:
    """Say how much of the photo is clipped, where it is enough to matter."""
    if clipped_fraction < 0.001:
        return ()
    return (Flag("clipped", of="photo", share=clipped_fraction),)


# Leave the photo as the camera gave it.
#
# Cameras balance every photo already, by better means than one picture alone gives
# and often to the photographer's taste; without a spot that is known to be grey,
# leaving that be is the honest choice.


def left_as_shot(photo: Photo, request: BalanceRequest) -> SeenLight:
    """Return no light at all, so that nothing is removed."""
    return SeenLight(xyz=None)
