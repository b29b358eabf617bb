"""From a target and a box to recipes: subsets, best shares, whole parts, rank.

The road is: the promising subsets of tubes and let-downs with their best shares
(`growth`, `continuous`), the promising roundings of those (`lattice`), then the choice
among them (`rank`, `alternatives`). Nothing is kept but the box laid out: the same box,
target and habits give the same answer, whatever was asked before.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BoxError, UsageError
from refmatch.paint.box import Box, Tube
from refmatch.recipe.choice import alternatives, write_up
from refmatch.recipe.continuous import Aim, Limits, Measure, improved
from refmatch.recipe.doubt import metric, root
from refmatch.recipe.fuss import deadened, tubes_used
from refmatch.recipe.growth import (
    FINER,
    GLANCE,
    THOROUGH,
    Field,
    Optima,
    Stages,
    grow,
    start,
    starts_of,
)
from refmatch.recipe.habits import NO_HABITS, Habits, check_insisted, dislike, may_grow, permitted
from refmatch.recipe.lattice import Kept, whole_parts
from refmatch.recipe.mixture import Entries, entries_of
from refmatch.recipe.model import Answer, Recipe
from refmatch.recipe.rank import Candidates, Judge, lab_of, rank
from refmatch.recipe.reach import (
    HELPS_BY,
    WITHIN_REACH,
    Held,
    Helper,
    Nearest,
    explain,
    falls_short,
    held_distance,
    help_words,
    helper_pigment,
    promising_tubes,
    with_all_pigments,
)
from refmatch.recipe.subsets import Indices, Subsets, members_of, rough_look, spread_out
from refmatch.target import Target

IN_DOUBT = 0.3
"""Where the best shares are out of reach by no more than this (dE00), parts are tried too."""

ROUNDED = 200
"""Subsets of each size whose shares are rounded to whole parts."""

KEPT = Kept(of_subset=25, of_size=1200)
"""Recipes in whole parts: the best of each subset, and of each size, go on to be ranked."""

FAR_OUT = 3.0
"""Where a glance comes no nearer than this (dE00), no search comes within reach."""

NEAREST = 40
"""Subsets of each size whose shares are looked at closely, to say how near the box comes."""

CLOSELY = Limits(rounds=6)

NOT_CLEAN = 2.0
"""From this dE00 on it is said that a clean first choice is not what was asked for."""

FEW_TUBES = 3
"""Tubes in the mixes by which it is judged whether a pigment would help."""

EACH = 10
"""Subsets of each size and each such pigment whose shares are looked at closely."""


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


def solve(bench: Bench, target: Target, *, explained: bool = True) -> Answer:
    """Return the recipes for one target, best first, each a distinct way to mix it.

    Where the target is out of reach, recipes hold its value first, then its hue,
    and give up chroma; the answer says so, and which tube to buy, unless it need not be
    ``explained``.

    Raises:
        BoxError: no recipe keeps to the habits.
    """
    ranked = candidates(bench, target.lab)
    chosen = alternatives(bench.entries, ranked.found)
    recipes = write_up(bench.entries, target, ranked.found, chosen)
    reach = _reach_words(bench, target, ranked, recipes[0]) if explained else None
    return Answer(
        label=target.label,
        target_lab=target.lab,
        in_gamut=ranked.within_reach,
        reach=reach,
        recipes=recipes,
        flags=target.flags,
    )


def _reach_words(bench: Bench, target: Target, ranked: Ranked, first: Recipe) -> str | None:
    if not ranked.within_reach:
        return out_of_reach(bench, target, first)
    gained = first.delta_e_00 - float(ranked.found.distance.min())
    if first.delta_e_00 > NOT_CLEAN and gained > HELPS_BY and _is_clean(bench, target, ranked):
        return _only_deadened(bench, target, first)
    return None


def _is_clean(bench: Bench, target: Target, ranked: Ranked) -> bool:
    """Say whether the first choice keeps a colour clean that the nearest recipe deadens."""
    nearest = int(np.argmin(np.round(ranked.found.distance, 6)))
    used = tubes_used(bench.entries, ranked.found.parts[[0, nearest]])
    first, other = deadened(bench.entries, used, target.lab)
    return bool(other and not first)


def candidates(bench: Bench, target_lab: Array) -> Ranked:
    """Return the ranked recipes for a target.

    Raises:
        BoxError: no recipe keeps to the habits.
    """
    pool = _within_reach(bench, target_lab)
    distance = delta_e_00 if pool is not None else held_distance
    if pool is None:
        held, field = Held(target_lab), bench.field(target_lab)
        pool = _whole_parts(bench, list(grow(field, held, start(field, held))), held)
    parts, lab = pool
    if len(parts) == 0:
        raise BoxError("no_recipe_keeps_habits")
    judge = Judge(
        target_lab,
        lambda lab: distance(lab, target_lab),
        metric(target_lab),
        bench.options.habits.easy_on_black,
    )
    return Ranked(rank(bench.entries, parts, judge, lab), distance is delta_e_00)


def _within_reach(bench: Bench, target_lab: Array) -> tuple[Indices, Array] | None:
    """Return promising recipes, as `_whole_parts` does, for a target within reach; else None.

    It is within reach where any shares come near enough, though no whole parts may.
    """
    near, field = _aim(target_lab), bench.field(target_lab)
    started = start(field, near)
    glance = grow(replace(field, stages=GLANCE), near, started)
    if not _comes_within(bench, glance, near, FAR_OUT):
        return None
    sizes = list(grow(field, near, started))
    if not _comes_within(bench, sizes, near, WITHIN_REACH + IN_DOUBT):
        return None
    parts, lab = _whole_parts(bench, sizes, near)
    by_parts = float(delta_e_00(lab, target_lab).min(initial=np.inf))
    reached = by_parts <= WITHIN_REACH or _comes_within(bench, sizes, near, WITHIN_REACH)
    return (parts, lab) if reached else None


def _comes_within(bench: Bench, sizes: Iterable[Optima], near: Aim, limit: float) -> bool:
    """Say whether any mix comes as near as the limit (dE00); looks no farther than the first."""
    looked = []
    for size in sizes:
        nearest = _permitted(bench, size, near.target_lab).nearest(NEAREST)
        distance = _delta_e_00(bench, nearest.members, nearest.shares, near.target_lab)
        if distance.min(initial=np.inf) <= limit:
            return True
        looked.append(nearest)
    return _nearest(bench, looked, near)[1] <= limit


def _delta_e_00(bench: Bench, members: Indices, shares: Array, target_lab: Array) -> Array:
    """Return how far mixes, (n, size), are from a target, (n,)."""
    single = bench.entries.palette.single
    return delta_e_00(single.lab(members.T, shares.T.astype(np.float32)).T, target_lab)


def _aim(target_lab: Array) -> Aim:
    return Aim(target_lab, root(metric(target_lab)), CLOSELY.rounds)


def _whole_parts(bench: Bench, sizes: Sequence[Optima], measure: Measure) -> tuple[Indices, Array]:
    """Return the promising recipes in whole parts of all sizes, (n, entries), and their Lab."""
    pieces = []
    for optima in sizes:
        best = _permitted(bench, optima, measure.target_lab).best(ROUNDED)
        pieces.append(whole_parts(bench.entries, best, measure, bench.options.total, KEPT))
    parts = np.concatenate(pieces).astype(np.intp, copy=False)
    return parts, lab_of(bench.entries, parts)


def _permitted(bench: Bench, optima: Optima, target_lab: Array) -> Optima:
    """Return the subsets that keep to all habits."""
    keeps = permitted(bench.entries, optima.members, bench.options.habits, target_lab)
    return optima.pick(np.flatnonzero(keeps))


def _nearest(bench: Bench, sizes: Iterable[Optima], near: Aim) -> tuple[Array, float]:
    """Return the Lab and dE00 of the nearest mix in any shares, however small.

    Black, infinitely far, where no mix keeps to the habits.
    """
    best: tuple[Array, float] = (np.zeros(3), float("inf"))
    for size in sizes:
        optima = _permitted(bench, size, near.target_lab).nearest(NEAREST)
        lab, distance = _looked_into(bench, optima, near)
        row = int(np.argmin(np.round(distance, 6))) if len(distance) else 0
        if len(distance) and distance[row] < best[1]:
            best = lab[row], float(distance[row])
    return best


def _looked_into(bench: Bench, optima: Optima, near: Aim) -> tuple[Array, Array]:
    """Return the Lab, (n, 3), and the dE00 of subsets in their best shares, however small."""
    shares, _ = improved(bench.entries, optima.members, optima.shares, near, CLOSELY, optima.misses)
    full = spread_out(optima.members, shares.astype(float), len(bench.entries.items))
    lab = bench.entries.palette.lab(full)
    return lab, delta_e_00(lab, near.target_lab)


def out_of_reach(bench: Bench, target: Target, best: Recipe, *, can_key: bool = True) -> str:
    """Say in what the nearest mix falls short, and what would help."""
    sentence = explain(target.lab, best.lab)
    unlimited = _without_limits(bench, target.lab)
    if unlimited <= WITHIN_REACH:
        return (
            f"{sentence} Your own limits keep it out of reach, not your tubes: without them they "
            "mix it."
        )
    now = _best_shares(bench.entries.box, _aim(target.lab), FEW_TUBES, GLANCE)
    return f"{sentence} {help_words(_helper(bench, target, now), can_key=can_key)}"


def _only_deadened(bench: Bench, target: Target, first: Recipe) -> str:
    """Say what the clean first choice falls short in where only a deadened mix comes near."""
    return (
        "Clean, these tubes do not come near. "
        f"{falls_short(target.lab, first.lab)} "
        f"{help_words(_helper(bench, target, first.delta_e_00))}"
    )


def _helper(bench: Bench, target: Target, now: float) -> Helper | None:
    """Return the pigment whose tube would help most, ``now`` being how near the box comes."""
    box, near = bench.entries.box, _aim(target.lab)
    return helper_pigment(box, target.lab, now, lambda keys: _with_each(box, keys, near))


def _without_limits(bench: Bench, target_lab: Array) -> float:
    """Return how near the whole box comes in the usual number of tubes, habits set aside.

    Infinite where no limit was set.
    """
    if bench.options == Options():
        return float("inf")
    return _best_shares(bench.entries.box, _aim(target_lab), Options().tubes, THOROUGH)


def _best_shares(box: Box, near: Aim, tubes: int, stages: Stages) -> float:
    """Return the dE00 of the best shares of a few tubes."""
    bench = _laid_out_plainly(box, tubes)
    field = replace(bench.field(near.target_lab), stages=stages)
    return _nearest(bench, grow(field, near, start(field, near)), near)[1]


@functools.lru_cache(16)
def _laid_out_plainly(box: Box, tubes: int) -> Bench:
    """Lay a box out without habits; kept for the next target out of reach."""
    return lay_out(box, Options(tubes=tubes))


@functools.lru_cache(8)
def _laid_out_with_all(box: Box) -> Bench:
    """Lay out a box with a tube of every pigment that is not in it."""
    return _laid_out_with_one_of(with_all_pigments(box), len(box.tubes))


def _laid_out_with_one_of(whole: Box, owned: int) -> Bench:
    """Lay out a box whose tubes are the painter's own only up to a place.

    Only mixes that hold one tube beyond are looked at: what is without one the box makes itself.
    """
    entries = entries_of(whole)
    new = entries.tube_index >= owned
    pairs = members_of(entries, 2, FEW_TUBES)
    pairs = pairs[new[pairs].sum(axis=1) == 1]
    singles = np.arange(len(entries.items))[:, None]
    starts = tuple(rough_look(entries, members, FINER) for members in (singles, pairs))
    return Bench(entries, starts, Options(tubes=FEW_TUBES))


def _with_each(box: Box, keys: Sequence[str], near: Aim) -> list[Nearest]:
    """Return the best that the box can do with a tube of each pigment, all sought in one search."""
    bench, owned = _laid_out_with_all(box), len(box.tubes)
    keys_of = [tube.keys[0] for tube in bench.entries.box.tubes[owned:]]
    return _one_more(bench, owned, [keys_of.index(key) for key in keys], near)


@functools.lru_cache(8)
def _laid_out_to_lend(box: Box, tubes: tuple[Tube, ...]) -> Bench:
    return _laid_out_with_one_of(replace(box, tubes=(*box.tubes, *tubes)), len(box.tubes))


def tube_to_lend(box: Box, tubes: tuple[Tube, ...], target_lab: Array) -> Tube | None:
    """Return the one of some tubes, none of the box's, that would bring a target nearest.

    None where the nearest, of few tubes, gains less than `HELPS_BY`; all names must differ.
    """
    near = _aim(target_lab)
    places = promising_tubes(box, tubes, target_lab)
    if not places:
        return None
    found = _one_more(_laid_out_to_lend(box, tubes), len(box.tubes), places, near)
    best = min(range(len(found)), key=lambda at: found[at].delta_e_00)
    gained = _best_shares(box, near, FEW_TUBES, GLANCE) - found[best].delta_e_00
    return tubes[places[best]] if gained >= HELPS_BY else None


def _one_more(bench: Bench, owned: int, places: Sequence[int], near: Aim) -> list[Nearest]:
    """Return the best with each of the tubes beyond those owned, by place, in one search."""
    chosen = owned + np.array(places)
    own = bench.entries.tube_index
    new = own >= owned
    free = ~new | np.isin(own, chosen)
    field = replace(
        bench.field(near.target_lab),
        starts=[
            starts.pick(np.logical_and.reduce(free[starts.members], axis=1))
            for starts in bench.starts
        ],
        grows=lambda members: new[members].sum(axis=1) == 1,
        stages=[(len(places) * count, rounds) for count, rounds in GLANCE],
    )
    best = [Nearest(np.zeros(3), float("inf")) for _ in places]
    for optima in grow(field, near, start(field, near)):
        held = (own[optima.members][:, :, None] == chosen).any(axis=1)
        far = np.round(_delta_e_00(bench, optima.members, optima.shares, near.target_lab), 5)
        rows = [np.flatnonzero(column) for column in held.T]
        rows = [some[np.argsort(far[some], kind="stable")[:EACH]] for some in rows]
        lab, distance = _looked_into(bench, optima.pick(np.concatenate(rows)), near)
        ends = np.cumsum([len(some) for some in rows])
        for number, (end, some) in enumerate(zip(ends, rows, strict=True)):
            for row in range(end - len(some), end):
                if distance[row] < best[number].delta_e_00 - 1e-6:
                    best[number] = Nearest(lab[row], float(distance[row]))
    return best
