"""The light of a photo in a painter's words: "warm, about 3200 K"."""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.photo.light.balance import Balance
from refmatch.photo.light.locus import COOLEST_K, HOTTEST_K, Temperature, temperature_of

NO_TEMPERATURE_DUV = 0.05
"""Further from the black body than this a light has no colour temperature (CIE 015:2018)."""


def light_words(balance: Balance) -> str:
    """Say what was done about the light: what was taken out, and how much of it was kept."""
    if balance.cast_kelvin is None:
        return "as shot, nothing removed"
    duv = neutral_light().duv if balance.cast_duv is None else balance.cast_duv
    words = cast_words(Temperature(balance.cast_kelvin, duv))
    is_kept = balance.keep_light_percent and words != NO_CAST
    return f"{words}; {balance.keep_light_percent:g} % of it kept" if is_kept else words


NO_CAST = "no cast to speak of"


def cast_words(cast: Temperature) -> str:
    """Say what colour the light gave the photo.

    A step of 10 mired is about the least that is noticed (common practice with
    lighting filters, no source); so are the borders of "slightly" and "very" at 40
    and 130 mired. Tint is told from Duv 0.006 on, where the tolerance of white
    lamps ends (ANSI C78.377), measured from that of D50.
    """
    warmth, tint = _warmth(cast), _tint(cast)
    if not warmth and not tint:
        return NO_CAST
    said = " and ".join(word for word in (warmth, tint) if word)
    return f"{said}, {kelvin_words(cast.kelvin)}" if abs(cast.duv) < NO_TEMPERATURE_DUV else said


def kelvin_words(kelvin: float) -> str:
    """Return "about 3200 K", rounded as finely as it can be meant."""
    if kelvin >= HOTTEST_K * 0.999:
        return f"above {HOTTEST_K:.0f} K"
    if kelvin <= COOLEST_K * 1.001:
        return f"below {COOLEST_K:.0f} K"
    step = 100.0 if kelvin < 6000.0 else 500.0
    return f"about {np.rint(kelvin / step) * step:.0f} K"


def neutral_light() -> Temperature:
    """Return the temperature and tint of the photo's own white, D50."""
    return temperature_of(ICC_WHITE)


def _warmth(cast: Temperature) -> str:
    if abs(cast.duv) >= NO_TEMPERATURE_DUV:
        return ""
    mired = 1e6 / cast.kelvin - 1e6 / neutral_light().kelvin
    if abs(mired) < 10.0:
        return ""
    word = "warm" if mired > 0.0 else "cool"
    if abs(mired) < 40.0:
        return f"slightly {word}"
    return f"very {word}" if abs(mired) > 130.0 else word


def _tint(cast: Temperature) -> str:
    off = cast.duv - neutral_light().duv
    if abs(off) < 0.006:
        return ""
    word = "greenish" if off > 0.0 else "pinkish"
    return f"slightly {word}" if abs(off) < 0.02 else word
