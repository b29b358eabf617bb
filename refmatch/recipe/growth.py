"""Which few entries come near a target, and in what shares: grown one entry at a time.

Of pairs all are looked at. A larger subset is worth a look where one of one entry fewer,
at its own best shares, would come nearer by a little of the entry it lacks: the slopes
there say by how much, and how much of it that takes. So of the many thousand subsets
of a large box only the promising are ever mixed. At each size the field is narrowed in
stages, as the shares get better.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.continuous import (
    Limits,
    Measure,
    Misses,
    along,
    improved,
    misses_of,
    solved,
    turned,
)
from refmatch.recipe.mixture import Entries, product
from refmatch.recipe.rank import LET_DOWN_PRICE, PART_PRICE, TUBE_PRICE, price
from refmatch.recipe.subsets import Indices, Mask, Subsets, members_of, rough_look, spread_out

Stages = Sequence[tuple[int, int]]
"""How many subsets of a size are kept at each stage, and the rounds they are improved by."""

THOROUGH: Stages = ((1500, 2), (500, 4))
GLANCE: Stages = ((300, 2), (60, 2))
"""Enough to say how near a box comes, not which recipe does."""

UNHELPFUL = 0.5
"""By how much, in dE00, the promising go before those that a further entry brings no nearer:
in few parts these may still be the better."""

OFFERED = 3
"""Further entries looked at for each subset kept: of the smaller ones, many lead to the same."""

SLACK = 1.0
"""Squared dE00 by log share: what a share hardly moves, it is not counted on to mend."""

MOST_ADDED = 2.0
"""The most of a further entry that the slopes are trusted for, to 1 of the mix so far."""

LEAST_ADDED = 0.003


FINER, FIRST_ROUNDS = 3, 2
STARTS = 3
"""Rough samples of a pair that are improved: on its way it may come near a target twice."""


@dataclass(frozen=True, eq=False)
class Optima:
    """The best shares found: of subsets ``members`` (n, size), ``shares`` (n, size).

    ``misses`` says how far each is from the target; ``cost`` (n,) what its tubes and let-downs
    cost in the fewest parts, with what the painter dislikes. The least of both together comes
    first.
    """

    members: Indices
    shares: Array
    misses: Misses
    cost: Array

    @property
    def distance(self) -> Array:
        """How far each is from the target, (n,)."""
        return self.misses.distance

    def pick(self, rows: Indices) -> Optima:
        """Return the chosen rows, in that order."""
        return Optima(
            self.members[rows], self.shares[rows], self.misses.pick(rows), self.cost[rows]
        )

    def nearest(self, count: int) -> Optima:
        """Return the nearest in their order."""
        return self.pick(_smallest(self.distance, count))

    def best(self, count: int) -> Optima:
        """Return the best in their order, by distance and cost together."""
        return self.pick(_smallest(self.distance + self.cost, count))


@dataclass(frozen=True, eq=False)
class Field:
    """What a search may look at.

    ``starts`` are all single entries and all pairs, roughly looked at; ``tubes`` the most in
    a recipe and ``total`` the most parts; ``grows`` says which subsets, (n, size), the habits
    leave open, and ``dislike`` what the painter's taste adds to the cost of each, (n,).
    """

    entries: Entries
    starts: Sequence[Subsets]
    tubes: int
    total: int
    grows: Callable[[Indices], Mask]
    dislike: Callable[[Indices], Array]
    stages: Stages = THOROUGH

    @property
    def is_free(self) -> Mask:
        """Which entries may be in a recipe at all, (entries,): those that some start holds."""
        return np.isin(np.arange(len(self.entries.items)), self.starts[0].members)

    @property
    def least_share(self) -> float:
        """One part of the most: each entry keeps that much, or nearly."""
        return 1.0 / self.total

    def limits(self, rounds: int) -> Limits:
        """Return so many rounds of improvement."""
        return Limits(rounds, self.least_share)

    def cost(self, members: Indices) -> Array:
        """Return the least that subsets, (n, size), cost in any parts, (n,)."""
        ones = spread_out(members, np.ones_like(members), len(self.entries.items))
        return price(self.entries, ones) + self.dislike(members)


def starts_of(entries: Entries, tubes: int, free: Indices) -> tuple[Subsets, ...]:
    """Misses at all single entries and all pairs of the ``free`` ones."""
    starts = []
    for size in (1, 2):
        members = members_of(entries, size, tubes)
        starts.append(rough_look(entries, members[np.isin(members, free).all(axis=1)], FINER))
    return tuple(starts)


def start(field: Field, measure: Measure) -> list[Optima]:
    """Return all single entries and all pairs with their best shares, best first."""
    there = (subsets for subsets in field.starts if len(subsets.members))  # one tube has no pair
    return [_started(field, subsets, measure) for subsets in there]


def grow(field: Field, measure: Measure, started: Sequence[Optima]) -> Iterator[Optima]:
    """Yield the promising subsets of each size with their best shares, best first.

    ``started`` are those of the first two sizes, as `start` returns them.
    """
    yield from started
    largest = started[-1]
    while largest.members.shape[1] < field.tubes and len(largest.members):
        largest = _grown(field, largest, measure)
        yield largest


def _started(field: Field, subsets: Subsets, measure: Measure) -> Optima:
    """Return the best shares of all subsets of one of the first two sizes."""
    open_ = np.flatnonzero(field.grows(subsets.members))
    missed, _ = measure.miss(subsets.rough_lab[open_].reshape(-1, 3))
    rough = np.sum(missed * missed, axis=1).reshape(len(open_), -1)
    samples = np.argsort(np.round(rough, 5), axis=1, kind="stable")[:, :STARTS]
    rows = np.repeat(open_, samples.shape[1])
    shares = subsets.start(rows, samples.ravel())
    members = subsets.members[rows]
    shares, misses = improved(field.entries, members, shares, measure, field.limits(FIRST_ROUNDS))
    best = np.round(misses.distance, 5).reshape(samples.shape).argmin(axis=1)
    best += samples.shape[1] * np.arange(len(best))
    optima = Optima(members[best], shares[best], misses.pick(best), field.cost(members[best]))
    return _narrowed(field, optima, measure, THOROUGH)


def _grown(field: Field, below: Optima, measure: Measure) -> Optima:
    """Return the best shares of promising subsets of one entry more."""
    added, reached = _by_a_little(field.entries, below, measure)
    score = reached + below.cost[:, None] + _further_cost(field, below)
    score += np.where(added > 0.0, 0.0, UNHELPFUL)
    count = min(OFFERED * field.stages[0][0], score.size)
    limit = np.partition(score, count - 1, axis=None)[count - 1]
    row, entry = np.nonzero((score <= limit) & np.isfinite(score))
    order = np.argsort(np.round(score[row, entry], 4), kind="stable")
    row, entry = row[order], entry[order]
    members = np.column_stack([below.members[row], entry])
    amount = np.maximum(added[row, entry], LEAST_ADDED)[:, None]
    shares = np.concatenate([below.shares[row], amount], axis=1) / (1.0 + amount)
    place = np.argsort(members, axis=1)
    members = np.take_along_axis(members, place, axis=1)
    shares = np.take_along_axis(shares, place, axis=1)
    _, first = np.unique(_keys(members, len(field.entries.items)), return_index=True)
    first = np.sort(first)
    first = first[field.grows(members[first])][: field.stages[0][0]]
    members, shares = members[first], np.maximum(shares[first], field.least_share)
    misses = misses_of(field.entries, members, shares, measure)
    optima = Optima(members, shares, misses, field.cost(members))
    return _narrowed(field, optima, measure, field.stages)


def _by_a_little(entries: Entries, below: Optima, measure: Measure) -> tuple[Array, Array]:
    """Return how much of each entry, (n, entries), is best added, and the distance that it brings.

    To first order: what moves along the mix's own slopes, its shares can mend.
    """
    misses, shares = below.misses, below.shares.T.astype(np.float32)
    lab, slopes = entries.palette.single.lab_and_slopes_of_all(below.members.T, shares)
    _, turn = measure.miss(lab.T)
    slopes = turned(turn, slopes)
    square = misses.square(SLACK)
    kept = SLACK * solved(square, slopes)
    pull = along(misses.missed, kept)
    bend = np.maximum(along(slopes, kept), 1e-12)
    now = SLACK * along(misses.missed, solved(square, misses.missed))
    added = np.clip(-pull / bend, 0.0, MOST_ADDED)
    squared = now + added * (2.0 * pull + added * bend)
    return added.T, np.sqrt(np.maximum(squared, 0.0)).T


def _further_cost(field: Field, below: Optima) -> Array:
    """Return what each further entry adds to the cost, (n, entries); infinite where barred.

    A tube is refused beside its own let-down, one that is held out, and more tubes than the hand
    may hold.
    """
    entries = field.entries
    uses = (entries.net > 0.0).astype(np.float32)
    held = uses[below.members].max(axis=1)  # (n, tubes)
    new = uses.sum(axis=1) - product(held, uses.T)
    own = entries.tube_index[below.members]
    barred = (own[:, :, None] == entries.tube_index).any(axis=1)
    barred |= held.sum(axis=1)[:, None] + new > field.tubes
    barred |= ~field.is_free
    cost = TUBE_PRICE * new + LET_DOWN_PRICE * entries.is_let_down + PART_PRICE
    return np.where(barred, np.inf, cost)


def _narrowed(field: Field, optima: Optima, measure: Measure, stages: Stages) -> Optima:
    """Improve subsets and keep the best, stage after stage."""
    for count, rounds in stages:
        shares, misses = improved(
            field.entries,
            optima.members,
            optima.shares,
            measure,
            field.limits(rounds),
            optima.misses,
        )
        optima = Optima(optima.members, shares, misses, optima.cost).best(count)
    return optima


def _keys(members: Indices, entries: int) -> Indices:
    """Number subsets, (n, size), so that each has a number of its own."""
    key = np.zeros(len(members), dtype=np.intp)
    for column in members.T:
        key = key * entries + column
    return key


def _smallest(values: Array, count: int) -> Indices:
    """Return the indices of the smallest values, ties broken after rounding, in order."""
    return np.argsort(np.round(values, 5), kind="stable")[:count]
