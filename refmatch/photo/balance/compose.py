"""From the light that a method saw to the one matrix that is applied to the photo."""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.adaptation import BRADFORD
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.errors import BalanceError
from refmatch.flag import Flag
from refmatch.photo.balance.locus import temperature_of
from refmatch.photo.balance.request import SeenLight
from refmatch.photo.light import Balance, as_shot

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
