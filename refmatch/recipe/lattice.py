"""From shares to whole parts: every sensible rounding, at every total the hand may lay out."""

from __future__ import annotations

import functools
import itertools

import numpy as np
import numpy.typing as npt

from refmatch.recipe.continuous import Optima
from refmatch.recipe.entries import Entries
from refmatch.recipe.subsets import Indices, spread_out

Parts = npt.NDArray[np.intp]

REACH = {1: 0, 2: 2, 3: 1, 4: 1, 5: 1}
"""How many whole parts to either side of the rounded share are tried, by size."""


def whole_parts(entries: Entries, optima: Optima, largest_total: int) -> Parts:
    """Return recipes in whole parts near the optima, (n, entries), in lowest terms.

    Each share is rounded at each total up to ``largest_total`` and varied by a
    part or two; the largest portion takes up what is left over, and every member
    of the subset gets at least one part.
    """
    size = optima.members.shape[1]
    totals = np.arange(size, largest_total + 1)
    if len(optima.members) == 0 or len(totals) == 0:
        return np.zeros((0, len(entries.items)), dtype=np.intp)
    order = np.argsort(-optima.shares, axis=1, kind="stable")
    members = np.take_along_axis(optima.members, order, axis=1)
    shares = np.take_along_axis(optima.shares, order, axis=1)
    rounded = np.rint(shares[:, None, 1:] * totals[:, None]).astype(np.intp)
    tried = rounded[:, :, None, :] + _offsets(size - 1)  # (n, totals, offsets, size - 1)
    rest = totals[:, None] - tried.sum(axis=3)
    parts = np.concatenate([rest[..., None], tried], axis=3).reshape(len(members), -1, size)
    return _spread(parts, members, len(entries.items))


@functools.cache
def _offsets(size: int) -> Parts:
    reach = range(-REACH[size + 1], REACH[size + 1] + 1)
    rows = list(itertools.product(reach, repeat=size))
    return np.array(rows, dtype=np.intp).reshape(len(rows), size)


def _spread(parts: Parts, members: Indices, entries: int) -> Parts:
    """Lay parts (n, recipes, size) of ``members`` out over all entries.

    What holds less than a whole part of a member is dropped, and so is what is
    a multiple of a smaller recipe.
    """
    lowest = np.gcd.reduce(parts, axis=2) == 1
    rows, kept = np.nonzero((parts >= 1).all(axis=2) & lowest)
    return spread_out(members[rows], parts[rows, kept], entries)
