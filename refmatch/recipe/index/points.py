"""The whole parts that a few entries can take: each ratio once, smallest totals first."""

from __future__ import annotations

import functools

import numpy as np
import numpy.typing as npt

Points = npt.NDArray[np.uint8]


@functools.cache
def whole_ratios(size: int, most: int) -> Points:
    """Return all rows of whole parts, 1 or more, in lowest terms, summing to ``most`` or less.

    Shape (rows, size), ordered by their sums, so that those of a smaller sum come first.
    """
    rows = np.arange(1, most + 1, dtype=np.uint8)[:, None]
    for _ in range(size - 1):
        sums = rows.sum(axis=1, dtype=int)
        pieces = [_with(rows[sums <= most - last], last) for last in range(1, most + 1)]
        rows = np.concatenate(pieces)
    rows = rows[rows.sum(axis=1, dtype=int) <= most]
    rows = rows[np.gcd.reduce(rows, axis=1) == 1]
    order = np.argsort(rows.sum(axis=1, dtype=int), kind="stable")
    found = np.ascontiguousarray(rows[order])
    found.flags.writeable = False
    return found


def _with(rows: Points, last: int) -> Points:
    return np.concatenate([rows, np.full((len(rows), 1), last, dtype=np.uint8)], axis=1)


@functools.cache
def part_sums(size: int, most: int) -> npt.NDArray[np.uint8]:
    """Return the total of each row of `whole_ratios`, (rows,)."""
    return whole_ratios(size, most).sum(axis=1, dtype=np.uint8)


def counts(size: int, most: int) -> npt.NDArray[np.intp]:
    """Return how many ratios sum to at most t, for t from 0 to ``most``."""
    return np.searchsorted(part_sums(size, most), np.arange(most + 1), side="right")
