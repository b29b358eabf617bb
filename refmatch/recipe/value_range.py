"""From which dark to which light a box's tubes reach, in L*.

The lightest mix is mostly the white itself; the darkest is seldom a single tube, since
two transparent darks that each let another part of the spectrum through swallow more
together than alone.
"""

from __future__ import annotations

import functools
import itertools
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box
from refmatch.recipe.mixture import Palette

SHARES: Array = np.array([0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9])
"""Shares tried of one tube in another, and of a tube more in what was found so far."""

GAINS = 0.01
"""A step of the search that gains less, in L*, is the last."""

MOST_STEPS = 40


class ValueRange(NamedTuple):
    """The darkest and the lightest L* that the tubes of a box mix, both reached."""

    dark_lstar: float
    light_lstar: float


@functools.lru_cache(8)
def value_range(box: Box) -> ValueRange:
    """Return the value range of a box, by any shares of its tubes.

    The best pair is taken, then a share of any other tube worked in for as long as it
    gains: every mix looked at is a real one, so the range never says too much.
    """
    palette = Palette.of(box.tubes, box.surface)
    return ValueRange(-_farthest(palette, -1.0), _farthest(palette, 1.0))


def _farthest(palette: Palette, sign: float) -> float:
    """Return the largest ``sign`` times L* of any shares."""
    unit = np.eye(len(palette.absorption))
    pairs = [unit, *(_worked_in(one, other) for one, other in itertools.combinations(unit, 2))]
    best, mix = _best(palette, np.concatenate(pairs), sign)
    for _ in range(MOST_STEPS):
        found, trial = _best(palette, np.concatenate([_worked_in(mix, one) for one in unit]), sign)
        if found < best + GAINS:
            break
        best, mix = found, trial
    return best


def _worked_in(mix: Array, other: Array) -> Array:
    """Return every share of another worked into a mix, (shares, tubes)."""
    return mix + SHARES[:, None] * (other - mix)


def _best(palette: Palette, mixes: Array, sign: float) -> tuple[float, Array]:
    lstar = sign * palette.lab(mixes)[:, 0]
    at = int(np.argmax(np.round(lstar, 6)))
    return float(lstar[at]), mixes[at]
