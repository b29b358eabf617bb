"""The best shares of a few entries, if a hand could lay out any share at all.

Every subset of entries is improved at once: damped Gauss-Newton on the exact
slopes, in logarithms of the shares so that none turns negative. In single precision:
a thousandth in Lab is far below what whole parts leave.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.mixture import Entries, product
from refmatch.recipe.subsets import Indices, Mask

SMALLEST_SHARE = 1e-4

FIRST_DAMPING, LEAST_DAMPING = 0.01, 1e-5
"""Of a step, in squared dE00; less than the least is lost in single precision."""

LARGEST_STEP = 1.5
"""Of the logarithm of a share in one round: more than fourfold leaves the linear."""

ROWS_AT_ONCE = 512
"""Mixes improved together: their spectra stay in the cache."""


class Measure(Protocol):
    """A target, and how far colours are from it as a vector, whose length is the distance."""

    @property
    def target_lab(self) -> Array:
        """The target, (3,)."""
        ...

    def miss(self, lab: Array) -> tuple[Array, Array]:
        """Return the miss of colours (n, 3), (n, 3), and its slopes by Lab, (..., 3, 3)."""
        ...


@dataclass(frozen=True, eq=False)
class Aim:
    """A target, (3,), the root of the metric to come near in, (3, 3), and how many rounds."""

    target_lab: Array
    m: Array
    rounds: int

    def miss(self, lab: Array) -> tuple[Array, Array]:
        """Return the miss of colours near the target, where the metric is a matrix."""
        return (lab - self.target_lab) @ self.m, self.m


def improve(entries: Entries, members: Indices, shares: Array, aim: Aim) -> tuple[Array, Array]:
    """Improve shares (n, size) of entries ``members``; return them and their distances (n,)."""
    better, misses = improved(entries, members, shares, aim, Limits(aim.rounds))
    return better, misses.distance


@dataclass(frozen=True)
class Limits:
    """How many rounds of improvement, and the least share that a hand can lay out."""

    rounds: int
    least_share: float = SMALLEST_SHARE


@dataclass(frozen=True, eq=False)
class Misses:
    """How far mixes miss a target, (3, n), the slopes of that by log share, (3, size, n).

    The mixes come last, as in `SinglePalette`. ``distance`` (n,) is how long the miss is.
    """

    missed: Array
    by_log: Array
    distance: Array

    def step(self, damping: Array, least: Mask) -> Array:
        """Return the damped Gauss-Newton step of the logarithms of the shares, (size, n).

        By the identity A' (A A' + d)^-1 = (A' A + d)^-1 A', which leaves a matrix of 3 x 3
        to solve whatever the size (Nocedal & Wright 2006, Numerical Optimization, 10.3).
        Shares that are at their ``least`` and would be less stay there.
        """
        stuck = least & (along(self.missed, self.by_log) > 0.0)
        free = np.where(stuck, np.float32(0.0), self.by_log) if stuck.any() else self.by_log
        return -along(solved(_square(free, damping), self.missed).astype(np.float32), free)

    def square(self, damping: float) -> tuple[Array, ...]:
        """Return A A' + damping: its six entries 11, 21, 22, 31, 32, 33, (n,) each."""
        return _square(self.by_log, damping)

    def pick(self, rows: Indices) -> Misses:
        """Return those of the chosen mixes, in that order."""
        return Misses(self.missed[:, rows], self.by_log[..., rows], self.distance[rows])


def improved(
    entries: Entries,
    members: Indices,
    shares: Array,
    measure: Measure,
    limits: Limits,
    misses: Misses | None = None,
) -> tuple[Array, Misses]:
    """The same by any measure; returned with the misses, which may be known at the start."""
    count, size = shares.shape
    least = np.float32(limits.least_share)
    shares = np.maximum(shares.astype(np.float32), least)
    after = Misses(
        np.empty((3, count), np.float32),
        np.empty((3, size, count), np.float32),
        np.empty(count, np.float32),
    )
    for at in range(0, count, ROWS_AT_ONCE):
        rows = slice(at, at + ROWS_AT_ONCE)
        part = members[rows].T, shares[rows].T.copy()
        known = misses.pick(np.arange(count)[rows]) if misses else None
        better, part_misses = _improved(entries, part, measure, limits, known)
        shares[rows] = better.T
        after.missed[:, rows], after.by_log[..., rows] = part_misses.missed, part_misses.by_log
        after.distance[rows] = part_misses.distance
    return shares, after


def _improved(
    entries: Entries,
    mixes: tuple[Indices, Array],
    measure: Measure,
    limits: Limits,
    known: Misses | None,
) -> tuple[Array, Misses]:
    """Improve members and shares, (size, n) each, in place."""
    (members, shares), least = mixes, np.float32(limits.least_share)
    misses = known or _misses(entries, members, shares, measure)
    damping = np.full(shares.shape[1], FIRST_DAMPING)
    for _ in range(limits.rounds):
        step = misses.step(damping, shares <= least)
        trial = shares * np.exp(np.clip(step, -LARGEST_STEP, LARGEST_STEP))
        trial = np.maximum(trial / trial.sum(axis=0), least)
        tried = _misses(entries, members, trial, measure)
        better = tried.distance < misses.distance
        np.copyto(shares, trial, where=better)
        np.copyto(misses.missed, tried.missed, where=better)
        np.copyto(misses.by_log, tried.by_log, where=better)
        np.copyto(misses.distance, tried.distance, where=better)
        damping = np.maximum(damping * np.where(better, 0.2, 6.0), LEAST_DAMPING)
    return shares, misses


def misses_of(entries: Entries, members: Indices, shares: Array, measure: Measure) -> Misses:
    """Misses at mixes: ``shares`` (n, size) of the entries ``members`` (n, size)."""
    return _misses(entries, members.T, shares.T.astype(np.float32), measure)


def _misses(entries: Entries, members: Indices, shares: Array, measure: Measure) -> Misses:
    """The same of members and shares (size, n)."""
    lab, slopes = entries.palette.single.lab_and_slopes(members, shares)
    slopes *= shares
    missed, turn = measure.miss(lab.T)
    missed = np.ascontiguousarray(missed.T, np.float32)
    squared = missed * missed
    return Misses(missed, turned(turn, slopes), np.sqrt(squared[0] + squared[1] + squared[2]))


def turned(turn: Array, slopes: Array) -> Array:
    """Return slopes of Lab, (3, m, n), as slopes of the miss; ``turn`` is (3, 3) or (n, 3, 3)."""
    turn = turn.astype(np.float32)
    if turn.ndim == 2:
        return product(turn, slopes.reshape(3, -1)).reshape(slopes.shape)
    return np.stack([along(turn[:, axis].T, slopes) for axis in range(3)])


def along(vectors: Array, slopes: Array) -> Array:
    """Return the products of vectors (3, n) with slopes (3, m, n), (m, n)."""
    return vectors[0] * slopes[0] + vectors[1] * slopes[1] + vectors[2] * slopes[2]


def _square(slopes: Array, damping: Array | float) -> tuple[Array, ...]:
    """Return A A' + damping of slopes (3, size, n); see `Misses.square`."""
    a, b, c = slopes
    pairs = (a, a), (b, a), (b, b), (c, a), (c, b), (c, c)
    entries = [np.sum(one * other, axis=0).astype(float) for one, other in pairs]
    for place in (0, 2, 5):
        entries[place] += damping
    return tuple(entries)


def solved(square: tuple[Array, ...], right: Array) -> Array:
    """Solve symmetric systems of three, (n,) entries each, for right sides (3, n).

    By L D L', written out: a call of LAPACK for each small matrix takes ten times as long.
    """
    d_1, l_21, a_22, l_31, a_32, a_33 = square
    l_21, l_31 = l_21 / d_1, l_31 / d_1
    d_2 = a_22 - l_21 * l_21 * d_1
    l_32 = (a_32 - l_31 * l_21 * d_1) / d_2
    d_3 = a_33 - l_31 * l_31 * d_1 - l_32 * l_32 * d_2
    y_2 = right[1] - l_21 * right[0]
    x_3 = (right[2] - l_31 * right[0] - l_32 * y_2) / d_3
    x_2 = y_2 / d_2 - l_32 * x_3
    return np.stack([right[0] / d_1 - l_21 * x_2 - l_31 * x_3, x_2, x_3])
