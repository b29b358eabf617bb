"""How far off a real puddle may be: the hand that lays out parts, and the box's own doubt.

Each part laid out is off by a share of itself, more so a touch; a let-down adds
the error of its own making; and each tube's strength is known only so well.
"""

from __future__ import annotations

import functools
from statistics import NormalDist

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.entries import Entries

PART_ERROR = 0.15
"""Relative standard error of a part laid out with the knife (our own choice)."""

TOUCH_ERROR = 0.30
"""The same for a touch: less than one part in ten of the whole (our own choice)."""

TOUCH_SHARE = 0.1

LET_DOWN_ERROR = 0.2
"""Relative standard error of a let-down's strength: one part and nine, each 15 % off."""

DRAWS = 257
PRIMES = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29)


def part_errors(parts: Array) -> Array:
    """Return the relative standard error of each entry's parts, same shape (..., entries)."""
    share = parts / parts.sum(axis=-1, keepdims=True)
    return np.where(share < TOUCH_SHARE, TOUCH_ERROR, PART_ERROR)


def spread_squared(entries: Entries, parts: Array, g: Array) -> tuple[Array, Array]:
    """Forecast the mean squared distance that hand and box add, to first order.

    Args:
        parts: (n, entries), of any sum.
        g: the metric of colour difference at the target, (3, 3).

    Returns:
        Two arrays (n,): what the hand adds, and what the box's doubt adds.
    """
    net = parts @ entries.net
    by_tube = entries.tube_palette.slopes(net)
    by_entry = by_tube @ entries.net.T
    hand = _length_squared(by_entry, g) * (part_errors(parts) * parts) ** 2
    own = entries.net[np.arange(len(entries.items)), entries.tube_index]
    made = LET_DOWN_ERROR * parts * own * entries.is_let_down
    hand += _length_squared(by_tube[:, :, entries.tube_index], g) * made**2
    doubt = np.array([tube.doubt for tube in entries.box.tubes])
    box = _length_squared(by_tube, g) * (doubt * net) ** 2
    return hand.sum(axis=1), box.sum(axis=1)


def hand_distances(entries: Entries, parts: Array, target_lab: Array) -> Array:
    """Return the sorted dE00 from the target of one recipe laid out many times, (draws,).

    The draws are fixed and do not depend on the machine: normal numbers from a
    Halton sequence, applied to the logarithm of each part and of each let-down's
    strength.
    """
    used = np.flatnonzero(parts)
    draws = normal_draws(2 * len(used))
    laid = parts[used] * np.exp(part_errors(parts)[used] * draws[:, : len(used)])
    strength = np.exp(LET_DOWN_ERROR * entries.is_let_down[used] * draws[:, len(used) :])
    net = laid @ entries.net[used]
    own = entries.tube_index[used]
    for column, tube in enumerate(own):
        let_down_parts = laid[:, column] * entries.net[used[column], tube]
        net[:, tube] += let_down_parts * (strength[:, column] - 1.0)
    return np.sort(delta_e_00(entries.tube_palette.lab(net), target_lab))


def _length_squared(slopes: Array, g: Array) -> Array:
    """Return d' G d of each column of slopes (n, 3, columns), shape (n, columns)."""
    return np.sum(slopes * (g @ slopes), axis=1)


@functools.cache
def normal_draws(dimensions: int) -> Array:
    """Return fixed normal draws, (DRAWS, dimensions); Halton 1960 with the first primes."""
    inverse = NormalDist().inv_cdf
    columns = [
        [inverse(_radical_inverse(index, prime)) for index in range(1, DRAWS + 1)]
        for prime in PRIMES[:dimensions]
    ]
    return np.array(columns).T


def _radical_inverse(index: int, base: int) -> float:
    """Mirror the digits of ``index`` at the point: the van der Corput sequence."""
    value, share = 0.0, 1.0 / base
    while index:
        index, digit = divmod(index, base)
        value += digit * share
        share /= base
    return value
