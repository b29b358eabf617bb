"""Hue and chroma as the eye spaces them, and the plain names painters give to hues.

CIELAB's hue circle is bent in the blues: a tint of ultramarine and one of
dioxazine violet lie at nearly one CIELAB angle. So hues are named on the Munsell
circle, found through IPT, a space made so that blue stays blue. Chroma words
follow Munsell chroma too, since C* 40 is a strong blue but a quiet yellow.
"""

from __future__ import annotations

import functools
import json
from importlib.resources import files

import numpy as np

from refmatch.colorimetry.display import SRGB_WHITE
from refmatch.colorimetry.lab import EPSILON, KAPPA, adaptation, chroma, lab_to_xyz
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE

# Value, the painter's lightness: Munsell's ten even steps from black to white.
#
# Values come first in a picture, and painters count them from 0 (black) to 10
# (white). L* divided by ten is close, but not the same; this is the standard's own
# relation, and its inverse.

COEFFICIENTS: Array = np.array([0.0, 1.1914, -0.22533, 0.23352, -0.020484, 0.00081939])
"""Powers 0 to 5 of the value; the quintic of ASTM D1535-08e1, perfect reflector Y = 100."""

_SLOPES: Array = COEFFICIENTS[1:] * np.arange(1, 6)


def munsell_value(lab: Array) -> Array:
    """Return the Munsell value, 0 to 10, of CIELAB colours, shape (..., 3) to (...)."""
    return value_from_lstar(np.asarray(lab, dtype=float)[..., 0])


def value_from_lstar(lstar: Array | float) -> Array:
    """Return the Munsell value, 0 to 10, of a lightness L*, 0 to 100, any shape."""
    return value_from_luminance(_luminance_from_lstar(lstar))


def value_from_luminance(luminance: Array | float) -> Array:
    """Return the Munsell value, 0 to 10, of a luminance factor Y, 0 to 100, any shape.

    Solves `luminance_from_value` by Newton's method from V = L*/10, which is within
    0.2 of the root; the quintic rises all the way, so four steps end at rounding
    error. Luminances outside 0 to 100 (glare, noise) get the value of the nearest end.
    """
    wanted: Array = np.clip(np.asarray(luminance, dtype=float), 0.0, 100.0)
    value = _lstar_from_luminance(wanted) / 10.0
    for _ in range(4):
        slope = np.polynomial.polynomial.polyval(value, _SLOPES)
        value = value - (luminance_from_value(value) - wanted) / slope
    return np.clip(value, 0.0, 10.0)


def luminance_from_value(value: Array | float) -> Array:
    """Return the luminance factor Y, 0 to 100, of a Munsell value, 0 to 10.

    Source: ASTM D1535-08e1, against the perfect reflecting diffuser.
    """
    return np.asarray(np.polynomial.polynomial.polyval(np.asarray(value, float), COEFFICIENTS))


def lstar_from_value(value: Array | float) -> Array:
    """Return the lightness L*, 0 to 100, of a Munsell value, 0 to 10."""
    return _lstar_from_luminance(luminance_from_value(value))


def _lstar_from_luminance(luminance: Array) -> Array:
    ratio = np.asarray(luminance, dtype=float) / 100.0
    return np.where(ratio > EPSILON, 116.0 * np.cbrt(ratio) - 16.0, KAPPA * ratio)


def _luminance_from_lstar(lstar: Array | float) -> Array:
    lstar = np.asarray(lstar, dtype=float)
    cube = ((lstar + 16.0) / 116.0) ** 3
    return np.where(cube > EPSILON, cube, lstar / KAPPA) * 100.0


XYZ_TO_LMS: Array = np.array(
    [[0.4002, 0.7075, -0.0807], [-0.2280, 1.1500, 0.0612], [0.0, 0.0, 0.9184]]
)
LMS_TO_IPT: Array = np.array(
    [[0.4000, 0.4000, 0.2000], [4.4550, -4.8510, 0.3960], [0.8056, 0.3572, -1.1628]]
)
"""Ebner & Fairchild 1998, Proc. IS&T/SID 6th Color Imaging Conference, 8-13; D65, exponent 0.43."""

GREY_BELOW, LEANS_ABOVE = 1.5, 0.5
"""Munsell chroma under which a colour is called a grey, and above which the grey leans.

The greys and the -ish greys of the ISCC-NBS names (Kelly & Judd 1976; from memory).
"""

HUES: tuple[tuple[float, str], ...] = (
    (10.0, "red"),
    (17.5, "orange"),
    (22.5, "yellow-orange"),
    (30.0, "yellow"),
    (40.0, "yellow-green"),
    (50.0, "green"),
    (60.0, "blue-green"),
    (80.0, "blue"),
    (90.0, "violet"),
    (100.0, "purple-red"),
)
"""Where each name ends on the Munsell circle of 100 (10 is 10R, 80 is 10PB).

The families of ASTM D1535 in a painter's words: YR and Y are parted in three, B
and PB are one blue. Our own choice, held against the named 24-patch chart.
"""


