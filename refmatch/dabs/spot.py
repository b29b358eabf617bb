"""What is read of a photo: dabs of known tubes, and surfaces whose colour is known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.kubelka_munk import FINISHES, Surface

# Dabs that shine otherwise than the recipe is reckoned for: wet, dry, or sunk into the ground.
#
# The skin of a film adds the same light at every wavelength. A sunk dab shows more of it, so that
# darks look lighter and greyer than they are: they are not too light, and would be darkened
# wrongly.
# How much it adds is roughly known from how the dab is said to have dried, and may be taken off.

WET, DRY, SUNK = "wet", "dry", "sunk"
"""How a dab can look: as mixed, dried with some shine left, or gone matt."""

LEAST_REFLECTANCE = 1e-3
"""Nothing painted is darker, however much shine is taken off."""


@dataclass(frozen=True)
class Finish:
    """Which share of the skin's reflection is seen, and how far that may be off (own choice)."""

    f: float
    doubt: float


STATES: dict[str, Finish] = {
    WET: Finish(FINISHES["gloss"], 0.05),
    DRY: Finish(FINISHES["satin"], 0.2),
    SUNK: Finish(FINISHES["matt"], 0.3),
}
"""The finish of each state; the shares are those of gloss, satin and matt."""


def as_seen(reflectance: Array, state: str, surface: Surface) -> Array:
    """Return reflectance (..., 31), reckoned for a surface, as it is seen in a state.

    Saunderson's skin adds f k1 at every wavelength (`paint.kubelka_munk.to_measured`).
    """
    return reflectance + (STATES[state].f - surface.f) * surface.k1


def as_reckoned(reflectance: Array, state: str, surface: Surface) -> Array:
    """Return reflectance (..., 31), seen in a state, as it is reckoned for: undoes `as_seen`."""
    body = reflectance - (STATES[state].f - surface.f) * surface.k1
    return np.maximum(body, LEAST_REFLECTANCE)


def doubt_of(reflectance: Array, state: str, surface: Surface) -> Array:
    """Return what the shine leaves open of Lab, (..., 3): one standard error, of one sign."""
    by = 1e-4
    slope = (reflectance_to_lab(reflectance + by) - reflectance_to_lab(reflectance)) / by
    lab: Array = slope * surface.k1 * STATES[state].doubt
    return lab


Channels = tuple[bool, bool, bool]
NONE_CLIPPED: Channels = (False, False, False)
PAPER_Y = 0.8
"""Luminance at which a photo usually shows white paper (common practice, no source)."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Spot:
    """One place in a photo.

    ``xyz`` (3,) is its mean as the photo decodes it: linear, D50, white at Y = 1, uneven light
    divided out. ``sigma`` (3,) is its standard error in the same: how uneven the place is.
    ``high`` and ``low`` say which of red, green and blue lie at the end of the file's scale:
    there the mean is a bound. ``shading`` is what was divided out: how many times as bright the
    photo shows white paper there as elsewhere, where it shows it at luminance ``paper``.
    ``photo`` numbers the photo from 0, where there are several.
    """

    xyz: Array
    sigma: Array
    high: Channels = NONE_CLIPPED
    low: Channels = NONE_CLIPPED
    shading: float = 1.0
    paper: float = PAPER_Y
    photo: int = 0

    @property
    def is_clipped(self) -> bool:
        """Whether a channel is at an end of the photo's scale."""
        return any(self.high) or any(self.low)


@dataclass(frozen=True, eq=False)
class PhotoDab(Spot):
    """Parts of tubes that were mixed, painted and photographed.

    ``tubes`` are numbers in the row of tubes that is calibrated; ``hand`` is the relative error
    of each part; ``state`` is how it dried, one of `STATES`.
    """

    label: str
    tubes: tuple[int, ...]
    parts: tuple[float, ...]
    hand: float = 0.05
    state: str = WET

    @classmethod
    def at(cls, spot: Spot, label: str, laid: Mapping[int, float], state: str = WET) -> PhotoDab:
        """Return the dab of a spot; ``laid`` are its parts by the tubes' numbers."""
        tubes, parts = tuple(laid), tuple(laid.values())
        return cls(label, tubes, parts, state=state, **_fields_of(spot))


@dataclass(frozen=True, eq=False)
class Known(Spot):
    """A surface of known ``reflectance`` (31,) in the photo: a grey card, a patch of a chart.

    ``doubt_lstar`` is how well it is known: the standard error, in L*, of what a camera would see
    of it in each channel. ``on_chart`` is where a patch lies on its chart, column and row from the
    middle, the edges of the longer side at 1: a chart lies in a light of its own.
    """

    label: str
    reflectance: Array
    doubt_lstar: float = 0.0
    on_chart: tuple[float, float] | None = None

    @classmethod
    def at(
        cls,
        spot: Spot,
        label: str,
        reflectance: Array,
        doubt_lstar: float = 0.0,
        at: tuple[float, float] | None = None,
    ) -> Known:
        """Return a known surface at a spot; ``at`` is where it lies on a chart."""
        return cls(label, reflectance, doubt_lstar, at, **_fields_of(spot))


def _fields_of(spot: Spot) -> dict[str, Any]:
    return {each.name: getattr(spot, each.name) for each in fields(Spot)}
