"""From a target and a box to recipes: subsets, best shares, whole parts, rank.

The road is: the promising subsets of tubes and let-downs with their best shares
(`growth`, `continuous`), the promising roundings of those (`lattice`), then the choice
among them (`rank`, `alternatives`). Nothing is kept but the box laid out: the same box,
target and habits give the same answer, whatever was asked before.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BoxError, UsageError
from refmatch.paint.box import Box
from refmatch.recipe.choice import alternatives, write_up
from refmatch.recipe.continuous import Aim, Limits, Measure, improved
from refmatch.recipe.doubt import metric, root
from refmatch.recipe.growth import GLANCE, THOROUGH, Field, Optima, Stages, grow, start, starts_of
from refmatch.recipe.habits import NO_HABITS, Habits, check_insisted, dislike, may_grow, permitted
from refmatch.recipe.lattice import Kept, whole_parts
from refmatch.recipe.mixture import Entries, entries_of
from refmatch.recipe.model import Answer, Recipe
from refmatch.recipe.rank import Candidates, Judge, lab_of, rank
from refmatch.recipe.reach import (
    WITHIN_REACH,
    Held,
    explain,
    held_distance,
    help_words,
    helper_pigment,
)
from refmatch.recipe.subsets import Indices, Subsets, spread_out
from refmatch.target import Target

IN_DOUBT = 0.3
"""Where the best shares are out of reach by no more than this (dE00), parts are tried too."""

ROUNDED = 200
"""Subsets of each size whose shares are rounded to whole parts."""

KEPT = Kept(of_subset=15, of_size=700)
"""Recipes in whole parts: the best of each subset, and of each size, go on to be ranked."""

FAR_OUT = 3.0
"""Where a glance comes no nearer than this (dE00), no search comes within reach."""

NEAREST = 40
"""Subsets of each size whose shares are looked at closely, to say how near the box comes."""

CLOSELY = Limits(rounds=6)


@dataclass(frozen=True)
class Options:
    """How many tubes and parts a recipe may have, and the painter's habits."""

    tubes: int = 4
    total: int = 32
    habits: Habits = NO_HABITS

    def __post_init__(self) -> None:
        if not 2 <= self.tubes <= 5:
            raise UsageError("tubes_not_offered", tubes=self.tubes)
        if not 2 <= self.total <= 64:
            raise UsageError("total_not_offered", total=self.total)


@dataclass(frozen=True, eq=False)
class Bench:
    """A box made ready for solving: its entries, and a rough look at all pairs of them.

    Tubes held out are in no ``starts``, and so in no recipe.
    """

    entries: Entries
    starts: tuple[Subsets, ...]
    options: Options

    def field(self, target_lab: Array) -> Field:
        """Return what the search for a target may look at, the painter's habits being kept."""
        habits = self.options.habits
        return Field(
            self.entries,
            self.starts,
            self.options.tubes,
            self.options.total,
            lambda members: may_grow(self.entries, members, habits, target_lab),
            self._dislike,
        )

    def _dislike(self, members: Indices) -> Array:
        used = spread_out(members, np.ones(members.shape, dtype=bool), len(self.entries.items))
        return dislike(self.entries, used, self.options.habits.easy_on_black)


@dataclass(frozen=True, eq=False)
class Ranked:
    """The recipes for a target, best first."""

    found: Candidates
    within_reach: bool


def lay_out(box: Box, options: Options | None = None) -> Bench:
    """Make a box ready for any number of targets.

    Raises:
        BoxError: the box is empty (after holding tubes out) or has no white.
        UnknownTube: a habit names a tube that is not in the box.
        UsageError: a tube is insisted on and held out at once.
    """
    options = options or Options()
    check_insisted(box, options.habits)
    left = box.without(options.habits.without)
    if not left.tubes:
        raise BoxError("no_tubes_left", box=box.name)
    _ = box.white  # says so where there is none
    if not any(tube.is_white for tube in left.tubes):
        raise BoxError("white_held_out", box=box.name)
    if any(tube.is_white for tube in box.tubes if tube not in left.tubes):
        box = left  # let-downs are made in another white now
    entries = entries_of(box)
    held_out = np.array([tube not in left.tubes for tube in box.tubes])
    free = np.flatnonzero(~(entries.net[:, held_out] > 0.0).any(axis=1))
    return Bench(entries, starts_of(entries, options.tubes, free), options)


def solve_all(bench: Bench, targets: Sequence[Target]) -> tuple[Answer, ...]:
    """Return the recipes for some targets, each as `solve` does.

    A target's answer does not hang on the others.

    Raises:
        BoxError: no recipe keeps to the habits.
    """
    return tuple(solve(bench, target) for target in targets)


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
    )


