"""A spot whose colour is known, grey or white, and what it tells of the light."""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.errors import BalanceError
from refmatch.flag import Flag
from refmatch.photo.hole import sample
from refmatch.photo.light.balance import USUAL_LSTAR, AskedLight, Balance, as_shot, balance_of
from refmatch.photo.light.locus import temperature_of
from refmatch.photo.photo import Photo

MOST_CLIPPED = 0.02
"""Share of clipped pixels from which a spot's mean is no longer its colour."""

DARKEST_LSTAR = 10.0
"""Below this one step of an 8-bit file moves a grey by a visible amount."""


def by_spot(photo: Photo, asked: AskedLight) -> Balance:
    """Take the colour of a grey or a white spot, as the photo has it, for that of the light.

    Raises:
        BalanceError: there is no spot, or it is clipped or nearly black.
        HoleError: it is off the photo.
    """
    kind, hole = asked.method or "", asked.spot
    if hole is None:
        raise BalanceError(f"{kind}_spot_missing")
    read = sample(photo, as_shot(), hole)
    xyz, lstar = lab_to_xyz(read.lab, PHOTO_WHITE), float(read.lab[0])
    if read.clipped_fraction > MOST_CLIPPED:
        raise BalanceError("known_spot_clipped", kind=kind, share=read.clipped_fraction)
    if lstar < DARKEST_LSTAR or xyz.min() <= 0.0:
        raise BalanceError("known_spot_black", kind=kind, lstar=max(lstar, 0.0))
    factor, flags = 1.0, _colour_flags(xyz, kind)
    if asked.set_exposure:
        stated = USUAL_LSTAR[kind] if asked.lstar is None else asked.lstar
        wanted = float(lab_to_xyz(np.array([stated, 0.0, 0.0]), PHOTO_WHITE)[1])
        factor = wanted / float(xyz[1])
        flags += _exposure_flags(factor, kind, lstar, stated)
    flags += _hole_flags(read.flags, kind)
    return balance_of(asked, xyz / xyz[1], factor, flags=flags)


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


def _exposure_flags(factor: float, kind: str, lstar: float, stated: float) -> tuple[Flag, ...]:
    stops = float(np.log2(factor))
    if abs(stops) <= 2.0:
        return ()
    return (
        Flag("exposure_far_off", kind=kind, seen_lstar=lstar, stated_lstar=stated, stops=stops),
    )
