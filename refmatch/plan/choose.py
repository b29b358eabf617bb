"""The best palette of so many tubes for a picture, the smallest that does, and what each costs.

A palette is white and some colours of the box. It is judged as recipes are ranked: by the
dE00 to be expected of a hand and this box, with a small price for each colour in a mix;
targets count by their share of the picture.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
from refmatch.plan.cores import Cores
from refmatch.plan.relaxed import SLACK, begin, follows, mended
from refmatch.plan.task import Task
from refmatch.recipe.rank import UNSEEN
from refmatch.recipe.subsets import Mask

# The cheapest so many tubes, proved: a choice, and a bound that none can go below.
#
# What is left open after `relaxed` is closed by deciding on one tube after another, to
# keep it or to leave it out, and passing over all that cannot be better than the best
# palette known (branch and bound: Land & Doig 1960, Econometrica 28, 497-520;
# from memory).

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


PROVED_UP_TO = 24
"""Tubes in a box up to which a choice is searched until it is proved."""

DECISIONS_BEYOND = 1000
"""Decisions looked into for a larger box; then the bound is told."""

REACHED = 2.0
"""A palette reaches a target when its nearest mix is good: dE00 of 2 (`recipe.verdict`)."""

NOT_REACHED = 1000.0
"""What a target costs, beyond all else, that a palette must reach and does not."""

FEWEST = 2
"""Tubes in the smallest palette: white and a colour."""


@dataclass(frozen=True, eq=False)
class Choice:
    """A palette and what it does for each target.

    ``tubes`` are its names in the order of the box, the white among them. ``distance``
    (targets,) is the dE00 of the nearest mix of any shares, of up to three colours and
    white; ``expected`` (targets,) the dE00 to expect of the best mix, hand and box being what
    they are; ``cost`` the mean by share that palettes are chosen by. No palette of as many
    tubes (that reaches as much, where that was asked) costs less than ``bound``; it is
    -infinite where the tubes were given and none were looked for.
    """

    tubes: tuple[str, ...]
    distance: Array
    expected: Array
    cost: float
    bound: float

    @property
    def proved(self) -> bool:
        """Whether no palette of as many tubes is better, to a thousandth of a dE00."""
        return self.cost - self.bound <= 1e-3

    @property
    def missed(self) -> list[int]:
        """The places of the targets that it does not reach."""
        return [place for place, far in enumerate(self.distance.tolist()) if far > REACHED]


def best_palette(cores: Cores, shares: Array, count: int, keep: Sequence[str] = ()) -> Choice:
    """Return the best palette of ``count`` tubes, white included.

    Proved the best of a box of up to 24 tubes; beyond, ``bound`` says how much better
    another could be at most.

    Args:
        cores: of the box, for the targets.
        shares: of the picture, (targets,), in any unit.
        count: how many tubes.
        keep: names of tubes that it must hold.

    Raises:
        UsageError: fewer than two tubes, or fewer than are to be kept.
    """
    if count < FEWEST:
        raise UsageError("palette_too_small", count=count)
    weights, kept = weights_of(shares), _named(cores, keep)
    if kept.sum() >= count:
        raise UsageError("palette_too_full", tubes=int(kept.sum()) + 1, count=count)
    task = Task.of(cores.holds, cores.cost * weights)
    best = cheapest(task, count - 1, kept, most_decisions=_most(cores))
    return _choice_of(cores, weights, best.kept, best.bound)


def smallest(cores: Cores, shares: Array, keep: Sequence[str] = ()) -> Choice:
    """Return the smallest palette that reaches what the box reaches; the best of that size.

    Where the whole box does not reach a target either, the palette must come as near as
    the box does, but for what nobody sees. It holds the tubes named in ``keep``.
    """
    weights, kept = weights_of(shares), _named(cores, keep)
    needed = np.maximum(REACHED, cores.distance.min(axis=0) + UNSEEN)
    cost = cores.cost * weights + NOT_REACHED * (cores.distance > needed)
    task = Task.of(cores.holds, cost)
    for count in range(max(1, int(kept.sum())), len(cores.colours)):
        best = cheapest(task, count, kept, NOT_REACHED, _most(cores))
        if best.total < NOT_REACHED:
            return _choice_of(cores, weights, best.kept, best.bound)
    return _choice_of(cores, weights, np.ones_like(kept), np.inf)  # there is no other so large


def one_more(cores: Cores, shares: Array, tubes: Sequence[str]) -> tuple[str, Choice] | None:
    """Return the tube that helps a palette most, and what it then does; None where none is left."""
    left = [name for name in cores.colours if name not in tubes]
    tried = [(name, of_tubes(cores, shares, [*tubes, name])) for name in left]
    return min(tried, key=lambda each: round(each[1].cost, 9), default=None)


def of_tubes(cores: Cores, shares: Array, tubes: Sequence[str]) -> Choice:
    """Return what a palette of stated tubes does."""
    return _choice_of(cores, weights_of(shares), _named(cores, tubes), -np.inf)


def without_each(cores: Cores, shares: Array, choice: Choice) -> dict[str, Choice]:
    """Return what is left of a palette without each of its colours."""
    return {
        tube: of_tubes(cores, shares, [other for other in choice.tubes if other != tube])
        for tube in choice.tubes
        if tube != cores.white
    }


def weights_of(shares: Array) -> Array:
    """Return shares that sum to 1, (targets,)."""
    shares = np.asarray(shares, dtype=float)
    return shares / shares.sum()


def _named(cores: Cores, tubes: Sequence[str]) -> Mask:
    return np.array([name in tubes for name in cores.colours])


def _most(cores: Cores) -> int:
    """Return how many decisions are looked into."""
    return 10**6 if len(cores.colours) < PROVED_UP_TO else DECISIONS_BEYOND


def _choice_of(cores: Cores, weights: Array, kept: Mask, bound: float) -> Choice:
    usable = ~(cores.holds & ~kept).any(axis=1)
    named = {cores.white, *(name for name, keep in zip(cores.colours, kept, strict=True) if keep)}
    cost = float(cores.cost[usable].min(axis=0) @ weights)
    return Choice(
        tubes=tuple(tube.name for tube in cores.box.tubes if tube.name in named),
        distance=cores.distance[usable].min(axis=0),
        expected=cores.expected[usable].min(axis=0),
        cost=cost,
        bound=min(bound, cost),
    )
