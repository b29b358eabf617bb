"""How near a target is drawn from a mother: the best of all ways that a tutor lets pass."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.lab import chroma, delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.entries import Entries
from refmatch.recipe.puddles.draws import AS_IT_IS, Draws, draws_of
from refmatch.recipe.puddles.family import PER_DELTA_E_00
from refmatch.recipe.puddles.model import Draw, Mother
from refmatch.recipe.puddles.rules import (
    Look,
    Nature,
    allowed,
    allowed_for,
    clashes,
    keeps_dark,
    look_at,
    nature_of,
    near_enough,
    whole_of,
)
from refmatch.recipe.subsets import Indices, Mask

LSTAR_PER_DELTA_E_00 = 1.8
"""The most L* that a dE00 can stand for: S_L of CIEDE2000 at black and white is 1.75."""

TURNED = 3.0
"""By how much CIEDE2000's rotation term may shorten a difference in the blues, at most: its
weakest direction is 1 - R_T / 2 with R_T up to 2 sin 60 degrees, whose root is above a third."""

OUT_OF_REACH = 2.0
"""Beyond this from the target (dE00) a recipe's own colour is what its puddle is drawn to."""


class Goal(NamedTuple):
    """A target to be drawn: its place, the colour to come near, and how far its own recipe is."""

    place: int
    lab: Array
    own_delta_e_00: float
    own_net: Array
    most_cost: float

    @property
    def limit(self) -> float:
        """How far from the colour a drawn puddle may be, in dE00."""
        return self.own_delta_e_00 + self.most_cost


def all_draws(
    entries: Entries, parts: Indices, mothers: Sequence[Mother], goals: Sequence[Goal]
) -> list[list[Draw | None]]:
    """Return how each target is best drawn from each mother, None where it may not be.

    ``parts`` (n, entries) are the set's own recipes: what they use may be added.
    """
    table = _Table(
        draws_of(entries, on_the_palette(entries, parts)),
        nature_of(entries),
        goals,
        look_at(np.array([goal.lab for goal in goals])),
    )
    given = look_at(np.array([mother.lab for mother in mothers]))
    near = near_enough(table.wanted, given)
    return [
        _drawn_from(table, mother, row, float(hue))
        for mother, row, hue in zip(mothers, near, given.hue, strict=True)
    ]


def things_of(entries: Entries, parts: Indices) -> int:
    """Return how many things the hand lays out for parts (entries,); a let-down is made besides."""
    used = parts > 0
    return int(used.sum() + used[entries.is_let_down].sum())


class _Table(NamedTuple):
    """What every mother is held to: the ways to draw, the rules' box, the goals and their looks."""

    draws: Draws
    nature: Nature
    goals: Sequence[Goal]
    wanted: Look


def _drawn_from(table: _Table, mother: Mother, near: Mask, hue: float) -> list[Draw | None]:
    """Return the best way to draw each target from a mother; None where there is none to allow.

    ``near`` (targets,) says which are near enough to be tried; ``hue`` is the mother's. From
    paint as it comes out of one tube nothing is drawn: that would be a mix from tubes.
    """
    found = [_as_it_is(mother, goal) if _is_itself(mother, goal) else None for goal in table.goals]
    tried = [goal for goal in table.goals if near[goal.place] and not _is_itself(mother, goal)]
    if not tried:
        return found
    labs, is_mixed = table.draws.lab(mother.net), (mother.parts > 0).sum() > 1
    for goal in tried:
        rows = _within(labs, goal)
        rows = rows if is_mixed else rows[rows == AS_IT_IS]
        rows = rows[_farther(labs[rows], goal) <= goal.most_cost]
        rows = rows[_passed(table, mother, goal, rows, hue)]
        if len(rows):
            found[goal.place] = _best(table.draws, mother, goal, rows, labs[rows])
    return found


def _passed(table: _Table, mother: Mother, goal: Goal, rows: Indices, hue: float) -> Mask:
    """Say which rows a tutor would let pass for a goal."""
    nature, wanted = table.nature, table.wanted.of(goal.place)
    added = table.draws.share[rows]
    whole = whole_of(added, mother)
    passed = allowed(nature, whole) & ~clashes(nature, added)
    passed &= allowed_for(wanted, nature, added, hue)
    return passed & keeps_dark(wanted, nature, whole, goal.own_net)


def _farther(labs: Array, goal: Goal) -> Array:
    """Return how much farther off than a goal's own recipe colours are, in dE00."""
    return delta_e_00(labs, goal.lab) - goal.own_delta_e_00


def _within(labs: Array, goal: Goal) -> Indices:
    """Return the rows that may come within a goal's limit: all others are surely farther off.

    In CIEDE2000 a difference in a* and b* counts for at least its length over S_C = 1 + 0.045
    C*, with C* the mean of both, and over `TURNED`.
    """
    near = np.flatnonzero(np.abs(labs[:, 0] - goal.lab[0]) <= LSTAR_PER_DELTA_E_00 * goal.limit)
    apart = np.hypot(*(labs[near, 1:] - goal.lab[1:]).T)
    mean_chroma = float(chroma(goal.lab)) + apart / 2.0
    return near[apart <= TURNED * goal.limit * (1.0 + 0.045 * mean_chroma)]


def _is_itself(mother: Mother, goal: Goal) -> bool:
    return mother.target == goal.place


def _as_it_is(mother: Mother, goal: Goal) -> Draw | None:
    """Return a target's own recipe, or another that would do for it, as its puddle."""
    farther = float(_farther(mother.lab, goal))
    if farther > goal.most_cost:
        return None
    work = PER_DELTA_E_00 * max(0.0, farther)
    return Draw(1, np.zeros_like(mother.parts), mother.net, mother.lab, work)


def _best(draws: Draws, mother: Mother, goal: Goal, rows: Indices, labs: Array) -> Draw:
    """Return the way of least distance and price, of at least one row."""
    farther = _farther(labs, goal)
    best = int(np.argmin(np.round(farther + draws.price[rows], 6)))
    row = int(rows[best])
    added = things_of(draws.entries, draws.added[row])
    things = 1 + added if added else 0
    work = things + PER_DELTA_E_00 * max(0.0, float(farther[best]))
    net = draws.net(row, mother.net)
    return Draw(int(draws.of_it[row]), draws.added[row], net, labs[best], work)


def goals_of(labs: Array, mothers: Sequence[Mother], most_cost: float) -> list[Goal]:
    """Return what each target's puddle should come near: where it is far off, its own recipe.

    The first mothers are the targets' own recipes, in order.
    """
    goals = []
    for place, (lab, mother) in enumerate(zip(labs, mothers, strict=False)):
        own = float(delta_e_00(mother.lab, lab))
        far = own > OUT_OF_REACH
        aim, off = (mother.lab, 0.0) if far else (lab, own)
        goals.append(Goal(place, aim, off, mother.net, most_cost))
    return goals


def on_the_palette(entries: Entries, parts: Indices) -> Mask:
    """Say which entries may be added: those that a set's recipes use, and their plain tubes."""
    used = np.logical_or.reduce(parts > 0, axis=0)
    tubes = np.logical_or.reduce(entries.net[used] > 0.0, axis=0)
    return used | (tubes[entries.tube_index] & ~entries.is_let_down)
