"""Dabs that shine otherwise than the recipe is reckoned for: wet, dry, or sunk into the ground.

The skin of a film adds the same light at every wavelength. A sunk dab shows more of it, so that
darks look lighter and greyer than they are: they are not too light, and would be wrongly darkened.
How much it adds is roughly known from how the dab is said to have dried, and may be taken off.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.kubelka_munk import FINISHES, Surface

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
