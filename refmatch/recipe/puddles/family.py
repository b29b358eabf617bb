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

FROM_TUBES = 1.0
"""What a puddle from tubes costs besides what is laid out for it: a place on the palette,
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


def _improved(costs: Costs, open_now: Mask) -> tuple[float, Mask]:
    now = float(work(costs, open_now[None])[0])
    while True:
        steps = _steps(open_now)
        found = work(costs, steps)
        best = int(np.argmin(np.round(found, 9)))
        if found[best] >= now - GAIN:
            return now, open_now
        open_now, now = steps[best], float(found[best])


def work(costs: Costs, chosen: Mask) -> Array:
    """Return all the work of choices of mothers, (choices, mothers); infinite where one is left."""
    drawing = np.where(chosen[:, :, None], costs.drawing, np.inf).min(axis=1)
    return chosen @ costs.opening + drawing.sum(axis=1)


def _steps(open_now: Mask) -> Mask:
    """Return every choice one step away, (steps, mothers)."""
    count = len(open_now)
    one = open_now ^ np.eye(count, dtype=bool)
    out, into = np.nonzero(open_now[:, None] & ~open_now[None, :])
    swapped = np.repeat(open_now[None], len(out), axis=0)
    swapped[np.arange(len(out)), out] = False
    swapped[np.arange(len(out)), into] = True
    return np.concatenate([one, swapped])
