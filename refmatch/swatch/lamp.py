"""A light by its name or its colour temperature, as weights from reflectance to linear sRGB."""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.adaptation import adaptation
from refmatch.colorimetry.display import XYZ_TO_SRGB
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array
from refmatch.colorimetry.viewing import ICC_WHITE, viewing
from refmatch.errors import UsageError

Light = str | float
"""A name, "A", "D50", "D65" or "LED"; or kelvins."""

NAMES = {"A": "A", "D50": "D50", "D65": "D65", "LED": "LED-B3", "LED-B3": "LED-B3"}
A_K, D50_K, D65_K = 2856.0, 5003.0, 6504.0
"""Correlated colour temperatures of the CIE's illuminants (CIE 015:2018)."""

LEAST_K, MOST_K = 1800.0, 12000.0
DAYLIGHT_FROM_K = 4000.0
"""Below this a light of a temperature is taken for a glowing body, from it up for daylight."""

SECOND_RADIATION_NM_K = 1.4388e7
"""Planck's second radiation constant c2 (CIE 015:2018)."""


def light_said(text: str) -> Light:
    """Return a light as a painter writes it: kelvins, such as "5500" or "5500K", else its name."""
    try:
        return float(text.strip().upper().removesuffix("K"))
    except ValueError:
        return text.strip()


def lamp(light: Light) -> Array:
    """Return the weights, (31, 3), by which the CIE observer under a light sees linear sRGB.

    The observer is adapted from the light to the photo's white (Bradford): white is 1, 1, 1.

    Raises:
        UsageError: no such light, or kelvins beyond 1800 to 12000.
    """
    weights = _weights(light)
    to_srgb = XYZ_TO_SRGB @ adaptation(weights.sum(axis=0), ICC_WHITE)
    return weights @ to_srgb.T


def _weights(light: Light) -> Array:
    if isinstance(light, str):
        known = NAMES.get(light.strip().upper())
        if known is None:
            raise UsageError("light_unknown", light=light)
        return viewing(known).weights
    if not LEAST_K <= light <= MOST_K:
        raise UsageError("light_beyond", kelvins=light, least=LEAST_K, most=MOST_K)
    return _daylight(light) if light >= DAYLIGHT_FROM_K else _glow(light)


def _glow(kelvins: float) -> Array:
    """Return a glowing body's weights: those of CIE A, as much redder or bluer as Planck's law."""
    other = _planck(kelvins) / _planck(A_K)
    weights = viewing("A").weights * other[:, None]
    return 100.0 * weights / weights[:, 1].sum()


def _daylight(kelvins: float) -> Array:
    """Return daylight's weights, between or beyond D50 and D65 in reciprocal kelvins."""
    share = (1.0 / D50_K - 1.0 / kelvins) / (1.0 / D50_K - 1.0 / D65_K)
    d50, d65 = viewing("D50").weights, viewing("D65").weights
    return d50 + share * (d65 - d50)


def _planck(kelvins: float) -> Array:
    return 1.0 / np.expm1(SECOND_RADIATION_NM_K / (WAVELENGTHS_NM * kelvins))
