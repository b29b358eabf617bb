"""Who painted the dabs: another maker's tubes of the usual box, and a hand not quite exact.

The tubes are the virtual studio's (`tests/virtual_studio/paints.py`). The parts are those that
the slips of the garden table told when the photo was made; each was laid out a few per cent off,
and the jug got a third more of its ultramarine than it should.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.card import PaintWindow, Window
from refmatch.paint.box_file import built_in_box
from refmatch.paint.kubelka_munk import Surface, film_over_ground, to_measured
from tests.virtual_studio.paints import THICK, Studio, another_painters

BOX = "garden-table"
SEED = 61
HAND = 0.04
"""Standard deviation of a part, relative (own choice)."""

SLIPS: Mapping[str, Mapping[str, float]] = {
    "pear": {"yellow ochre": 5.0, "titanium white": 3.0, "burnt sienna": 1.0},
    "jug": {
        "titanium white": 5.0 + 2.0 * 0.9,
        "ultramarine": 2.0,
        "burnt umber": 2.0 * 0.1,
        "yellow ochre": 1.0,
    },
}
"""Parts of tubes by target; a let-down of 1 to 9 white is a tenth of its tube."""

SLIPPED = {("jug", "ultramarine"): 4.0 / 3.0}
"""What the hand got wrong besides: a factor by target and tube."""


@functools.cache
def studio() -> Studio:
    """Return what the tubes truly are."""
    return another_painters(built_in_box(BOX).tubes, SEED)


@functools.cache
def laid(label: str) -> Array:
    """Return what was truly mixed for a target, or squeezed of a tube: (tubes,), sum 1."""
    names = [tube.name for tube in studio().tubes]
    if label not in SLIPS:
        return np.array([float(name == label) for name in names])
    rng = np.random.default_rng(SEED + 1 + list(SLIPS).index(label))
    parts = np.array(
        [SLIPS[label].get(name, 0.0) * SLIPPED.get((label, name), 1.0) for name in names]
    )
    parts *= np.exp(rng.normal(0.0, HAND, len(parts)))
    return parts / parts.sum()


def label_of(window: Window) -> str:
    """Return whose dab a window takes: a target's name, or a tube's."""
    return window.tube if isinstance(window, PaintWindow) else window.label


def film(window: Window, thickness: Array, ground: Array) -> Array:
    """Return the reflectance, (n, 31), of a window's paint over a ground's inner reflectance.

    ``thickness`` (n,) is that of the film, 1 for a knife-flat one of the virtual studio.
    """
    parts = laid(label_of(window))
    absorbed, scattered = parts @ studio().absorption, parts @ studio().scattering
    inner = film_over_ground(absorbed, scattered, THICK * thickness[:, None], ground)
    return to_measured(inner, Surface())


def hiding(label: str) -> Array:
    """Return the reflectance, (31,), of a target's or a tube's paint where it hides."""
    return studio().reflectance(laid(label)[None])[0]
