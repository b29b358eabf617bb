"""How near each core of a box comes to each target, and so all that a palette is judged by.

A mix is a core of up to three colours, and white. What a palette can do for a target is
what the best of its cores can, so the cores of the whole box, once looked at, tell of
every palette in it. Most cores need no search of their own: where the best mix of one
colour fewer would come no nearer by a little of the colour that it lacks, it is the larger
core's best mix as well.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BoxError
from refmatch.paint.box import Box
from refmatch.plan.task import MOST_TUBES
from refmatch.recipe.continuous import Aim, improve
from refmatch.recipe.doubt import distance_within, metric, root, spreads
from refmatch.recipe.habits import NO_HABITS, Habits, dislike, permitted
from refmatch.recipe.mixture import Entries, entries_of
from refmatch.recipe.rank import TUBE_PRICE
from refmatch.recipe.subsets import Indices, Mask, Subsets, rough_look, spread_out

MOST_COLOURS = 3
"""Colours in a core: prefer three and white, or fewer (common practice, no source)."""

ALWAYS_SEARCHED = 2
"""Colours of a core up to which its best mix is always searched for: they are few."""

FIRST_ROUNDS, MORE_ROUNDS = 4, 8
"""Rounds of improvement for every core searched, and for those not there yet."""

THERE = 0.1
"""A core that comes this near a target, in dE00, need come no nearer."""

ROWS_AT_ONCE = 700
"""Cores improved together: their spectra stay in the cache."""


@dataclass(frozen=True, eq=False)
class Cores:
    """All cores of a box of up to three colours, and how near they come with white.

    ``colours`` are the tubes beside the ``white``; ``holds`` (cores, colours) says which
    core is made of which; ``distance`` (cores, targets) is the dE00 of its best mix, in any
    shares; ``expected`` (cores, targets) what is to be expected of it, hand and box being
    what they are; ``dislike`` (cores,) what it must gain, in dE00, by the painter's habits. A
    core that those forbid does what white alone does.
    """

    box: Box
    white: str
    colours: tuple[str, ...]
    holds: Mask
    distance: Array
    expected: Array
    dislike: Array

    @property
    def cost(self) -> Array:
        """What each target costs by each core, (cores, targets), as recipes are ranked."""
        return self.expected + (self.dislike + TUBE_PRICE * self.holds.sum(axis=1))[:, None]


@dataclass(frozen=True, eq=False)
class _Size:
    """All cores of one size, roughly looked at; white comes first in their members.

    ``smaller`` (cores, size) are the cores of one colour fewer, and ``lacks`` the colour
    that each of those lacks.
    """

    looked: Subsets
    smaller: Indices
    lacks: Indices


@dataclass(frozen=True, eq=False)
class _Nearest:
    """The best mixes of cores for one target.

    ``shares`` (cores, tubes) are over all tubes, ``away`` (cores,) is how far they are in
    the target's metric; ``distance`` and ``expected`` (cores,) are as in `Cores`.
    """

    shares: Array
    away: Array
    distance: Array
    expected: Array


def cores_of(box: Box, labs: Array, habits: Habits = NO_HABITS) -> Cores:
    """Look at every core of a box for every target, labs (targets, 3), as the habits allow.

    Of those the ones count that speak of which colours go together; what must be on the table,
    and what is held out, the box and the palette know. Takes some 35 ms a target for 24 tubes,
    and grows with the third power of their number.

    Raises:
        BoxError: there is no white, or nothing beside it, or more than `MOST_TUBES`.
    """
    white = box.white
    others = tuple(tube for tube in box.tubes if tube is not white)
    if not others:
        raise BoxError("box_of_white_only", box=box.name)
    if len(others) > MOST_TUBES:
        raise BoxError(
            "box_too_large_for_palette", box=box.name, tubes=len(box.tubes), most=MOST_TUBES + 1
        )
    entries = entries_of(replace(box, tubes=(white, *others)), let_downs=False)
    sizes = _all_sizes(entries)
    nearest = [_nearest(entries, sizes, np.asarray(lab, dtype=float)) for lab in labs]
    members = [size.looked.members for size in sizes]
    holds = [spread_out(m, np.ones_like(m), len(box.tubes))[:, 1:] > 0 for m in members]
    of_cores = replace(habits, without=(), insist=(), no_white_in_darks=False)
    allowed = np.concatenate([permitted(entries, m, of_cores, labs[0]) for m in members])
    distance, expected = (
        np.where(allowed[:, None], values, values[0])
        for values in (np.stack(each, axis=1) for each in zip(*nearest, strict=True))
    )
    used = np.concatenate([np.ones((len(allowed), 1), dtype=bool), np.concatenate(holds)], axis=1)
    return Cores(
        box=box,
        white=white.name,
        colours=tuple(tube.name for tube in others),
        holds=np.concatenate(holds),
        distance=distance,
        expected=expected,
        dislike=dislike(entries, used, habits.easy_on_black),
    )


def _all_sizes(entries: Entries) -> list[_Size]:
    """Return the cores of no colour, of one, two and three, each with white."""
    sizes: list[_Size] = []
    numbers: dict[tuple[int, ...], int] = {}
    colours = range(1, len(entries.items))
    for count in range(min(MOST_COLOURS, len(colours)) + 1):
        chosen = list(itertools.combinations(colours, count))
        smaller = [[numbers[row[:i] + row[i + 1 :]] for i in range(count)] for row in chosen]
        numbers = {row: number for number, row in enumerate(chosen)}
        members = np.array([(0, *row) for row in chosen], dtype=np.intp)
        sizes.append(
            _Size(
                rough_look(entries, members),
                np.array(smaller, dtype=np.intp).reshape(len(chosen), count),
                members[:, 1:],
            )
        )
    return sizes


def _nearest(entries: Entries, sizes: list[_Size], lab: Array) -> tuple[Array, Array]:
    """Return the dE00 of each core's best mix from one target, and the dE00 to expect."""
    aim = Aim(lab, root(metric(lab)), FIRST_ROUNDS)
    by_size = [_mixed(entries, np.eye(1, len(entries.items)), aim)]
    for size in sizes[1:]:
        by_size.append(_of_size(entries, size, by_size[-1], aim))
    return (
        np.concatenate([nearest.distance for nearest in by_size]),
        np.concatenate([nearest.expected for nearest in by_size]),
    )


