"""A spot whose colour is known, grey or white, and what it tells of the light."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from refmatch.colorimetry.lab import lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.errors import BalanceError
from refmatch.flag import Flag
from refmatch.photo.light.balance import BalanceRequest, SeenLight, as_shot
from refmatch.photo.light.locus import temperature_of

if TYPE_CHECKING:
    from refmatch.photo.hole import Hole
    from refmatch.photo.photo import Photo


MOST_CLIPPED = 0.02
"""Share of clipped pixels from which a spot's mean is no longer its colour."""

DARKEST_LSTAR = 10.0
"""Below this one step of an 8-bit file moves a grey by a visible amount."""


def neutral(photo: Photo, request: BalanceRequest) -> SeenLight:
    """Return the light that a grey spot of known lightness shows.

    Raises:
        BalanceError: there is no neutral spot, or it is clipped or nearly black.
    """
    if request.neutral is None:
        raise BalanceError("neutral_spot_missing")
    lstar = request.neutral_lstar if request.set_exposure else None
    return read_spot(photo, request.neutral, lstar, "neutral")


def white(photo: Photo, request: BalanceRequest) -> SeenLight:
    """Return the light that a white spot shows.

    Raises:
        BalanceError: there is no white spot, or it is clipped or nearly black.
    """
    if request.white is None:
        raise BalanceError("white_spot_missing")
    lstar = request.white_lstar if request.set_exposure else None
    return read_spot(photo, request.white, lstar, "white")


def read_spot(photo: Photo, hole: Hole, lstar: float | None, kind: str) -> SeenLight:
    """Read one spot of the photo, unbalanced, and take it for the light's colour.

    ``lstar`` is what the spot's lightness ought to be, or None to leave it.

    Raises:
        BalanceError: the spot is clipped or nearly black. HoleError: it is off the photo.
    """
    from refmatch.photo.hole import sample

    seen = sample(photo, as_shot(), hole)
    xyz = lab_to_xyz(seen.lab, PHOTO_WHITE)
    light = light_of_spot(xyz, seen.clipped_fraction, lstar, kind)
    return replace(light, flags=light.flags + _hole_flags(seen.flags, kind))


def light_of_spot(xyz: Array, clipped: float, lstar: float | None, kind: str) -> SeenLight:
    """Take a spot's mean XYZ, white Y = 1, shape (3,), for the colour of the light.

    ``clipped`` is the part of it that is clipped, 0 to 1.

    Raises:
        BalanceError: too much of it is, or it is nearly black.
    """
    seen_lstar = float(xyz_to_lab(xyz, PHOTO_WHITE)[0])
    if clipped > MOST_CLIPPED:
        raise BalanceError("known_spot_clipped", kind=kind, share=clipped)
    if seen_lstar < DARKEST_LSTAR or xyz.min() <= 0.0:
        raise BalanceError("known_spot_black", kind=kind, lstar=max(seen_lstar, 0.0))
    factor, flags = 1.0, _colour_flags(xyz, kind)
    if lstar is not None:
        wanted = float(lab_to_xyz(np.array([lstar, 0.0, 0.0]), PHOTO_WHITE)[1])
        factor = wanted / float(xyz[1])
        flags += _exposure_flags(factor, kind, seen_lstar, lstar)
    return SeenLight(xyz / xyz[1], factor, None, flags)


def _hole_flags(flags: tuple[Flag, ...], kind: str) -> tuple[Flag, ...]:
    """Pass on what makes any hole doubtful, said of the spot."""
    return tuple(Flag(f"spot_{flag.name}", kind=kind, seen=flag) for flag in flags)


def _colour_flags(xyz: Array, kind: str) -> tuple[Flag, ...]:
    """Doubt a spot under a light that no lamp or sky gives.

    Lamps and daylight keep within Duv 0.02 of the black body; 1700 K is a candle.
    """
    cast = temperature_of(xyz)
    if abs(cast.duv) <= 0.02 and 1700.0 <= cast.kelvin <= 14000.0:
        return ()
    return (Flag("spot_coloured", kind=kind),)


def _exposure_flags(factor: float, kind: str, seen: float, wanted: float) -> tuple[Flag, ...]:
    stops = float(np.log2(factor))
    if abs(stops) <= 2.0:
        return ()
    return (Flag("exposure_far_off", kind=kind, seen_lstar=seen, stated_lstar=wanted, stops=stops),)
