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
from refmatch.recipe.mixture import Entries
from refmatch.recipe.subsets import Indices, Mask

SMALLEST_SHARE = 1e-4

FIRST_DAMPING, LEAST_DAMPING = 0.01, 1e-5
"""Of a step, in squared dE00; less than the least is lost in single precision."""

LARGEST_STEP = 1.5
"""Of the logarithm of a share in one round: more than fourfold leaves the linear."""

ROWS_AT_ONCE = 800
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
    return improved(entries, members, shares, aim, Limits(aim.rounds))


@dataclass(frozen=True)
class Limits:
    """How many rounds of improvement, and the least share that a hand can lay out."""

    rounds: int
    least_share: float = SMALLEST_SHARE


def improved(
    entries: Entries, members: Indices, shares: Array, measure: Measure, limits: Limits
) -> tuple[Array, Array]:
    """The same by any measure, some rows at a time."""
    shares, distance = shares.copy(), np.empty(len(shares))
    for at in range(0, len(shares), ROWS_AT_ONCE):
        rows = slice(at, at + ROWS_AT_ONCE)
        shares[rows], distance[rows] = _improved(
            entries, members[rows], shares[rows], measure, limits
        )
    return shares, distance


def _improved(
    entries: Entries, members: Indices, shares: Array, measure: Measure, limits: Limits
) -> tuple[Array, Array]:
    shares = np.maximum(shares, limits.least_share)
    looked = misses_of(entries, members, shares, measure)
    damping = np.full(len(shares), FIRST_DAMPING)
    for _ in range(limits.rounds):
        step = looked.step(damping, shares <= limits.least_share)
        trial = shares * np.exp(np.clip(step, -LARGEST_STEP, LARGEST_STEP))
        trial = np.maximum(trial / trial.sum(axis=1, keepdims=True), limits.least_share)
        tried = misses_of(entries, members, trial, measure)
        better = tried.distance < looked.distance
        shares = np.where(better[:, None], trial, shares)
        looked = looked.replaced(better, tried)
        damping = np.maximum(damping * np.where(better, 0.2, 6.0), LEAST_DAMPING)
    return shares, looked.distance


@dataclass(frozen=True, eq=False)
class Misses:
    """How far mixes miss a target, (n, 3), and the slopes of that by log share, (n, 3, size)."""

    missed: Array
    by_log: Array
    distance: Array

    def step(self, damping: Array, least: Mask) -> Array:
        """Return the damped Gauss-Newton step of the logarithms of the shares, (n, size).

        By the identity A' (A A' + d)^-1 = (A' A + d)^-1 A', which leaves a matrix of 3 x 3
        to solve whatever the size (Nocedal & Wright 2006, Numerical Optimization, 10.3).
        Shares that are at their ``least`` and would be less stay there.
        """
        uphill = (self.missed[:, None] @ self.by_log)[:, 0]
        free = self.by_log * ~(least & (uphill > 0.0))[:, None]
        along = np.linalg.solve(_square(free, damping), self.missed[..., None])
        return -(np.swapaxes(free, 1, 2) @ along)[..., 0]

    def square(self, damping: float) -> Array:
        """Return A A' + damping, (n, 3, 3)."""
        return _square(self.by_log, np.asarray(damping))

    def replaced(self, rows: Mask, other: Misses) -> Misses:
        """Return the look with some rows, (n,) of bool, those of another."""
        return Misses(
            np.where(rows[:, None], other.missed, self.missed),
            np.where(rows[:, None, None], other.by_log, self.by_log),
            np.where(rows, other.distance, self.distance),
        )


def _square(slopes: Array, damping: Array) -> Array:
    """Return A A' + damping of slopes (n, 3, size), (n, 3, 3)."""
    added = np.multiply.outer(damping, np.eye(3))
    return (slopes @ np.swapaxes(slopes, 1, 2)).astype(float) + added


def misses_of(entries: Entries, members: Indices, shares: Array, measure: Measure) -> Misses:
    """Misses at mixes: ``shares`` (n, size) of the entries ``members`` (n, size)."""
    parts = shares.astype(np.float32)
    lab, slopes = entries.palette.single.lab_and_slopes(members, parts)
    missed, turn = measure.miss(lab)
    by_log = turn.astype(np.float32) @ (slopes * parts[:, None])
    return Misses(missed.astype(np.float32), by_log, np.sqrt(np.sum(missed * missed, axis=1)))
