"""How near a target is drawn from a mother: the best of all ways that a tutor lets pass."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.lab import chroma, delta_e_00, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.plan.mothers import PER_DELTA_E_00, Draw, Mother, Set
from refmatch.plan.rules import (
    Look,
    Nature,
    allowed,
    allowed_for,
    clashes,
    keeps_dark,
    keeps_habits,
    look_at,
    nature_of,
    near_enough,
    whole_of,
)
from refmatch.recipe.habits import holds_black
from refmatch.recipe.mixture import Entries, film, product
from refmatch.recipe.rank import LET_DOWN_PRICE, PART_PRICE, TUBE_PRICE
from refmatch.recipe.solve import Options
from refmatch.recipe.subsets import Indices, Mask

# All that may be drawn from one puddle: parts of it, and parts of one or two tubes more.
#
# Which parts there are does not hang on the puddle; so they are listed once for a box, with
# the sums of what is added, and a puddle's own K and S come in afterwards.

LEAST_OF_IT = 0.4
"""The share of the puddle under which a mix is no longer drawn from it, but a mix of its own."""

LEAST_IN_WHITE = 0.1
"""The same where white alone is added: whites and pale tints are a little colour in white."""

MOST_PARTS = {1: 20, 2: 12}
"""The largest total with one addition and with two (our own choice: beyond, the hand
mixes as well from tubes)."""

AS_IT_IS = 0
"""The row that adds nothing: the same puddle does for both."""

ROWS_AT_ONCE = 2_000
"""Mixes whose spectra are held at once."""


@dataclass(frozen=True, eq=False)
class Draws:
    """Ways to draw from any puddle: row i takes ``of_it`` parts of it and ``added`` of entries.

    ``of_it`` (n,), ``added`` (n, entries) are whole parts; ``absorption``, ``scattering``
    (n, 31) the sums of what is added; ``share`` (n, tubes) of each tube in the whole;
    ``price`` (n,) in dE00. Row `AS_IT_IS` adds nothing.
    """

    entries: Entries
    of_it: Indices
    added: Indices
    absorption: Array
    scattering: Array
    share: Array
    price: Array

    @functools.cached_property
    def total(self) -> Indices:
        """The parts of each row in all, (n,)."""
        return self.of_it + self.added.sum(axis=1)

    def lab(self, net: Array) -> Array:
        """Return the Lab, (n, 3), of all rows drawn from a puddle of net shares (tubes,), sum 1.

        In single precision, true to a thousandth, and so few rows at once that they stay in
        the cache.
        """
        tubes, view = self.entries.tube_palette, viewing()
        absorption = (net @ tubes.absorption).astype(np.float32)
        scattering = (net @ tubes.scattering).astype(np.float32)
        weights = view.weights.astype(np.float32)
        xyz = np.empty((len(self.of_it), 3))
        for start in range(0, len(xyz), ROWS_AT_ONCE):
            rows = slice(start, start + ROWS_AT_ONCE)
            of_it = self.of_it[rows, None].astype(np.float32)
            k, s = self.absorption[rows] + of_it * absorption, of_it * scattering
            xyz[rows] = product(film(k, self.scattering[rows] + s, tubes.surface), weights)
        return xyz_to_lab(xyz, view.white)

    def net(self, row: int, net: Array) -> Array:
        """Return the net shares, (tubes,), sum 1, of one row drawn from a puddle of such shares."""
        parts = self.of_it[row] * net + self.added[row] @ self.entries.net
        return parts / parts.sum()


def draws_of(entries: Entries, among: Mask) -> Draws:
    """List all ways to draw with one or two of the entries ``among``, (entries,), added.

    Each in lowest terms, with at least two fifths of the puddle in it (a tenth, where white
    alone is added), and never a tube beside its own let-down.
    """
    allowed = np.flatnonzero(among)
    white = np.array([tube.is_white for tube in entries.box.tubes])[entries.tube_index]
    pieces = [np.array([[1, *np.zeros(len(entries.items), dtype=np.intp)]])]
    for size in (1, 2):
        members = [
            row
            for row in itertools.combinations(allowed, size)
            if len({entries.tube_index[i] for i in row}) == size
        ]
        subsets = np.array(members, dtype=np.intp).reshape(-1, size)
        pieces.append(_laid_out(subsets, entries, LEAST_OF_IT))
    pieces.append(_laid_out(np.flatnonzero(among & white)[:, None], entries, LEAST_IN_WHITE))
    rows = np.concatenate(pieces)
    rows = rows[np.sort(np.unique(rows, axis=0, return_index=True)[1])]
    of_it, added = rows[:, 0], rows[:, 1:]
    curves = entries.palette
    net = added @ entries.net
    used = added > 0
    price = (
        TUBE_PRICE * used.sum(axis=1)
        + LET_DOWN_PRICE * (used & entries.is_let_down).sum(axis=1)
        + PART_PRICE * rows.sum(axis=1)
    )
    return Draws(
        entries,
        of_it,
        added,
        (added @ curves.absorption).astype(np.float32),
        (added @ curves.scattering).astype(np.float32),
        net / rows.sum(axis=1, keepdims=True),
        price,
    )


def _laid_out(members: Indices, entries: Entries, least: float) -> Indices:
    """Return every ratio of every subset of entries, (n, 1 + entries): the puddle's parts first."""
    ratios = _ratios(members.shape[1], least)
    full = np.zeros((len(members), len(ratios), 1 + len(entries.items)), dtype=np.intp)
    full[:, :, 0] = ratios[:, 0]
    at = np.broadcast_to(1 + members[:, None], (len(members), len(ratios), members.shape[1]))
    np.put_along_axis(full, at, np.broadcast_to(ratios[:, 1:], at.shape), axis=2)
    return full.reshape(-1, full.shape[2])


