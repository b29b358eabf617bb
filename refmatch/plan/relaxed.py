"""A bound that no palette can go below, and the palette that it hints at.

Each target takes one offer, and an offer may be taken only where all its tubes are kept.
Let that last rule go, but charge every target for every tube that its offer asks for,
and pay the charges of the kept tubes back. Whatever the charges, that sum is never above
what the cheapest palette costs (Lagrange's relaxation: Geoffrion 1974, Mathematical
Programming Study 2, 82-114; from memory). Good charges bring it near.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.plan.task import Task, as_bits
from refmatch.recipe.subsets import Indices, Mask

PATIENCE = 5
"""Steps without a better bound after which smaller steps are made."""

SLACK = 1e-6
"""Palettes that differ by less cost the same."""


@dataclass(frozen=True, eq=False)
class Decided:
    """Tubes kept and left out, (tubes,); the charges, (tubes + 1, targets); and the bound.

    No palette with these kept and those left out costs less than ``bound``.
    """

    kept: Mask
    left_out: Mask
    charges: Array
    bound: float

    @property
    def is_all(self) -> bool:
        """Whether nothing is left to decide."""
        return bool((self.kept | self.left_out).all())

    def most_contested(self) -> int:
        """Return the open tube that targets are charged most for."""
        open_ones = ~(self.kept | self.left_out)
        return int(np.argmax(np.where(open_ones, np.round(_worth(self.charges), 9), -1.0)))


@dataclass(frozen=True, eq=False)
class _Relaxed:
    """The sum with the rule let go: its value, the offers taken, and the tubes kept.

    ``costs`` (offers,) are what offers cost with their charges, ``least`` (targets,) the
    least of each target.
    """

    bound: float
    taken: Indices
    chosen: Mask
    costs: Array
    least: Array


def begin(task: Task, count: int, keep: Mask) -> Decided:
    """Return where the search begins: with the tubes to keep."""
    free = np.zeros((task.tubes + 1, len(task.first)))
    return _closed(Decided(keep, np.zeros(task.tubes, dtype=bool), free, -np.inf), count)


def follows(here: Decided, count: int, tube: int, *, keep: bool) -> Decided:
    """Return what is decided once a tube is kept or left out."""
    kept, left_out = here.kept.copy(), here.left_out.copy()
    (kept if keep else left_out)[tube] = True
    return _closed(replace(here, kept=kept, left_out=left_out), count)


def mended(
    task: Task, count: int, start: Decided, upper: float, steps: int
) -> tuple[Task, Decided, Mask]:
    """Mend the charges step by step, for a better bound.

    A step goes along the subgradient as far as the gap asks for (Polyak 1969, USSR
    Computational Mathematics and Mathematical Physics 9, 14-29; from memory).

    Args:
        task: the offers still of use.
        count: of tubes to keep.
        start: what is decided.
        upper: what the best palette known costs.
        steps: how many.

    Returns:
        The offers that a better palette may still use, what is decided now (all that
        follows from the bound included), and the cheapest palette met.
    """
    allowed = _allowed(task, count, start)
    if not task.serves_all(allowed):
        return task, replace(start, bound=np.inf), start.kept
    task = task.pick(allowed)
    here, palettes = _climbed(task, count, start, upper, steps)
    best = palettes[int(np.argmin(np.round(task.totals(palettes), 9)))]
    return *_narrowed(task, count, here, upper), best


def _climbed(
    task: Task, count: int, start: Decided, upper: float, steps: int
) -> tuple[Decided, Mask]:
    """Return the best bound that so many steps come to, and the palettes met, (steps, tubes)."""
    here, charges, size, idle = start, start.charges, 1.0, 0
    met: list[Mask] = []
    for _ in range(steps):
        relaxed = _relaxed(task, count, start, charges)
        met.append(relaxed.chosen)
        idle += 1
        if relaxed.bound > here.bound:
            here, idle = replace(start, charges=charges, bound=relaxed.bound), 0
        if here.bound >= upper - SLACK:
            break
        if idle >= PATIENCE:
            size, idle = 0.5 * size, 0
        uphill = _uphill(task, relaxed, start)
        steep = float(np.sum(uphill**2))
        if steep == 0.0:
            break
        gap = max(upper - relaxed.bound, SLACK)
        charges = np.maximum(charges + size * gap / steep * uphill, 0.0)
    return here, np.array(met)


def _narrowed(task: Task, count: int, here: Decided, upper: float) -> tuple[Task, Decided]:
    """Leave out what no palette below ``upper`` can use, and decide what it must."""
    relaxed = _relaxed(task, count, here, here.charges)
    room = max(upper - relaxed.bound, 0.0) + SLACK
    worth, chosen = _worth(here.charges), relaxed.chosen
    open_ones = ~(here.kept | here.left_out)
    if (open_ones & chosen).any() and (open_ones & ~chosen).any():
        last_in, first_out = worth[open_ones & chosen].min(), worth[open_ones & ~chosen].max()
        never = open_ones & ~chosen & (last_in - worth > room)
        always = open_ones & chosen & (worth - first_out > room)
        here = replace(here, kept=here.kept | always, left_out=here.left_out | never)
    return task.pick(relaxed.costs <= relaxed.least[task.target] + room), _closed(here, count)


def _closed(here: Decided, count: int) -> Decided:
    """Leave out the rest where enough are kept, or keep it where no more may be left out."""
    kept, left_out = here.kept, here.left_out
    if kept.sum() == count:
        left_out = ~kept
    elif (~left_out).sum() == count:
        kept = ~left_out
    charges = here.charges.copy()
    charges[:-1][kept | left_out] = 0.0  # there is nothing left to pay for
    return replace(here, kept=kept, left_out=left_out, charges=charges)


def _allowed(task: Task, count: int, here: Decided) -> Mask:
    """Say which offers ask for no tube left out, nor for more than there is room for."""
    gone, missing = as_bits(here.left_out[None])[0], as_bits(~here.kept[None])[0]
    room = count - int(here.kept.sum())
    return (task.bits & gone == 0) & (np.bitwise_count(task.bits & missing) <= room)


def _relaxed(task: Task, count: int, here: Decided, charges: Array) -> _Relaxed:
    """Return the sum with the rule let go, under what is decided."""
    costs, flat = task.cost.copy(), charges.ravel()
    for members in task.members.T:
        costs += flat[members * len(task.first) + task.target]
    least = np.minimum.reduceat(costs, task.first)
    at_least = np.flatnonzero(costs == least[task.target])
    first = np.searchsorted(task.target[at_least], np.arange(len(task.first)))
    worth = _worth(charges)
    open_ones = np.flatnonzero(~(here.kept | here.left_out))
    order = np.argsort(-np.round(worth[open_ones], 12), kind="stable")
    chosen = here.kept.copy()
    chosen[open_ones[order[: count - int(here.kept.sum())]]] = True
    return _Relaxed(float(least.sum() - worth[chosen].sum()), at_least[first], chosen, costs, least)


def _uphill(task: Task, relaxed: _Relaxed, here: Decided) -> Array:
    """Return the subgradient: who asks for a tube that is not kept, and who does not for one."""
    uphill = np.zeros((task.tubes + 1, len(task.first)))
    uphill[:-1] -= relaxed.chosen[:, None]
    for members in task.members[relaxed.taken].T:
        uphill[members, task.target[relaxed.taken]] += 1.0
    uphill[:-1][here.kept | here.left_out] = 0.0
    uphill[-1] = 0.0
    return uphill


def _worth(charges: Array) -> Array:
    """Return what is paid back for each tube, (tubes,)."""
    return charges[:-1].sum(axis=1)
