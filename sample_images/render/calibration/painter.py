"""Who painted the card: eight invented tubes, and a hand that mixes nearly what it is told.

The tubes are the virtual studio's (`tests/virtual_studio/paints.py`): built-in curves bent at
random, as another maker's would be. Nothing of refmatch knows them but the truth file.
"""

from __future__ import annotations

import functools

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.box_card import compose
from refmatch.dabs.card import Card, Window
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.kubelka_munk import Surface, film_over_ground, to_measured
from tests.virtual_studio.paints import THICK, Studio, another_painters

PIGMENTS = (
    "titanium-white",
    "hansa-yellow",
    "yellow-ochre",
    "pyrrole-red",
    "quinacridone-rose",
    "burnt-sienna",
    "ultramarine-blue",
    "ivory-black",
)
BOX_NAME = "my-tubes"
SEED = 51
HAND = 0.05
"""Standard deviation of a part, relative (own choice, as in the virtual studio)."""


@functools.cache
def box() -> Box:
    """Return the box as the painter names it, of built-in pigments."""
    return Box(BOX_NAME, tuple(built_in_tube(pigment) for pigment in PIGMENTS))


@functools.cache
def card() -> Card:
    """Return the card that is printed for that box."""
    return compose(box())


@functools.cache
def studio() -> Studio:
    """Return what the tubes truly are."""
    return another_painters(box().tubes, SEED)


@functools.cache
def mixed() -> dict[str, Array]:
    """Return what was truly mixed for each window: parts of every tube, (tubes,)."""
    rng = np.random.default_rng(SEED + 1)
    names = [tube.name for tube in box().tubes]
    laid = {}
    for window in card().windows:
        parts = np.zeros(len(names))
        parts[names.index(window.tube)] = window.parts
        if window.white_parts:
            parts[studio().white] += window.white_parts
            parts *= np.exp(rng.normal(0.0, HAND, len(parts)))
        laid[window.label] = parts / parts.sum()
    return laid


def film(window: Window, thickness: Array, ground: Array) -> Array:
    """Return the reflectance, (n, 31), of a window's paint over a ground's inner reflectance.

    ``thickness`` (n,) is that of the film, 1 for a knife-flat one of the virtual studio.
    """
    parts = mixed()[window.label]
    absorbed, scattered = parts @ studio().absorption, parts @ studio().scattering
    inner = film_over_ground(absorbed, scattered, THICK * thickness[:, None], ground)
    return to_measured(inner, Surface())


def hiding(window: Window) -> Array:
    """Return the reflectance, (31,), of a window's paint where it hides."""
    return studio().reflectance(mixed()[window.label][None])[0]
