"""From a target and a box to recipes: all subsets, continuous optima, whole parts, rank.

The road is: the nearest recipes of the box's index, none passed over (`index`). Where
the index does not hold all that could be better, also a rough look at every subset
of tubes and let-downs (`subsets`), the best shares of the promising ones
(`continuous`) and every sensible rounding of those (`lattice`). Then the choice
among them (`rank`, `alternatives`).
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BoxError, UsageError
from refmatch.paint.box import Box
from refmatch.recipe.alternatives import alternatives
from refmatch.recipe.continuous import GLANCE, THOROUGH, Looks, Optima, optima
from refmatch.recipe.entries import Entries, entries_of
from refmatch.recipe.habits import NO_HABITS, Habits, check_insisted, dislike, permitted
from refmatch.recipe.index import store
from refmatch.recipe.index.contents import (
    EMPTY,
    FIRST_ROWS,
    MOST_ROWS,
    MOST_SURVEYED,
    Index,
    build_index,
)
from refmatch.recipe.index.measures import Measure, ciede2000, held
from refmatch.recipe.index.search import nearest, proved_gap
from refmatch.recipe.lattice import whole_parts
from refmatch.recipe.metric import Distance, metric
from refmatch.recipe.model import Answer, Recipe
from refmatch.recipe.rank import Candidates, Judge, lab_of, price, rank
from refmatch.recipe.reach import (
    WITHIN_REACH,
    explain,
    held_distance,
    help_words,
    helper_pigment,
)
from refmatch.recipe.subsets import Indices, Mask, Subsets, all_subsets, spread_out
from refmatch.recipe.write_up import write_up
from refmatch.target import Target

BEYOND_DOUBT = 5.0
"""Where whole parts stay farther off than this (dE00), no shares come within reach: twice
what the roundest parts of the palest colours miss (docs/accuracy.md)."""

GAP_SOUGHT = 0.25
"""Where the gap that the index proves is wider, recipes beyond it are searched for too."""


@dataclass(frozen=True)
class Options:
    """How many tubes and parts a recipe may have, and the painter's habits."""

    tubes: int = 4
    total: int = 32
    habits: Habits = NO_HABITS

    def __post_init__(self) -> None:
        if not 2 <= self.tubes <= 5:
            raise UsageError(f"At most {self.tubes} tubes is not offered; ask for 2 to 5.")
        if not 2 <= self.total <= 64:
            raise UsageError(f"A total of {self.total} parts is not offered; ask for 2 to 64.")


@dataclass(frozen=True, eq=False)
class Bench:
    """A box made ready for solving: its entries, and the index of its recipes.

    ``first`` says that the index is only the small one built at once.
    """

    entries: Entries
    index: Index
    options: Options
    held_out: Mask
    first: bool = False

    @functools.cached_property
    def subsets(self) -> list[Subsets]:
        """All subsets, looked at once; needed only beyond what the index holds."""
        return all_subsets(self.entries, self.options.tubes)

    def permitted(self, members: Indices, target_lab: Array) -> Mask:
        """Say which subsets of entries the painter's habits allow, (subsets,)."""
        net = np.logical_or.reduce(self.entries.net[:, self.held_out] > 0.0, axis=1)
        free = ~np.logical_or.reduce(net[members], axis=1)
        return free & permitted(self.entries, members, self.options.habits, target_lab)

    def dues(self, target_lab: Array) -> list[Array] | None:
        """Return what habits add to the price of each grid's subsets, infinite if barred.

        None where the painter keeps no habits.
        """
        if self.options.habits == NO_HABITS:
            return None
        return [self._dues(grid.members, target_lab) for grid in self.index.grids]

    def _dues(self, members: Indices, target_lab: Array) -> Array:
        used = spread_out(members, np.ones(members.shape, dtype=bool), len(self.entries.items))
        disliked = dislike(self.entries, used, self.options.habits.easy_on_black)
        return np.where(self.permitted(members, target_lab), disliked, np.inf)


