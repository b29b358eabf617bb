"""From a target and a box to recipes: all subsets, continuous optima, whole parts, rank.

The road is: a rough look at every subset of tubes and let-downs (`subsets`), the
best shares of the promising ones (`continuous`), every sensible rounding of
those (`lattice`), and the choice among them (`rank`, `alternatives`).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BoxError, UsageError
from refmatch.paint.box import Box
from refmatch.recipe.alternatives import alternatives
from refmatch.recipe.continuous import Optima, optima
from refmatch.recipe.entries import Entries, entries_of
from refmatch.recipe.habits import NO_HABITS, Habits, check_insisted, permitted
from refmatch.recipe.lattice import whole_parts
from refmatch.recipe.metric import metric
from refmatch.recipe.model import Answer, Recipe
from refmatch.recipe.rank import Candidates, Judge, rank
from refmatch.recipe.reach import (
    WITHIN_REACH,
    explain,
    held_distance,
    help_words,
    helper_pigment,
)
from refmatch.recipe.subsets import Subsets, all_subsets
from refmatch.recipe.write_up import write_up
from refmatch.target import Target


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
    """A box made ready for solving: its entries, and all their subsets looked at once."""

    entries: Entries
    subsets: list[Subsets]
    options: Options


def lay_out(box: Box, options: Options | None = None) -> Bench:
    """Make a box ready for any number of targets.

    Raises:
        BoxError: the box is empty (after holding tubes out) or has no white.
        UnknownTube: a habit names a tube that is not in the box.
        UsageError: a tube is insisted on and held out at once.
    """
    options = options or Options()
    check_insisted(box, options.habits)
    box = box.without(options.habits.without)
    if not box.tubes:
        raise BoxError(f"The box '{box.name}' has no tubes left; hold fewer of them out.")
    _ = box.white
    entries = entries_of(box)
    return Bench(entries, all_subsets(entries, options.tubes), options)


def solve(bench: Bench, target: Target) -> Answer:
    """Return the recipes for one target, best first, each a distinct way to mix it.

    Where the target is out of reach, recipes hold its value first, then its hue,
    and give up chroma; the answer says so.

    Raises:
        BoxError: no recipe keeps to the habits.
    """
    found, within_reach = candidates(bench, target.lab)
    recipes = write_up(bench.entries, target, found, alternatives(bench.entries, found))
    reach = None if within_reach else _out_of_reach(bench, target, recipes[0])
    return Answer(target.label, target.lab, within_reach, reach, recipes, target.flags)


def candidates(bench: Bench, target_lab: Array) -> tuple[Candidates, bool]:
    """Return the ranked recipes for a target, Lab (3,), and whether it is within reach.

    Raises:
        BoxError: no recipe keeps to the habits.
    """
    near = _optima(bench, target_lab, delta_e_00)
    within_reach = min(_nearest_lab(bench, target_lab, o)[1] for o in near) <= WITHIN_REACH
    distance = delta_e_00 if within_reach else held_distance
    if not within_reach:
        near = _optima(bench, target_lab, held_distance)
    total = bench.options.total
    parts = np.concatenate([whole_parts(bench.entries, found, total) for found in near])
    if len(parts) == 0:
        raise BoxError("No recipe keeps to all these habits; allow more tubes or parts.")
    judge = Judge(
        lambda lab: distance(lab, target_lab),
        metric(target_lab),
        bench.options.habits.easy_on_black,
    )
    return rank(bench.entries, parts, judge), within_reach


def _optima(
    bench: Bench, target_lab: Array, distance: Callable[[Array, Array], Array]
) -> list[Optima]:
    g = metric(target_lab, distance)
    habits = bench.options.habits
    return [
        optima(
            bench.entries,
            subsets,
            target_lab,
            g,
            permitted(bench.entries, subsets.members, habits, target_lab),
        )
        for subsets in bench.subsets
    ]


def _out_of_reach(bench: Bench, target: Target, best: Recipe) -> str:
    """Say how far off the nearest mix is, where, and which pigment would help."""
    helper = helper_pigment(
        bench.entries.box, target.lab, lambda box: _best_shares(box, target.lab)
    )
    told = explain(target.lab, best.lab, best.delta_e_00)
    return f"{told} {help_words(helper)}" if helper else told


def _best_shares(box: Box, target_lab: Array) -> tuple[Array, float]:
    """Return the colour of the best shares of up to three entries, and its dE00."""
    bench = lay_out(box, Options(tubes=3))
    found = [_nearest_lab(bench, target_lab, o) for o in _optima(bench, target_lab, delta_e_00)]
    return min(found, key=lambda pair: pair[1])


def _nearest_lab(bench: Bench, target_lab: Array, found: Optima) -> tuple[Array, float]:
    """Return the Lab and dE00 of the nearest optimum (black, infinitely far, if there is none)."""
    if len(found.members) == 0:
        return np.zeros(3), float("inf")
    parts = np.zeros((len(found.members), len(bench.entries.items)))
    np.put_along_axis(parts, found.members, found.shares, axis=1)
    lab = bench.entries.palette.lab(parts)
    distance = delta_e_00(lab, target_lab)
    nearest = int(np.argmin(distance))
    return lab[nearest], float(distance[nearest])
