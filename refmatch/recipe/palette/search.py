"""The cheapest so many tubes, proved: a choice, and a bound that none can go below.

What is left open after `relaxed` is closed by deciding on one tube after another, to
keep it or to leave it out, and passing over all that cannot be better than the best
palette known (branch and bound: Land & Doig 1960, Econometrica 28, 497-520;
from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from refmatch.recipe.palette.relaxed import SLACK, begin, follows, mended
from refmatch.recipe.palette.task import Task
from refmatch.recipe.subsets import Mask

MOST_DECISIONS = 4000
"""Decisions looked into; after so many the bound reached is told instead of a proof."""

FIRST_STEPS, MORE_STEPS = 100, 10
"""How often the charges are mended before the first decision, and after each."""


@dataclass(frozen=True, eq=False)
class Found:
    """A palette, ``kept`` (tubes,), its ``total`` cost, and a ``bound``: none costs less."""

    kept: Mask
    total: float
    bound: float

    @property
    def proved(self) -> bool:
        """Whether no palette of as many tubes is better."""
        return self.total - self.bound <= 2.0 * SLACK


def cheapest(
    task: Task,
    count: int,
    keep: Mask | None = None,
    below: float = np.inf,
    most_decisions: int = MOST_DECISIONS,
) -> Found:
    """Return the cheapest palette of ``count`` tubes, those to ``keep`` (tubes,) among them.

    It is proved the cheapest unless ``most_decisions`` are too few; then ``bound`` says how
    much cheaper another could be at most. Where only palettes that cost less than ``below``
    matter, and there are none, the search ends as soon as that is sure: with a bound of
    ``below`` or more.
    """
    if count >= task.tubes:
        everything = np.ones(task.tubes, dtype=bool)
        total = float(task.totals(everything[None])[0])
        return Found(everything, total, total)
    keep = np.zeros(task.tubes, dtype=bool) if keep is None else keep
    best = _swapped(task, _grown(task, count, keep), keep)
    waiting, decisions = [(task, begin(task, count, keep))], 0
    while waiting and decisions < most_decisions:
        left, here = waiting.pop()
        upper = min(best.total, below)
        if here.bound >= upper - SLACK:
            continue
        steps = MORE_STEPS if decisions else FIRST_STEPS
        decisions += 1
        left, here, palette = mended(left, count, here, upper, steps)
        if float(task.totals(palette[None])[0]) < best.total - SLACK:
            best = _swapped(task, palette, keep)
        if here.bound >= upper - SLACK or here.is_all:
            continue
        tube = here.most_contested()
        waiting += [(left, follows(here, count, tube, keep=keep)) for keep in (False, True)]
    bound = min((here.bound for _, here in waiting), default=np.inf)
    return replace(best, bound=min(bound, best.total, below))


def _grown(task: Task, count: int, kept: Mask) -> Mask:
    """Return a palette to begin with: tube by tube, what helps most."""
    for _ in range(count - int(kept.sum())):
        kept = _best(task, kept | np.eye(task.tubes, dtype=bool)[~kept])[0]
    return kept


def _swapped(task: Task, kept: Mask, keep: Mask) -> Found:
    """Return a palette after every swap of one tube, but of those to keep, that is cheaper."""
    one, total = np.eye(task.tubes, dtype=bool), float(task.totals(kept[None])[0])
    while (kept & ~keep).any():
        swaps = [(kept & ~one[out]) | one[~kept] for out in np.flatnonzero(kept & ~keep)]
        better, its_total = _best(task, np.concatenate(swaps))
        if its_total >= total - SLACK:
            break
        kept, total = better, its_total
    return Found(kept, total, -np.inf)


def _best(task: Task, palettes: Mask) -> tuple[Mask, float]:
    totals = task.totals(palettes)
    best = int(np.argmin(np.round(totals, 9)))
    return palettes[best], float(totals[best])