@dataclass(frozen=True, eq=False)
class Ranked:
    """The recipes for a target, best first; ``gap`` is proved in the nominal objective.

    No recipe at all is better than the best of these by more, distance and price together.
    """

    found: Candidates
    within_reach: bool
    gap: float


def lay_out(box: Box, options: Options | None = None, *, whole: bool = False) -> Bench:
    """Make a box ready for any number of targets.

    The stored index of the box is used where there is one; otherwise a first, small
    one is built at once, or with ``whole`` the whole one, which takes seconds.

    Raises:
        BoxError: the box is empty (after holding tubes out) or has no white.
        UnknownTube: a habit names a tube that is not in the box.
        UsageError: a tube is insisted on and held out at once.
    """
    options = options or Options()
    check_insisted(box, options.habits)
    left = box.without(options.habits.without)
    if not left.tubes:
        raise BoxError(f"The box '{box.name}' has no tubes left; hold fewer of them out.")
    _ = box.white  # says so where there is none
    if not any(tube.is_white for tube in left.tubes):
        raise BoxError(f"Without its white the box '{box.name}' mixes nothing; leave one in.")
    if any(tube.is_white for tube in box.tubes if tube not in left.tubes):
        box = left  # let-downs are made in another white now
    entries = entries_of(box)
    index = store.find(entries, options.tubes, options.total)
    first = index is None and not whole
    if index is None:
        most = (MOST_ROWS, MOST_SURVEYED) if whole else (FIRST_ROWS, 0)
        index = build_index(entries, options.tubes, options.total, *most)
    held_out = np.array([tube not in left.tubes for tube in box.tubes])
    return Bench(entries, index, options, held_out, first and np.isfinite(index.complete_to))


def solve(bench: Bench, target: Target) -> Answer:
    """Return the recipes for one target, best first, each a distinct way to mix it.

    Where the target is out of reach, recipes hold its value first, then its hue,
    and give up chroma; the answer says so.

    Raises:
        BoxError: no recipe keeps to the habits.
    """
    ranked = candidates(bench, target.lab)
    chosen = alternatives(bench.entries, ranked.found)
    recipes = write_up(bench.entries, target, ranked.found, chosen)
    reach = None if ranked.within_reach else _out_of_reach(bench, target, recipes[0])
    return Answer(
        label=target.label,
        target_lab=target.lab,
        in_gamut=ranked.within_reach,
        reach=reach,
        recipes=recipes,
        flags=target.flags,
        gap=ranked.gap,
    )


def solve_all(bench: Bench, targets: Sequence[Target]) -> tuple[Answer, ...]:
    """Return the recipes for some targets, each as `solve` does.

    Raises:
        BoxError: no recipe keeps to the habits.
    """
    return tuple(solve(bench, target) for target in targets)


def candidates(bench: Bench, target_lab: Array) -> Ranked:
    """Return the ranked recipes for a target, and what is proved of them."""
    pool = _recipes(bench, target_lab, ciede2000(target_lab), delta_e_00)
    if len(pool.parts) == 0:
        raise BoxError("No recipe keeps to all these habits; allow more tubes or parts.")
    within_reach = _within_reach(bench, target_lab, pool)
    distance = delta_e_00 if within_reach else held_distance
    if not within_reach:
        pool = _recipes(bench, target_lab, held(target_lab), held_distance)
    judge = Judge(
        lambda lab: distance(lab, target_lab),
        metric(target_lab),
        bench.options.habits.easy_on_black,
    )
    return Ranked(rank(bench.entries, pool.parts, judge, pool.lab), within_reach, pool.gap)


@dataclass(frozen=True, eq=False)
class _Pool:
    """Promising recipes, (n, entries), their Lab, (n, 3), and the gap proved for the best.

    ``near`` are the continuous optima, where they were looked for.
    """

    parts: Indices
    lab: Array
    gap: float
    near: list[Optima] | None = None


