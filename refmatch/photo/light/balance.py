"""What is done about the colour of the light a photo was taken in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import BRADFORD, lab_to_xyz
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.errors import BalanceError
from refmatch.flag import Flag
from refmatch.photo.hole import Hole, sample
from refmatch.photo.light.locus import (
    COOLEST_K,
    HOTTEST_K,
    Temperature,
    light_of,
    temperature_of,
)
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


# What the painter asks for, which is also what is saved.

GREY_CARD_LSTAR = 49.5
"""L* of an 18 % grey card (common practice: 18 % reflectance, 116 * 0.18**(1/3) - 16)."""

PAPER_LSTAR = 95.0
"""L* of white paper (ISO 12647-2:2013 has coated printing papers at 93 to 95; from memory)."""

USUAL_LSTAR = {"neutral": GREY_CARD_LSTAR, "white": PAPER_LSTAR}
"""The methods that go by a spot of known lightness, and what is usual there."""

SAVED = "saved"
"""The method of a light that an older painting holds as a matrix alone."""

LIMITS = {
    "keep_light": (0.0, 100.0),
    "neutral_lstar": (5.0, 100.0),
    "white_lstar": (50.0, 100.0),
    "duv": (-0.05, 0.05),
    "kelvin": (COOLEST_K, HOTTEST_K),
}


@dataclass(frozen=True)
class SavedLight:
    """A balance as an older painting holds it, its ``matrix`` row by row; see `Balance`.

    It is no `Balance`, whose array can neither be compared nor hashed with what was asked.
    """

    method: str
    matrix: tuple[float, ...]
    cast_kelvin: float | None = None
    cast_duv: float | None = None
    exposure_factor: float = 1.0


@dataclass(frozen=True)
class AskedLight:
    """How the light is to be taken out.

    ``method`` is one of `METHODS`, `SAVED` for ``saved``, or None where nothing is said: then
    the photo stays as shot, with a word where it looks cast. The spot, for "neutral" and
    "white", is in pixels of the whole upright photo, and ``lstar`` is how light the thing there
    is (None for the usual), which ``set_exposure`` brings it to. ``kelvin`` and ``duv`` are for
    "temperature". ``keep_light`` is the part of the cast that stays, 0 to 100.
    """

    method: str | None = None
    x_px: float | None = None
    y_px: float | None = None
    diameter_px: float | None = None
    lstar: float | None = None
    kelvin: float | None = None
    duv: float | None = None
    keep_light: float = 0.0
    set_exposure: bool = True
    saved: SavedLight | None = None

    def __post_init__(self) -> None:
        """Refuse numbers that mean nothing.

        Raises:
            BalanceError: a number is out of its range.
        """
        numbers = {"keep_light": self.keep_light, "kelvin": self.kelvin, "duv": self.duv}
        if self.method in USUAL_LSTAR:
            numbers[f"{self.method}_lstar"] = self.lstar
        for what, number in numbers.items():
            low, high = LIMITS[what]
            if number is not None and not low <= number <= high:  # also catches not-a-number
                raise BalanceError(
                    "light_out_of_range", what=what, number=number, low=low, high=high
                )

    @property
    def spot(self) -> Hole | None:
        """The spot to go by, None where none is pointed to."""
        if self.x_px is None or self.y_px is None or self.diameter_px is None:
            return None
        return Hole(self.x_px, self.y_px, self.diameter_px, self.method or "")


Method = Callable[[Photo, AskedLight], Balance]
"""A balance method: one function, one line in `METHODS`."""


# From the colour of the light to the one matrix that is applied to the photo.

LEAST_CONE = 0.01
"""The least part of white's that each of Bradford's cones must have of a light: less cannot be
made white, and less than nothing is no light. A black body of 1000 K has 0.014 of the third."""


def balance_of(
    asked: AskedLight,
    white: Array,
    exposure_factor: float = 1.0,
    confidence: float | None = None,
    flags: tuple[Flag, ...] = (),
) -> Balance:
    """Return the balance that takes out a light.

    ``white`` (3,) is what a white thing looks like in the photo: XYZ with Y = 1, under the
    ICC D50 white; the rest as in `Balance`.

    Raises:
        BalanceError: the light is stronger in colour than any that can be taken out.
    """
    if np.min((BRADFORD @ white) / (BRADFORD @ PHOTO_WHITE)) < LEAST_CONE:
        raise BalanceError("light_beyond_colours")
    cast = temperature_of(white)
    return Balance(
        method=asked.method or "as-shot",
        matrix=exposure_factor * adaptation_keeping(white, asked.keep_light),
        cast_kelvin=cast.kelvin,
        cast_duv=cast.duv,
        keep_light_percent=asked.keep_light,
        exposure_factor=exposure_factor,
        confidence=confidence,
        flags=flags,
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


# The methods that need nothing of the picture.


def left_as_shot(photo: Photo, asked: AskedLight) -> Balance:
    """Leave the photo as the camera gave it.

    Cameras balance every photo already, by better means than one picture alone gives
    and often to the photographer's taste; without a spot that is known to be grey,
    leaving that be is the honest choice.
    """
    return as_shot()


def as_saved(asked: AskedLight, saved: SavedLight) -> Balance:
    """Take the light out as an older painting did."""
    return Balance(
        method=saved.method,
        matrix=np.array(saved.matrix).reshape(3, 3),
        cast_kelvin=saved.cast_kelvin,
        cast_duv=saved.cast_duv,
        keep_light_percent=asked.keep_light,
        exposure_factor=saved.exposure_factor,
    )


def given_temperature(photo: Photo, asked: AskedLight) -> Balance:
    """Take out the light that the painter says it was: so many kelvin, and so much tint.

    The number means what a camera set to daylight of about 5000 K would have seen,
    because the photo's own white is D50. A camera that balanced the lamp itself has
    already removed some of it.

    Raises:
        BalanceError: no temperature is stated.
    """
    if asked.kelvin is None:
        raise BalanceError("temperature_not_stated")
    return balance_of(asked, light_of(Temperature(asked.kelvin, asked.duv or 0.0)))


# The methods that go by a spot whose colour is known, grey or white.

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