def _of_size(entries: Entries, size: _Size, below: _Nearest, aim: Aim) -> _Nearest:
    """Return the best mixes of all cores of one size, from those of one colour fewer.

    A core without a better mix of its own has the smaller core's.
    """
    rows = np.arange(len(size.smaller))
    best = below.away[size.smaller].argmin(axis=1)
    start = size.smaller[rows, best]
    worth = below.away[start] > THERE
    if size.lacks.shape[1] > ALWAYS_SEARCHED:
        worth &= _pulls(entries, below, aim)[start, size.lacks[rows, best]] < 0.0
    searched = np.flatnonzero(worth)
    shares, reached = _searched(entries, size.looked, searched, aim)
    nearer = reached < below.away[start[searched]]
    own = searched[nearer]
    members = size.looked.members[own]
    mixes = _mixed(entries, spread_out(members, shares[nearer], len(entries.items)), aim)
    return _Nearest(
        *(
            _with(getattr(below, name)[start], own, getattr(mixes, name))
            for name in ("shares", "away", "distance", "expected")
        )
    )


def _with(values: Array, rows: Indices, own: Array) -> Array:
    """Return values with some rows' own."""
    values[rows] = own
    return values


def _mixed(entries: Entries, shares: Array, aim: Aim) -> _Nearest:
    """Return what mixes, (n, tubes), do for a target."""
    lab = entries.palette.lab(shares)
    off, expected = (lab - aim.target_lab) @ aim.m, np.empty(len(shares))
    for at in range(0, len(shares), ROWS_AT_ONCE):
        some = slice(at, at + ROWS_AT_ONCE)
        expected[some] = distance_within(off[some], spreads(entries, shares[some], aim.m).both)
    away = np.linalg.norm(off, axis=1)
    return _Nearest(shares, away, delta_e_00(lab, aim.target_lab), expected)


def _pulls(entries: Entries, mixes: _Nearest, aim: Aim) -> Array:
    """Return how the distance of mixes goes by a little of each tube, (mixes, tubes)."""
    away = (entries.palette.lab(mixes.shares) - aim.target_lab) @ aim.m
    return entries.palette.pull(mixes.shares, away @ aim.m)


def _searched(entries: Entries, looked: Subsets, rows: Indices, aim: Aim) -> tuple[Array, Array]:
    """Return the best shares of some cores, (n, size), and how far they are, (n,)."""
    rough = (looked.rough_lab[rows] - aim.target_lab) @ aim.m
    start = looked.start(rows, np.sum(rough**2, axis=2).argmin(axis=1))
    members = looked.members[rows]
    shares, distance = _improved(entries, members, start, aim)
    left = np.flatnonzero(distance > THERE)
    more = replace(aim, rounds=MORE_ROUNDS)
    shares[left], distance[left] = _improved(entries, members[left], shares[left], more)
    return shares, distance


def _improved(entries: Entries, members: Indices, shares: Array, aim: Aim) -> tuple[Array, Array]:
    """Improve shares of many cores, some at a time."""
    shares, distance = shares.copy(), np.empty(len(shares))
    for at in range(0, len(shares), ROWS_AT_ONCE):
        some = slice(at, at + ROWS_AT_ONCE)
        shares[some], distance[some] = improve(entries, members[some], shares[some], aim)
    return shares, distance
