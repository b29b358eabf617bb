"""Which puddles are mixed from tubes, and which are drawn from those: the least work in all.

Every recipe of the set, and every recipe's core without its white, may be a mother. What
each is to each target is known beforehand; what is left is to choose the mothers. Each
puddle from tubes costs its own, each thing laid out costs, and so does what a drawn puddle
is farther off: a choice of places that serve, as of wells for a village.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.subsets import Indices, Mask

FROM_TUBES = 2.0
"""What a puddle from tubes costs besides what is laid out for it: a place on the palette and
a clean knife. The unit of work is one thing laid out (our own choice)."""

PER_DELTA_E_00 = 1.0
"""What a dE00 farther off than the target's own recipe costs in that unit (our own choice)."""

GAIN = 1e-9


@dataclass(frozen=True, eq=False)
class Costs:
    """The work of each mother, and of drawing each target from each.

    ``opening`` (mothers,) is the work of mixing it from tubes; ``drawing`` (mothers, targets)
    of drawing a target from it, infinite where it may not be. The first mothers are the
    targets' own recipes, in order: drawing a target from its own costs nothing.
    """

    opening: Array
    drawing: Array


@dataclass(frozen=True, eq=False)
class Choice:
    """The mothers to mix, in order; the one that serves each target, (targets,); all the work."""

    mothers: Indices
    serves: Indices
    work: float


def choose(costs: Costs) -> Choice:
    """Return the mothers of little work, by single steps from every target on its own.

    A step leaves one out, takes one in, or puts one in another's place; the best is taken
    for as long as one gains. The least work there is may be a little less: of random sets
    nine in ten are least, and none is a tenth more.
    """
    targets = costs.drawing.shape[1]
    now, chosen = _improved(costs, np.arange(len(costs.opening)) < targets)
    at = np.flatnonzero(chosen)
    return Choice(at, at[costs.drawing[at].argmin(axis=0)], now)


def work(costs: Costs, chosen: Mask) -> float:
    """Return all the work of some mothers, (mothers,); infinite where a target is left out."""
    drawing = costs.drawing[chosen].min(axis=0, initial=np.inf)
    return float(costs.opening[chosen].sum() + drawing.sum())


def _improved(costs: Costs, chosen: Mask) -> tuple[float, Mask]:
    """Take the best step for as long as one gains."""
    now = work(costs, chosen)
    while True:
        step, then = _best_step(costs, chosen)
        if then >= now - GAIN:
            return now, chosen
        chosen, now = step, then


def _best_step(costs: Costs, chosen: Mask) -> tuple[Mask, float]:
    """Return the best choice one step away, and its work.

    Row 0 of the table leaves the chosen as they are, row i is without the i-th of them;
    column 0 takes none in, column j the j-th of the others.
    """
    held, free = np.flatnonzero(chosen), np.flatnonzero(~chosen)
    left = [held, *(np.delete(held, i) for i in range(len(held)))]
    drawing = np.array([costs.drawing[rows].min(axis=0, initial=np.inf) for rows in left])
    opening = np.array([costs.opening[rows].sum() for rows in left])
    coming = np.concatenate([np.full((1, drawing.shape[1]), np.inf), costs.drawing[free]])
    works = np.minimum(drawing[:, None], coming).sum(axis=2)
    works += opening[:, None] + np.concatenate([[0.0], costs.opening[free]])
    works[0, 0] = np.inf
    row, column = np.unravel_index(int(np.argmin(np.round(works, 9))), works.shape)
    step = np.zeros_like(chosen)
    step[left[row]] = True
    if column:
        step[free[column - 1]] = True
    return step, float(works[row, column])
