"""Which puddles are mixed from tubes, and which are drawn from those: the least work in all.

Every recipe of the set, and every recipe's core without its white, may be a mother. What
each is to each target is known beforehand; what is left is to choose the mothers. Each
puddle from tubes costs its own, each thing laid out costs, and so does what a drawn puddle
is farther off: a choice of places that serve, as of wells for a village.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.model import Laid
from refmatch.recipe.solve import Options
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
    """Return the mothers of little work, by steps from two ends.

    One end is every target on its own, the other every mother at once. A step leaves one
    out, takes one in, puts one in another's place, or in the place of several; it is taken for
    as long as one gains. The least work there is may be a little less: of 300 random sets
    beside brute force 296 are least, and none is a tenth more.
    """
    mothers, targets = costs.drawing.shape
    ends = [_improved(costs, np.arange(mothers) < some) for some in (targets, mothers)]
    now, chosen = min(ends, key=lambda end: round(end[0], 9))
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
        step = _best_step(costs, chosen)
        if work(costs, step) >= now - GAIN:
            step = _one_for_several(costs, chosen)
        then = work(costs, step)
        if then >= now - GAIN:
            return now, chosen
        chosen, now = step, then


def _best_step(costs: Costs, chosen: Mask) -> Mask:
    """Return the best choice one step away."""
    works = _works(costs, chosen)
    out, into = np.unravel_index(int(np.argmin(np.round(works, 9))), works.shape)
    step = chosen.copy()
    if out:
        step[np.flatnonzero(chosen)[out - 1]] = False
    if into:
        step[np.flatnonzero(~chosen)[into - 1]] = True
    return step


def _one_for_several(costs: Costs, chosen: Mask) -> Mask:
    """Return the first choice found that gains by one mother in and several out, or the same.

    What each of several gains by going is at most what it gains by going alone; so those
    are tried first that may gain most, and what cannot gain is not tried.
    """
    now, works, free = work(costs, chosen), _works(costs, chosen), np.flatnonzero(~chosen)
    hoped = works[0, 1:] - np.maximum(works[0, 1:] - works[1:, 1:], 0.0).sum(axis=0)
    for at in np.argsort(np.round(hoped, 9), kind="stable"):
        if hoped[at] >= now - GAIN:
            break
        step = chosen.copy()
        step[free[at]] = True
        step = _thinned(costs, step, keep=int(free[at]))
        if work(costs, step) < now - GAIN:
            return step
    return chosen


def _thinned(costs: Costs, chosen: Mask, keep: int) -> Mask:
    """Leave one mother after the other out, all but one, for as long as that gains."""
    while True:
        alone = _works(costs, chosen)[:, 0]
        alone[1:][np.flatnonzero(chosen) == keep] = np.inf
        out = int(np.argmin(np.round(alone, 9)))
        if out == 0:
            return chosen
        chosen = chosen.copy()
        chosen[np.flatnonzero(chosen)[out - 1]] = False


def _works(costs: Costs, chosen: Mask) -> Array:
    """Return the work of every choice one step away, (1 + chosen, 1 + others).

    Row 0 leaves all that are chosen, row i is without the i-th; column 0 takes none
    in, column j the j-th of the others.
    """
    held, free = np.flatnonzero(chosen), np.flatnonzero(~chosen)
    left = [held, *(np.delete(held, i) for i in range(len(held)))]
    drawing = np.array([costs.drawing[rows].min(axis=0, initial=np.inf) for rows in left])
    opening = np.array([costs.opening[rows].sum() for rows in left])
    coming = np.concatenate([np.full((1, drawing.shape[1]), np.inf), costs.drawing[free]])
    found = np.minimum(drawing[:, None], coming).sum(axis=2)
    return found + opening[:, None] + np.concatenate([[0.0], costs.opening[free]])


# What a plan of puddles is: which are mixed from tubes, which are drawn, and in what order.


@dataclass(frozen=True, eq=False)
class Set:
    """The targets of a painting, and each one's own recipe from tubes.

    ``labels`` (n,), each once; ``labs`` (n, 3), D50; ``shares`` (n,) of the picture;
    ``parts`` (n, entries) are whole parts of the box's entries. ``others`` are further
    recipes that would do for a target: its place, and parts (entries,). ``held`` are the places
    of the targets that are mixed by their own recipe and no other. ``options`` has what is asked
    of each target's recipe, which what is drawn keeps to as well; nothing is where it is empty.
    ``layers`` (n,) are the targets' layers from the canvas up, none where there is but one.
    """

    labels: Sequence[str]
    labs: Array
    shares: Array
    parts: Indices
    others: Sequence[tuple[int, Indices]] = ()
    held: Sequence[int] = ()
    options: Sequence[Options] = ()
    layers: Sequence[int] = ()


@dataclass(frozen=True, eq=False)
class Mother:
    """A puddle from tubes that others may be drawn from.

    ``target`` is the place of the target that it is a recipe for, None where it is none.
    ``parts`` (entries,) are whole parts, ``net`` (tubes,) shares of each tube, sum 1. It is
    mixed for ``layer``: nothing of another is drawn from it, that is painted days apart.
    """

    label: str
    target: int | None
    parts: Indices
    net: Array
    lab: Array
    layer: int = 0


@dataclass(frozen=True, eq=False)
class Draw:
    """A way to draw a puddle from another: ``of_it`` parts of that and ``added`` (entries,).

    ``net`` (tubes,) are the shares it then has; ``work`` counts what is laid out, and
    what it is farther off.
    """

    of_it: int
    added: Indices
    net: Array
    lab: Array
    work: float


@dataclass(frozen=True, eq=False)
class Mixed:
    """One puddle on the palette: what it is mixed of, and how true it comes.

    ``drawn_from`` is the label of the puddle it takes ``of_it`` parts of; None and 0 where
    it is mixed from tubes. ``laid`` are the tubes and let-downs that go in, most first.
    ``target`` is the place of its target in the set; None for a mother that is none.
    ``delta_e_00`` is from the target, ``alone_delta_e_00`` that of the target's own recipe
    from tubes (both None without a target). ``share`` is how much of all the paint
    is mixed of it, what is drawn from it included. ``dries`` is "fast", "middle", "slow", or
    None where the tubes' pigments are not known; ``layer`` its layer from the canvas up.
    """

    label: str
    drawn_from: str | None
    of_it: int
    laid_out: tuple[Laid, ...]
    net: Array
    lab: Array
    target: int | None
    delta_e_00: float | None
    alone_delta_e_00: float | None
    share: float
    dries: str | None
    layer: int = 0


@dataclass(frozen=True, eq=False)
class Plan:
    """The order of work: every puddle stands after the one that it is drawn from.

    ``from_tubes`` counts the puddles mixed from tubes, ``alone`` those that would be
    without mother puddles; ``laid_out`` and ``laid_out_alone`` what the hand lays out in
    all. ``mean_delta_e_00`` and ``mean_alone_delta_e_00`` are means over the targets by
    their shares. ``skins_first`` are the labels of the puddles that dry fast in oil,
    ``hurries`` the tubes that make them.
    """

    puddles: tuple[Mixed, ...]
    from_tubes: int
    alone: int
    laid_out: int
    laid_out_alone: int
    mean_delta_e_00: float
    mean_alone_delta_e_00: float
    skins_first: tuple[str, ...]
    hurries: tuple[str, ...]
