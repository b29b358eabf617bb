"""Colours as people write them: a screen's "#6a5f3c", Munsell's "10YR 5/4" and "N 5/".

Both become Lab for D50 and the CIE 1931 2 degree observer, adapted by Bradford: a screen's from its
D65 white, Munsell's from illuminant C. The renotation gives chromaticities at 40 hues and even
chromas; between them its a* and b* under C are interpolated, straight along hue, value and chroma.
"""

from __future__ import annotations

import functools
import itertools
import json
import re
from importlib.resources import files
from typing import Any, NamedTuple

import numpy as np

from refmatch.colorimetry.display import SRGB_TO_XYZ, decode_srgb
from refmatch.colorimetry.hues import lstar_from_value, luminance_from_value
from refmatch.colorimetry.lab import adaptation, lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.errors import TargetError

_HEX = re.compile(r"#([0-9a-f]{3}|[0-9a-f]{6})")


def lab_from_hex(text: str) -> Array | None:
    """Return the Lab, (3,), of a screen's colour such as "#6a5f3c" or "#abc"; None of what is none.

    The colour is sRGB; source: IEC 61966-2-1:1999.
    """
    written = _HEX.fullmatch(text.strip().lower())
    if written is None:
        return None
    digits = written[1] if len(written[1]) == 6 else "".join(2 * digit for digit in written[1])
    encoded = np.array(list(bytes.fromhex(digits))) / 255.0
    return xyz_to_lab(SRGB_TO_XYZ @ decode_srgb(encoded), ICC_WHITE)


FAMILIES = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
HUE_STEP, CHROMA_STEP = 2.5, 2.0
"""From one hue of the renotation to the next, of 100 in all, and from one chroma to the next."""

_NUMBER = r"(\d+(?:[.,]\d+)?|[.,]\d+)"
_GREY = re.compile(rf"n\s*{_NUMBER}\s*/?\s*(?:0(?:[.,]0+)?)?")
_COLOURED = re.compile(
    rf"{_NUMBER}\s*({'|'.join(sorted(FAMILIES, key=len, reverse=True)).lower()})"
    rf"\s*{_NUMBER}\s*/\s*{_NUMBER}"
)


class Munsell(NamedTuple):
    """A Munsell colour: hue 0 to 100 around the circle (5 is 5R), value 0 to 10, chroma."""

    hue: float
    value: float
    chroma: float


def parse_munsell(text: str) -> Munsell | None:
    """Read "10YR 5/4", "2.5yr 5.5/4" or "N 5/"; None of what is no such notation.

    Raises:
        TargetError: no Munsell hue or value is so large.
    """
    plain = text.strip().lower()
    grey, coloured = _GREY.fullmatch(plain), _COLOURED.fullmatch(plain)
    if grey:
        read = Munsell(0.0, _number(grey[1]), 0.0)
    elif coloured:
        step, family, value, chroma = coloured.groups()
        if _number(step) > 10.0:
            raise TargetError("munsell_hue_beyond", text=text)
        hue = (10.0 * FAMILIES.index(family.upper()) + _number(step)) % 100.0
        read = Munsell(hue, _number(value), _number(chroma))
    else:
        return None
    if read.value > 10.0:
        raise TargetError("munsell_value_beyond", text=text)
    return read


def lab_from_munsell(colour: Munsell, text: str = "") -> Array:
    """Return the Lab, (3,), of a Munsell colour by the renotation; ``text`` is as it was written.

    Value becomes luminance by ASTM D1535-08e1, chromaticity is that of the renotation (Newhall,
    Nickerson & Judd 1943, doi:10.1364/JOSA.33.000385).

    Raises:
        TargetError: the renotation holds no colour so strong at that hue and value.
    """
    a = b = 0.0
    if colour.chroma > 0.0:
        if colour.value < _values()[0]:
            raise TargetError("munsell_beyond", text=text, most=0.0)
        for weight, (hue, value, step) in _corners(colour):
            node = _node(hue, value, step)
            if node is None:
                raise TargetError("munsell_beyond", text=text, most=_most(colour))
            a, b = a + weight * node[0], b + weight * node[1]
    under_c = np.array([float(lstar_from_value(colour.value)), a, b])
    white = _white_c()
    return xyz_to_lab(adaptation(white, ICC_WHITE) @ lab_to_xyz(under_c, white), ICC_WHITE)


def _corners(colour: Munsell) -> list[tuple[float, tuple[float, float, float]]]:
    """Return the colours of the renotation around one, each with its weight above 0."""
    values = _values()
    low = max((value for value in values if value <= colour.value), default=values[0])
    high = min((value for value in values if value >= colour.value), default=values[-1])
    sides = [
        _between(colour.hue, HUE_STEP),
        [(low, 1.0)]
        if low == high
        else [
            (low, (high - colour.value) / (high - low)),
            (high, (colour.value - low) / (high - low)),
        ],
        _between(colour.chroma, CHROMA_STEP),
    ]
    around = [(h[1] * v[1] * c[1], (h[0], v[0], c[0])) for h, v, c in itertools.product(*sides)]
    return [(weight, corner) for weight, corner in around if weight > 0.0]


def _between(place: float, step: float) -> list[tuple[float, float]]:
    """Return the marks on both sides of a place on an even scale, each with its weight."""
    below = step * np.floor(place / step)
    share = float((place - below) / step)
    return [(float(below), 1.0 - share), (float(below + step), share)]


def _node(hue: float, value: float, chroma: float) -> tuple[float, float] | None:
    """Return a* and b* under C of a colour of the renotation; None where it has none."""
    if chroma == 0.0:
        return 0.0, 0.0
    row = _rows(hue, value)
    place = round(chroma / CHROMA_STEP) - 1
    if place >= len(row):
        return None
    x, y = row[place]
    luminance = float(luminance_from_value(value))
    xyz = luminance * np.array([x / y, 1.0, (1.0 - x - y) / y])
    _, a, b = xyz_to_lab(xyz, _white_c())
    return float(a), float(b)


def _most(colour: Munsell) -> float:
    """Return the strongest chroma that the renotation holds around a hue and value; 0 for none."""
    around = _corners(colour._replace(chroma=CHROMA_STEP))
    return min(CHROMA_STEP * len(_rows(hue, value)) for _, (hue, value, _) in around)


def _rows(hue: float, value: float) -> list[list[float]]:
    """Return x, y at chroma 2, 4 and so on of a hue and value of the renotation."""
    return _table()["hues"][f"{hue % 100.0 or 100.0:g}"].get(f"{value:g}", [])


@functools.cache
def _values() -> tuple[float, ...]:
    """Return the values of the renotation, from dark to light."""
    return tuple(sorted({float(value) for row in _table()["hues"].values() for value in row}))


@functools.cache
def _white_c() -> Array:
    x, y = _table()["white_xy"]
    return 100.0 * np.array([x / y, 1.0, (1.0 - x - y) / y])


@functools.cache
def _table() -> dict[str, Any]:
    text = files("refmatch.colorimetry").joinpath("data/munsell_renotation.json").read_text("utf-8")
    return json.loads(text)


def _number(text: str) -> float:
    return float(text.replace(",", "."))
