"""From shares to whole parts: the roundings at every total that promise most.

Near the best shares the colour goes by the slopes. So every rounding at every total is
judged by them, and only the promising are mixed.
"""

from __future__ import annotations

import functools
import itertools
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.continuous import Measure, misses_of
from refmatch.recipe.growth import Optima
from refmatch.recipe.mixture import Entries, product
from refmatch.recipe.rank import PART_PRICE
from refmatch.recipe.subsets import spread_out

Parts = npt.NDArray[np.integer[Any]]

AROUND = {1: (0,), 2: (-1, 0, 1, 2), 3: (-1, 0, 1, 2), 4: (0, 1), 5: (0, 1)}
"""The whole parts tried for a share, from the next below it, by size."""


FEW = 8
"""Parts up to which nothing is rounded, since every ratio is tried: they are the cheapest, and
where two entries are alike they may lie far from the best shares."""


@dataclass(frozen=True)
class Kept:
    """How many roundings are kept: the best of each subset, and the best of each size."""

    of_subset: int
    of_size: int


def whole_parts(
    entries: Entries, optima: Optima, measure: Measure, largest_total: int, kept: Kept
) -> Parts:
    """Return recipes in whole parts near the optima, (n, entries), in lowest terms.

    Up to `FEW` parts all there are are judged. Beyond, each share is rounded at each total up
    to ``largest_total`` and varied by a part or two; the largest portion takes
    up what is left over, and every member of the subset gets at least one part.
    """
    size = optima.members.shape[1]
    if len(optima.members) == 0 or largest_total < size:
        return np.zeros((0, len(entries.items)), dtype=np.intp)
    order = np.argsort(-optima.shares, axis=1, kind="stable")
    members = np.take_along_axis(optima.members, order, axis=1)
    shares = np.take_along_axis(optima.shares, order, axis=1)
    misses = misses_of(entries, members, shares, measure)
    tried, total = _roundings(shares, largest_total)
    logs = _logs()[np.maximum(tried, 1)] - np.log(shares, dtype=np.float32)[:, :, None]
    away = product(np.moveaxis(misses.by_log, 2, 0), logs) + misses.missed.T[:, :, None]
    score = np.sqrt(np.sum(away * away, axis=1)) + PART_PRICE * (total - size)
    score = np.where(tried.min(axis=1) >= 1, score + optima.cost[:, None], np.inf)
    rows = np.arange(len(members))[:, None]
    few = min(kept.of_subset, score.shape[1])
    best = np.argpartition(score, few - 1, axis=1)[:, :few]
    worth = score[rows, best].ravel()
    parts = np.swapaxes(tried, 1, 2)[rows, best].reshape(-1, size).astype(np.intp)
    order = np.argsort(np.round(worth, 4), kind="stable")[: kept.of_size]
    order = order[np.isfinite(worth[order]) & (np.gcd.reduce(parts[order], axis=1) == 1)]
    return spread_out(members[order // few], parts[order], len(entries.items))


def _roundings(shares: Array, largest_total: int) -> tuple[Parts, Parts]:
    """Return whole parts about shares (n, size), (n, size, roundings), and their totals.

    Some are none, or less than none.
    """
    size = shares.shape[1]
    few, offsets = _of_few(size, min(FEW, largest_total)), _offsets(size - 1)
    totals = np.repeat(np.arange(max(FEW + 1, size), largest_total + 1), len(offsets))
    offsets = np.tile(offsets, (len(totals) // len(offsets), 1)).T
    tried = np.empty((*shares.shape, few.shape[1] + len(totals)), dtype=np.int16)
    tried[:, :, : few.shape[1]] = few
    rounded = tried[:, :, few.shape[1] :]
    np.floor(shares[:, 1:, None] * totals, out=rounded[:, 1:], casting="unsafe")
    rounded[:, 1:] += offsets
    rounded[:, 0] = totals - rounded[:, 1:].sum(axis=1)
    return tried, np.concatenate([few.sum(axis=0), totals])


@functools.cache
def _of_few(size: int, most: int) -> Parts:
    """Return all whole parts, 1 or more, that sum to at most ``most``, (size, rows)."""
    rows = [row for row in itertools.product(range(1, most), repeat=size) if sum(row) <= most]
    return np.array(rows or [(1,) * size], dtype=np.int16).reshape(-1, size).T


@functools.cache
def _logs() -> npt.NDArray[np.float32]:
    return np.log(np.maximum(np.arange(1024), 1)).astype(np.float32)


@functools.cache
def _offsets(size: int) -> npt.NDArray[np.int16]:
    rows = list(itertools.product(AROUND[size + 1], repeat=size))
    return np.array(rows, dtype=np.int16).reshape(len(rows), size)
