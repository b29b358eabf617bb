"""The best shares of a few entries, if a hand could lay out any share at all.

Every subset of entries is improved at once: damped Gauss-Newton on the exact
slopes, in logarithms of the shares so that none turns negative.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.entries import Entries
from refmatch.recipe.metric import root
from refmatch.recipe.subsets import Indices, Mask, Subsets, gather


class Looks(NamedTuple):
    """How many subsets of a size are improved, nearest rough samples first, then to the end."""

    first: int
    second: int


THOROUGH = Looks(500, 120)
GLANCE = Looks(48, 8)
"""Enough to say how near a box comes, not which recipe does."""

SMALLEST_SHARE = 1e-4


@dataclass(frozen=True, eq=False)
class Optima:
    """The best shares found: of subsets ``members`` (n, size), ``shares`` (n, size).

    ``distance`` (n,) is from the target, in the metric asked for; nearest first.
    """

    members: Indices
    shares: Array
    distance: Array


def optima(
    entries: Entries,
    subsets: Subsets,
    target_lab: Array,
    g: Array,
    permitted: Mask,
    looks: Looks = THOROUGH,
) -> Optima:
    """Return the most promising subsets of one size with their best shares.

    Args:
        target_lab: (3,), D50.
        g: the metric to come near in, (3, 3).
        permitted: (subsets,), which of them the painter's habits allow.
        looks: how many are looked into.
    """
    m = root(g)
    rough = np.linalg.norm((subsets.rough_lab - target_lab) @ m, axis=2)
    best_sample = rough.argmin(axis=1)
    nearest = np.take_along_axis(rough, best_sample[:, None], axis=1)[:, 0]
    chosen = _smallest(np.where(permitted, nearest, np.inf), looks.first)
    chosen = chosen[permitted[chosen]]
    start = subsets.start(chosen, best_sample[chosen])
    members = subsets.members[chosen]
    shares, distance = improve(entries, members, start, Aim(target_lab, m, 4))
    kept = _smallest(distance, looks.second)
    shares, distance = improve(entries, members[kept], shares[kept], Aim(target_lab, m, 8))
    order = np.argsort(np.round(distance, 6), kind="stable")
    return Optima(members[kept][order], shares[order], distance[order])


@dataclass(frozen=True, eq=False)
class Aim:
    """A target, (3,), the root of the metric to come near in, (3, 3), and how many rounds."""

    target_lab: Array
    m: Array
    rounds: int


def improve(entries: Entries, members: Indices, shares: Array, aim: Aim) -> tuple[Array, Array]:
    """Improve shares (n, size) by damped Gauss-Newton; return them and their distances."""
    curves = gather(entries.palette, members)
    lab, slopes = curves.lab_and_slopes(shares)
    residual = (lab - aim.target_lab) @ aim.m
    distance = np.linalg.norm(residual, axis=1)
    damping = np.full(len(shares), 0.01)
    eye = np.eye(shares.shape[1])
    for _ in range(aim.rounds):
        by_log = aim.m @ (slopes * shares[:, None, :])  # (n, 3, size): slopes by log share
        normal = np.swapaxes(by_log, 1, 2) @ by_log
        gradient = np.swapaxes(by_log, 1, 2) @ residual[..., None]
        step = -np.linalg.solve(normal + damping[:, None, None] * eye, gradient)[..., 0]
        trial = shares * np.exp(np.clip(step, -1.5, 1.5))
        trial = np.maximum(trial / trial.sum(axis=1, keepdims=True), SMALLEST_SHARE)
        lab_t, slopes_t = curves.lab_and_slopes(trial)
        residual_t = (lab_t - aim.target_lab) @ aim.m
        distance_t = np.linalg.norm(residual_t, axis=1)
        better = distance_t < distance
        shares = np.where(better[:, None], trial, shares)
        slopes = np.where(better[:, None, None], slopes_t, slopes)
        residual = np.where(better[:, None], residual_t, residual)
        distance = np.where(better, distance_t, distance)
        damping = np.where(better, damping * 0.2, damping * 6.0)
    return shares, distance


def _smallest(values: Array, count: int) -> Indices:
    """Return the indices of the smallest values, ties broken after rounding, in order."""
    return np.argsort(np.round(values, 6), kind="stable")[:count]
