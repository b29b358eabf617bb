"""The choice of tubes as arithmetic: what each target may be served by, and at what cost."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.subsets import Indices, Mask

Bits = npt.NDArray[np.int64]
"""Sets of tubes: tube n is in a set where bit n of its number is 1."""

MOST_TUBES = 62
"""As many tubes as such a number tells of."""


@dataclass(frozen=True, eq=False)
class Task:
    """Offers: each serves one target by one core of tubes, at a cost.

    ``target`` (offers,) rises; ``first`` (targets,) is each target's first offer.
    ``members`` (offers, most) are the tubes asked for, the number ``tubes`` standing for
    none; ``bits`` (offers,) are the same as a set.
    """

    tubes: int
    first: Indices
    target: Indices
    members: Indices
    bits: Bits
    cost: Array

    @classmethod
    def of(cls, holds: Mask, cost: Array) -> Task:
        """Gather the offers worth knowing: ``holds`` (cores, tubes), ``cost`` (cores, targets).

        A core that costs a target no less than another made of some of the same tubes is
        left out.
        """
        target, core = np.nonzero(_worth(holds, cost).T)
        members, bits = _members(holds), as_bits(holds)
        return cls(
            tubes=holds.shape[1],
            first=np.searchsorted(target, np.arange(cost.shape[1])),
            target=target,
            members=members[core],
            bits=bits[core],
            cost=np.ascontiguousarray(cost[core, target]),
        )

    def pick(self, offers: Mask) -> Task:
        """Return the task with only some of its offers; each target must be left one."""
        target = self.target[offers]
        return Task(
            self.tubes,
            np.searchsorted(target, np.arange(len(self.first))),
            target,
            self.members[offers],
            self.bits[offers],
            self.cost[offers],
        )

    def serves_all(self, offers: Mask) -> bool:
        """Say whether some offers leave no target with none."""
        return bool(np.bincount(self.target[offers], minlength=len(self.first)).all())

    def served(self, palettes: Mask) -> Array:
        """Return what each target costs with palettes, (n, tubes), shape (n, targets)."""
        lacking = as_bits(~palettes)[:, None]
        costs = np.where(self.bits & lacking == 0, self.cost, np.inf)
        return np.minimum.reduceat(costs, self.first, axis=1)

    def totals(self, palettes: Mask) -> Array:
        """Return what all targets together cost with palettes, (n, tubes), shape (n,)."""
        return self.served(palettes).sum(axis=1)


def as_bits(sets: Mask) -> Bits:
    """Return sets of tubes, (n, tubes), as numbers, (n,)."""
    return sets @ (1 << np.arange(sets.shape[1], dtype=np.int64))


def _members(holds: Mask) -> Indices:
    """Return the tubes of each core, (cores, most), filled up with the number for none."""
    tubes = holds.shape[1]
    numbers = np.sort(np.where(holds, np.arange(tubes), tubes), axis=1)
    return numbers[:, : max(1, int(holds.sum(axis=1).max()))].astype(np.intp)


def _worth(holds: Mask, cost: Array) -> Mask:
    """Say where a core is cheaper than all cores made of some of its tubes, (cores, targets)."""
    number = {tuple(np.flatnonzero(row)): index for index, row in enumerate(holds)}
    least, worth = cost.copy(), np.ones(cost.shape, dtype=bool)
    for row in sorted(number, key=len):
        parts = (number.get(row[:i] + row[i + 1 :]) for i in range(len(row)))
        known = [part for part in parts if part is not None]
        if known:
            below, own = least[known].min(axis=0), number[row]
            worth[own] = cost[own] < below
            least[own] = np.minimum(below, cost[own])
    return worth