def candidates(bench: Bench, target_lab: Array) -> Ranked:
    """Return the ranked recipes for a target.

    Raises:
        BoxError: no recipe keeps to the habits.
    """
    pool = _within_reach(bench, target_lab)
    distance = delta_e_00 if pool is not None else held_distance
    if pool is None:
        held, field = Held(target_lab), bench.field(target_lab)
        pool = _whole_parts(bench, grow(field, held, start(field, held)), held)
    if len(pool) == 0:
        raise BoxError("no_recipe_keeps_habits")
    judge = Judge(
        lambda lab: distance(lab, target_lab),
        metric(target_lab),
        bench.options.habits.easy_on_black,
    )
    return Ranked(rank(bench.entries, pool, judge), distance is delta_e_00)


def _within_reach(bench: Bench, target_lab: Array) -> Indices | None:
    """Return promising recipes, (n, entries), for a target within reach; else None.

    It is within reach where any shares come near enough, though no whole parts may.
    """
    near, field = _aim(target_lab), bench.field(target_lab)
    started = start(field, near)
    _, nearest = _nearest(bench, grow(replace(field, stages=GLANCE), near, started), near)
    if nearest > FAR_OUT:
        return None
    sizes = grow(field, near, started)
    _, nearest = _nearest(bench, sizes, near)
    if nearest > WITHIN_REACH + IN_DOUBT:
        return None
    parts = _whole_parts(bench, sizes, near)
    by_parts = delta_e_00(lab_of(bench.entries, parts), target_lab).min(initial=np.inf)
    return parts if min(nearest, float(by_parts)) <= WITHIN_REACH else None


def _aim(target_lab: Array) -> Aim:
    return Aim(target_lab, root(metric(target_lab)), CLOSELY.rounds)


def _whole_parts(bench: Bench, sizes: Sequence[Optima], measure: Measure) -> Indices:
    """Return the promising recipes in whole parts of all sizes, (n, entries)."""
    pieces = []
    for found in sizes:
        best = _permitted(bench, found, measure.target_lab).best(ROUNDED)
        pieces.append(whole_parts(bench.entries, best, measure, bench.options.total, KEPT))
    return np.concatenate(pieces)


def _permitted(bench: Bench, found: Optima, target_lab: Array) -> Optima:
    """Return the subsets that keep to all habits."""
    keeps = permitted(bench.entries, found.members, bench.options.habits, target_lab)
    return found.pick(np.flatnonzero(keeps))


def _nearest(bench: Bench, sizes: Sequence[Optima], near: Aim) -> tuple[Array, float]:
    """Return the Lab and dE00 of the nearest mix in any shares, however small.

    Black, infinitely far, where no mix keeps to the habits.
    """
    best: tuple[Array, float] = (np.zeros(3), float("inf"))
    for size in sizes:
        found = _permitted(bench, size, near.target_lab).nearest(NEAREST)
        if len(found.members) == 0:
            continue
        shares, _ = improved(bench.entries, found.members, found.shares, near, CLOSELY)
        lab = bench.entries.palette.lab(spread_out(found.members, shares, len(bench.entries.items)))
        distance = delta_e_00(lab, near.target_lab)
        row = int(np.argmin(np.round(distance, 6)))
        if distance[row] < best[1]:
            best = lab[row], float(distance[row])
    return best


def _out_of_reach(bench: Bench, target: Target, best: Recipe) -> str:
    """Say how far off the nearest mix is, where, and what would help."""
    told = explain(target.lab, best.lab, best.delta_e_00)
    unlimited = _without_limits(bench, target.lab)
    if unlimited <= WITHIN_REACH:
        return (
            f"{told} Your own limits keep it out of reach, not your tubes: without them it "
            f"comes within ΔE00 {max(unlimited, 0.1):.1f}."
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
    return _best_shares(bench.entries.box, target_lab, Options().tubes, THOROUGH)[1]


def _best_shares(
    box: Box, target_lab: Array, tubes: int = 3, stages: Stages = GLANCE
) -> tuple[Array, float]:
    """Return the colour of the best shares of a few tubes, and its dE00."""
    bench, near = _laid_out_plainly(box, tubes), _aim(target_lab)
    field = replace(bench.field(target_lab), stages=stages)
    return _nearest(bench, grow(field, near, start(field, near)), near)


@functools.lru_cache(48)
def _laid_out_plainly(box: Box, tubes: int) -> Bench:
    """Lay a box out without habits; kept for the next target out of reach."""
    return lay_out(box, Options(tubes=tubes))
