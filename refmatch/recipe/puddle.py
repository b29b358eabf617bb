"""Paint on the palette: what is laid out, worked together and divided.

K and S add up by parts, so a puddle is its sums of them; its colour follows.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import viewing
from refmatch.paint.box import Box
from refmatch.recipe.mixture import film
from refmatch.recipe.model import Laid


class Puddle(NamedTuple):
    """Paint on the palette: its parts, and the sums of its tubes' K and S, shape (31,)."""

    parts: float
    absorption: Array
    scattering: Array

    @property
    def strength(self) -> float:
        """Absorption of one part in the light the eye weighs: how much a little darkens."""
        return float(self.absorption @ viewing().weights[:, 1]) / self.parts

    def plus(self, other: Puddle, share: float = 1.0) -> Puddle:
        """Return this puddle with a share of another worked in."""
        return Puddle(
            self.parts + share * other.parts,
            self.absorption + share * other.absorption,
            self.scattering + share * other.scattering,
        )

    def times(self, share: float) -> Puddle:
        """Return a share of this puddle."""
        return Puddle(share * self.parts, share * self.absorption, share * self.scattering)

    def lab(self, box: Box) -> Array:
        """Return its colour, shape (3,), with the skin that the box's paint has."""
        return reflectance_to_lab(film(self.absorption, self.scattering, box.surface))


def puddle_of(item: Laid, box: Box) -> Puddle:
    """Return one laid item as paint on the palette."""
    tube, white, share = box.tube(item.tube), box.white, _white_of(item)
    return Puddle(
        float(item.parts),
        item.parts * ((1.0 - share) * tube.absorption + share * white.absorption),
        item.parts * ((1.0 - share) * tube.scattering + share * white.scattering),
    )


def all_of(items: Sequence[Laid], box: Box) -> Puddle:
    """Return laid items worked together; nothing at all where there are none."""
    nothing = Puddle(0.0, np.zeros(BANDS), np.zeros(BANDS))
    return functools.reduce(Puddle.plus, (puddle_of(item, box) for item in items), nothing)


def white_share(laid: Sequence[Laid], box: Box) -> float:
    """Return which share of a recipe is white, the white inside let-downs included."""
    white = sum(
        item.parts * (1.0 if box.tube(item.tube).is_white else _white_of(item)) for item in laid
    )
    return white / sum(item.parts for item in laid)


def _white_of(item: Laid) -> float:
    """Return the share of white in what is laid; 0 for paint straight from the tube."""
    return item.let_down_white_parts / (1.0 + item.let_down_white_parts)
