"""Under which light, and to which eye, a colour is meant.

A Lab value means nothing without its viewing condition; refmatch states D50 and
the CIE 1931 2 degree observer unless told otherwise. The weights are tabulated
(``docs/derivations/weights.py`` makes them) so that mixing a colour does not
wait for a colour library to load.
"""

from __future__ import annotations

import functools
import json
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

import numpy as np

from refmatch.colorimetry.spectrum import Array


@dataclass(frozen=True, eq=False)
class Viewing:
    """One illuminant and observer, as weights for reflectance on the 31 bands.

    ``weights`` has shape (31, 3): ``reflectance @ weights`` is XYZ with Y = 100
    for a perfect reflector, whose XYZ is ``white``, shape (3,).
    """

    illuminant: str
    observer: str
    weights: Array
    white: Array


@functools.cache
def viewing(illuminant: str = "D50") -> Viewing:
    """Return the viewing condition of a tabulated illuminant.

    Args:
        illuminant: one of "D50", "D65", "A", "LED-B3".

    Raises:
        KeyError: the illuminant is not tabulated.

    Source: CIE 015:2018; weights by ASTM E2022 with ends folded by ASTM E308.
    """
    table = _table()
    weights = np.array(table["weights"][illuminant])
    weights.flags.writeable = False
    return Viewing(illuminant, table["observer"], weights, weights.sum(axis=0))


@functools.cache
def _table() -> dict[str, Any]:
    text = files("refmatch.colorimetry").joinpath("data/weights.json").read_text("utf-8")
    return json.loads(text)


ICC_WHITE: Array = np.array([0.9642, 1.0, 0.8249]) * 100.0
"""XYZ of the ICC profile connection space's white, the white of photos (ICC.1:2022)."""

PHOTO_WHITE: Array = ICC_WHITE / 100.0
"""The same on the scale of a photo's light, Y = 1."""