def _recipes(bench: Bench, target_lab: Array, measure: Measure, distance: Distance) -> _Pool:
    """Return the promising recipes of the index, and where it may lack better, others too."""
    entries = bench.entries
    found = nearest(bench.index, measure, len(entries.items), bench.dues(target_lab))
    if found.gap <= GAP_SOUGHT and not bench.first:
        return _Pool(found.parts, lab_of(entries, found.parts), found.gap)
    near = _optima(bench, target_lab, distance)
    more = [whole_parts(entries, each, bench.options.total) for each in near]
    parts = np.concatenate([found.parts, *more])
    lab = lab_of(entries, parts)
    beyond = slice(len(found.parts), None)
    worth = measure.distance(lab[beyond]) + price(entries, parts[beyond])
    best = min(found.best, float(worth.min(initial=np.inf)))
    return _Pool(parts, lab, proved_gap(bench.index, measure, best), near)


def _within_reach(bench: Bench, target_lab: Array, pool: _Pool) -> bool:
    """Say whether whole parts come near enough, or else any shares of the tubes."""
    by_parts = delta_e_00(pool.lab, target_lab).min()
    if by_parts <= WITHIN_REACH:
        return True
    if by_parts > BEYOND_DOUBT and not bench.first:
        return False
    near = pool.near or _optima(bench, target_lab, delta_e_00)
    return min(_nearest_lab(bench, target_lab, each)[1] for each in near) <= WITHIN_REACH


def _optima(
    bench: Bench, target_lab: Array, distance: Distance, looks: Looks = THOROUGH
) -> list[Optima]:
    g, found = metric(target_lab, distance), []
    for subsets in bench.subsets:
        permitted = bench.permitted(subsets.members, target_lab)
        found.append(optima(bench.entries, subsets, target_lab, g, permitted, looks))
    return found


def _out_of_reach(bench: Bench, target: Target, best: Recipe) -> str:
    """Say how far off the nearest mix is, where, and what would help."""
    told = explain(target.lab, best.lab, best.delta_e_00)
    unlimited = _without_limits(bench, target.lab)
    if unlimited <= WITHIN_REACH:
        return (
            f"{told} Your own limits keep it out of reach, not your tubes: without them it "
            f"comes within dE00 {max(unlimited, 0.1):.1f}."
        )
    helper = helper_pigment(
        bench.entries.box, target.lab, lambda box: _best_shares(box, target.lab)
    )
    return f"{told} {help_words(helper)}" if helper else told


def _without_limits(bench: Bench, target_lab: Array) -> float:
    """Return how near the whole box comes in the usual number of tubes, habits set aside.

    Infinite where no limit was set.
    """
    if bench.options == Options():
        return float("inf")
    free = Bench(bench.entries, EMPTY, Options(), np.zeros_like(bench.held_out))
    near = _optima(free, target_lab, delta_e_00)
    return min(_nearest_lab(free, target_lab, each)[1] for each in near)


def _best_shares(box: Box, target_lab: Array) -> tuple[Array, float]:
    """Return the colour of the best shares of up to three entries, and its dE00."""
    bench = _laid_out_plainly(box)
    near = _optima(bench, target_lab, delta_e_00, GLANCE)
    return min((_nearest_lab(bench, target_lab, o) for o in near), key=lambda pair: pair[1])


@functools.lru_cache(48)
def _laid_out_plainly(box: Box) -> Bench:
    """Lay a box out for up to three tubes, without an index or habits; kept for the next target."""
    return Bench(entries_of(box), EMPTY, Options(tubes=3), np.zeros(len(box.tubes), dtype=bool))


def _nearest_lab(bench: Bench, target_lab: Array, found: Optima) -> tuple[Array, float]:
    """Return the Lab and dE00 of the nearest optimum (black, infinitely far, if there is none)."""
    if len(found.members) == 0:
        return np.zeros(3), float("inf")
    parts = spread_out(found.members, found.shares, len(bench.entries.items))
    lab = bench.entries.palette.lab(parts)
    distance = delta_e_00(lab, target_lab)
    nearest = int(np.argmin(distance))
    return lab[nearest], float(distance[nearest])