def ipt_hue_deg(lab: Array) -> Array:
    """Return the hue angle in IPT of D50 Lab colours, degrees 0 to 360, shape (...)."""
    xyz = lab_to_xyz(lab, ICC_WHITE) / 100.0 @ _to_srgb_white().T
    lms = xyz @ XYZ_TO_LMS.T
    ipt = (np.sign(lms) * np.abs(lms) ** 0.43) @ LMS_TO_IPT.T
    return np.degrees(np.arctan2(ipt[..., 2], ipt[..., 1])) % 360.0


@functools.cache
def _to_srgb_white() -> Array:
    return adaptation(ICC_WHITE, SRGB_WHITE)


def munsell_hue(lab: Array) -> Array:
    """Return the approximate Munsell hue, 0 to 100 around the circle (5 is 5R), shape (...).

    Within about two steps of the renotation; meaningless in greys.
    """
    hues, angles, _ = _table()
    angle = (ipt_hue_deg(lab) - angles[0]) % 360.0 + angles[0]
    return np.interp(angle, angles, hues) % 100.0


def munsell_chroma(lab: Array) -> Array:
    """Return the approximate Munsell chroma, 0 to about 26, shape (...).

    C* divided by what one step is worth at this hue: 4 in violets to 7 in yellows,
    nearly the same at all values and chromas of the renotation.
    """
    return munsell_hue_and_chroma(lab)[1]


def munsell_hue_and_chroma(lab: Array) -> tuple[Array, Array]:
    """Return `munsell_hue` and `munsell_chroma`, which rests on it."""
    hues, _, ratios = _table()
    hue = munsell_hue(lab)
    return hue, chroma(lab) / np.interp(hue, hues, ratios)


def hue_family(lab: Array) -> str:
    """Return the name of the hue of one colour, whatever its value and chroma."""
    hue = float(munsell_hue(lab))
    return next(name for end, name in HUES if hue <= end)


def leans_to(lab: Array, reference: Array) -> str:
    """Return the family next to the reference's on the side to which ``lab`` has turned."""
    names = [name for _, name in HUES]
    turned = (float(munsell_hue(lab) - munsell_hue(reference)) + 50.0) % 100.0 - 50.0
    return names[(names.index(hue_family(reference)) + (1 if turned > 0.0 else -1)) % len(names)]


def hue_name(lab: Array) -> str:
    """Name the hue of one colour, shape (3,), as a painter would: "blue", "brown", "grey".

    Dark oranges are browns, dark yellows olives, pale reds pinks, quiet yellows of
    middle value ochres; below `GREY_BELOW` a grey, said to lean where it does.
    """
    value, step, hue = float(munsell_value(lab)), float(munsell_chroma(lab)), _unrolled_hue(lab)
    if step < GREY_BELOW:
        return _grey(value) + (f" leaning {hue_family(lab)}" if step >= LEANS_ABOVE else "")
    if 4.5 <= value < 7.0 and 4.0 <= step <= 9.0 and 17.5 <= hue <= 25.0:
        return "ochre"
    if 7.0 <= hue <= 22.5 and step <= (10.0 if value < 4.5 else 6.0) and value < 6.0:
        return "brown"
    if value < 1.5 and step < 4.0:
        return f"black leaning {hue_family(lab)}"
    if value < 5.5 and step <= 8.0 and 22.5 < hue <= 35.0:
        return "olive"
    if value >= 6.0 and step <= 12.0 and -10.0 <= hue <= (13.0 if step < 6.0 else 10.0):
        return "pink"
    return hue_family(lab)


def _unrolled_hue(lab: Array) -> float:
    """Return the hue with purple-reds below zero, so that the reds lie in one stretch."""
    hue = float(munsell_hue(lab))
    return hue - 100.0 if hue > 90.0 else hue


def _grey(value: float) -> str:
    if value >= 8.5:
        return "white"
    return "black" if value < 2.0 else "grey"


@functools.cache
def _table() -> tuple[Array, Array, Array]:
    """Return Munsell hues 0 to 100, their IPT angles (rising by 360) and C* per step."""
    text = files("refmatch.colorimetry").joinpath("data/munsell_hues.json").read_text("utf-8")
    raw = json.loads(text)
    hues, ratios = np.array(raw["munsell_hue"]), np.array(raw["lab_chroma_per_step"])
    angles = np.unwrap(raw["ipt_hue_deg"], period=360.0)
    angles = np.r_[angles[-1] - 360.0, angles]
    return np.r_[0.0, hues], angles, np.r_[ratios[-1], ratios]
