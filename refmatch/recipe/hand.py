"""What the hand adds: parts are laid out with a knife, and never quite as printed.

Each part laid out is off by a share of itself, more so a touch; a let-down adds the error of its
own making.
"""

from __future__ import annotations

import functools
from statistics import NormalDist

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.mixture import Entries

PART_ERROR = 0.15
"""Relative standard error of a part laid out with the knife (our own choice)."""

TOUCH_ERROR = 0.30
"""The same for a touch: less than one part in ten of the whole (our own choice)."""

TOUCH_SHARE = 0.1

LET_DOWN_ERROR = 0.2
"""Relative standard error of a let-down's strength: one part and nine, each 15 % off."""

DRAWS = 257
PRIMES = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67)


def part_errors(parts: Array) -> Array:
    """Return the relative standard error of each entry's parts, same shape (..., entries)."""
    share = parts / parts.sum(axis=-1, keepdims=True)
    return np.where(share < TOUCH_SHARE, TOUCH_ERROR, PART_ERROR)


def hand_distances(entries: Entries, parts: Array, target_lab: Array) -> Array:
    """Return the sorted dE00 from the target of one recipe laid out many times, (draws,)."""
    return np.sort(delta_e_00(labs_by_hand(entries, parts), target_lab))


def labs_by_hand(entries: Entries, parts: Array) -> Array:
    """Return the Lab of one recipe laid out many times, (draws, 3).

    The draws are fixed and do not depend on the machine: normal numbers from a
    Halton sequence, applied to the logarithm of each part and of each let-down's
    strength.
    """
    draws = normal_draws(2 * int(np.count_nonzero(parts)))
    net = laid_by_hand(entries, parts, part_errors(parts), draws)
    return entries.tube_palette.lab(net)


def laid_by_hand(entries: Entries, parts: Array, errors: Array, draws: Array) -> Array:
    """Return the net parts, (draws, tubes), of one recipe laid out many times.

    Args:
        entries: of the box.
        parts: (entries,), of any sum.
        errors: the relative standard error of each, (entries,).
        draws: normal, (draws, twice as many as parts are used): for parts, then let-downs.
    """
    used = np.flatnonzero(parts)
    laid = parts[used] * np.exp(errors[used] * draws[:, : len(used)])
    strength = np.exp(LET_DOWN_ERROR * entries.is_let_down[used] * draws[:, len(used) :])
    net = laid @ entries.net[used]
    own = entries.tube_index[used]
    for column, tube in enumerate(own):
        let_down_parts = laid[:, column] * entries.net[used[column], tube]
        net[:, tube] += let_down_parts * (strength[:, column] - 1.0)
    return net


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