@functools.cache
def _ratios(size: int, least: float) -> Indices:
    """Return the parts of the puddle, its share at least so much, and of ``size`` additions."""
    most = MOST_PARTS[size]
    rows = np.array(list(itertools.product(range(1, most + 1), repeat=size + 1)), dtype=np.intp)
    total = rows.sum(axis=1)
    keep = (total <= most) & (rows[:, 0] >= least * total - 1e-9)
    return rows[keep & (np.gcd.reduce(rows, axis=1) == 1)]


LSTAR_PER_DELTA_E_00 = 1.8
"""The most L* that a dE00 can stand for: S_L of CIEDE2000 at black and white is 1.75."""

TURNED = 3.0
"""By how much CIEDE2000's rotation term may shorten a difference in the blues, at most: its
weakest direction is 1 - R_T / 2 with R_T up to 2 sin 60 degrees, whose root is above a third."""

OUT_OF_REACH = 2.0
"""Beyond this from the target (dE00) a recipe's own colour is what its puddle is drawn to."""


class Goal(NamedTuple):
    """A target to be drawn: its place, the colour to come near, and how far its own recipe is.

    ``is_held`` says that only its own recipe will do.
    """

    place: int
    lab: Array
    own_delta_e_00: float
    own_net: Array
    most_cost: float
    target_lab: Array
    options: Options | None
    is_held: bool

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
    draws = [_as_it_is(mother, goal) if _is_itself(mother, goal) else None for goal in table.goals]
    tried = [
        goal
        for goal in table.goals
        if near[goal.place] and not goal.is_held and not _is_itself(mother, goal)
    ]
    if not tried:
        return draws
    labs, is_mixed = table.draws.lab(mother.net), (mother.parts > 0).sum() > 1
    for goal in tried:
        rows = _within(labs, goal)
        rows = rows if is_mixed else rows[rows == AS_IT_IS]
        rows = rows[_farther(labs[rows], goal) <= goal.most_cost]
        rows = rows[_passed(table, mother, goal, rows, hue)]
        if len(rows):
            draws[goal.place] = _best(table.draws, mother, goal, rows, labs[rows])
    return draws


def _passed(table: _Table, mother: Mother, goal: Goal, rows: Indices, hue: float) -> Mask:
    """Say which rows a tutor would let pass for a goal."""
    nature, wanted = table.nature, table.wanted.of(goal.place)
    added = table.draws.share[rows]
    whole = whole_of(added, mother)
    passed = allowed(nature, whole) & ~clashes(nature, added)
    passed &= allowed_for(wanted, nature, added, hue)
    if goal.options is not None:
        passed &= table.draws.total[rows] <= goal.options.total
        passed &= keeps_habits(table.draws.entries, goal.options, goal.target_lab, whole)
        passed &= _brings_no_black(table.draws.entries, goal, whole)
    return passed & keeps_dark(wanted, nature, whole, goal.own_net)


def _brings_no_black(entries: Entries, goal: Goal, whole: Array) -> Mask:
    """Say which rows hold no black that the goal's own recipe does without, if that is disliked."""
    black = holds_black(entries.box)
    asked = goal.options is not None and goal.options.habits.easy_on_black
    if not asked or (goal.own_net[black] > 0.0).any():
        return np.ones(len(whole), dtype=bool)
    return np.logical_and.reduce(whole[:, black] <= 0.0, axis=1)


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
    is_another = goal.is_held and not np.array_equal(mother.net, goal.own_net)
    if is_another or farther > goal.most_cost:
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
    lab = draws.entries.tube_palette.lab(net)
    return Draw(int(draws.of_it[row]), draws.added[row], net, lab, work)


def goals_of(asked: Set, mothers: Sequence[Mother], most_cost: float) -> list[Goal]:
    """Return what each target's puddle should come near: where it is far off, its own recipe.

    The first mothers are the targets' own recipes, in order.
    """
    goals = []
    options: Sequence[Options | None] = asked.options or [None] * len(asked.labs)
    for place, (lab, mother) in enumerate(zip(asked.labs, mothers, strict=False)):
        own = float(delta_e_00(mother.lab, lab))
        far = own > OUT_OF_REACH
        aim, off = (mother.lab, 0.0) if far else (lab, own)
        held = place in asked.held
        goals.append(Goal(place, aim, off, mother.net, most_cost, lab, options[place], held))
    return goals


def on_the_palette(entries: Entries, parts: Indices) -> Mask:
    """Say which entries may be added: those that a set's recipes use, and their plain tubes."""
    used = np.logical_or.reduce(parts > 0, axis=0)
    tubes = np.logical_or.reduce(entries.net[used] > 0.0, axis=0)
    return used | (tubes[entries.tube_index] & ~entries.is_let_down)
