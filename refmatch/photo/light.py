"""What is done about the colour of the light a photo was taken in."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag


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
