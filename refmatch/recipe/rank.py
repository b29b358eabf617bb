"""Which recipe is best: the simplest of those that are as good as can be promised.

What can be promised is the error to expect, from this hand and this box with their own doubts. So
many recipes lie within a hair of the best that precision beyond that is noise to the painter:
among them the one is taken that a tutor would lay. Value is held before all else.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.recipe.doubt import P90, distance_within, root, spreads, ways_off
from refmatch.recipe.fuss import (
    DEEP_LSTAR,
    deadened,
    fuss_of,
    is_familiar,
    let_downs_used,
    tubes_used,
)
from refmatch.recipe.habits import dislike
from refmatch.recipe.lamps import LAMPS
from refmatch.recipe.mixture import Entries
from refmatch.recipe.subsets import Mask

UNSEEN = 0.5
"""Recipes nearer than this in dE00 are all taken as right; the eye tells about 0.8."""

EYE = 0.8
"""What the eye just tells, in dE00 (Paravina et al. 2015, half of all observers)."""

NEARLY = 0.3
"""Where none is right, those within this of the nearest are asked how the thing looks by lamps."""

AS_GOOD, AS_GOOD_SHARE = 0.3, 0.1
"""As good as the best is what is expected to lie no farther off by so much: in dE00, or as a share
of the best, whichever is more."""

VALUE_HELD_LSTAR = 1.0
"""A first choice is no lighter or darker than this, where any recipe is so."""

USUAL_DISTANCE = 3.0
"""No first choice holds two let-downs where a recipe with fewer comes within this, in dE00."""

WORTH_VALUE = 2.0
"""What holding the value may be expected to lose in dE00: out of reach, it may lose more."""

VALUE_HELD_IN_DARKS_LSTAR = 3.0
"""The same of darks, where the least white that a knife lays out moves the value so far."""

FEW_PARTS = 12
"""The most parts that a tutor lays out (common practice, no source)."""

PLAINLY_SHARE = 0.15
"""What a recipe of more parts, or with a let-down, must gain on all that have neither: a share of
the error to expect."""

AS_GOOD_FAMILIAR_SHARE = 0.25
"""The same share for the mix that everybody knows (`fuss.is_familiar`)."""

WORTH_CLEAN = 2.5
"""What a clean colour's first choice may be expected to lose in dE00 for not being deadened."""

OF_LAMPS = 0.1
"""What straying under lamps is in fuss, by dE00."""

# What is sought is priced in dE00, so that the search looks at plain recipes first.

TUBE_PRICE = 0.25
"""What a further tube must gain in dE00."""

LET_DOWN_PRICE = 0.4
"""What making a let-down must gain: ten parts mixed, and most of them left over."""

PART_PRICE = 0.03
"""What each part of the total must gain, so that 3 : 1 beats 19 : 6 where the eye cannot tell."""

JUDGED = 500
"""So many of each number of tubes are judged, those nearest by distance and price."""

CHUNK = 8000
"""Recipes whose spectra are held at once."""


@dataclass(frozen=True, eq=False)
class Candidates:
    """Recipes in whole parts and all they are judged by; row i is one recipe.

    ``parts`` (n, entries); ``lab`` (n, 3); ``distance``, ``lamps`` (how far it strays under
    lamps), ``expected`` and ``expected_p90`` (the dE00 that half, and nine in ten, of real puddles
    lie within), ``fuss`` (see `fuss`) and ``objective`` (n,), by which the
    alternatives stand.
    """

    parts: npt.NDArray[np.intp]
    lab: Array
    distance: Array
    lamps: Array
    expected: Array
    expected_p90: Array
    fuss: Array
    objective: Array

    def pick(self, rows: npt.NDArray[np.intp]) -> Candidates:
        """Return the chosen rows, in that order."""
        return Candidates(*(getattr(self, field.name)[rows] for field in fields(self)))


@dataclass(frozen=True, eq=False)
class Judge:
    """What is near a target (3,): distances of colours (n, 3) -> (n,), their metric, a dislike."""

    target_lab: Array
    distance: Callable[[Array], Array]
    g: Array
    easy_on_black: bool = False


def rank(
    entries: Entries, parts: npt.NDArray[np.intp], judge: Judge, lab: Array | None = None
) -> Candidates:
    """Judge recipes, (n, entries), and return the promising ones: the first choice, then by worth.

    ``lab`` (n, 3) are their colours, where they are known already.

    The order does not hang on last digits: what is compared is rounded to 1e-6, and ties fall to
    the order of the parts.
    """
    lab = lab_of(entries, parts) if lab is None else lab
    distance = judge.distance(lab)
    rows = _promising(entries, parts, distance)
    parts, kept = np.unique(parts[rows], axis=0, return_index=True)
    lab, distance = lab[rows][kept], distance[rows][kept]
    near = distance <= max(UNSEEN, distance.min() + NEARLY)
    lamps = unrest(entries, parts, near)
    m = root(judge.g)
    way = ways_off(lab, judge.target_lab, m)
    off = way * delta_e_00(lab, judge.target_lab)[:, None]
    spread = spreads(entries, parts.astype(float), m).both
    expected = distance_within(off, spread)
    judged = distance_within(way * distance[:, None], spread)  # another where out of reach
    disliked = dislike(entries, parts > 0, judge.easy_on_black)
    ranked = Candidates(
        parts,
        lab,
        distance,
        lamps,
        expected,
        distance_within(off, spread, P90),
        fuss_of(entries, parts, judge.target_lab) + OF_LAMPS * lamps,
        judged + price(entries, parts) + disliked,
    )
    first = _first(entries, ranked, judged + disliked, judge.target_lab)
    behind = np.arange(len(parts)) != first
    return ranked.pick(np.lexsort((np.round(ranked.objective, 6), behind)))


def _promising(entries: Entries, parts: npt.NDArray[np.intp], distance: Array) -> Array:
    """Return the rows of the nearest of each number of tubes."""
    tubes = tubes_used(entries, parts).sum(axis=1)
    worth = np.round(distance + price(entries, parts), 6)
    of_each = [np.flatnonzero(tubes == count) for count in np.unique(tubes)]
    return np.concatenate(
        [rows[np.argsort(worth[rows], kind="stable")[:JUDGED]] for rows in of_each]
    )


def _first(entries: Entries, ranked: Candidates, expected: Array, target_lab: Array) -> int:
    """Return the row of the first choice.

    Value is held, then what is expected decides which compete, and the one with the least fuss
    is taken. Of tubes that nobody measured, what is laid out easily, in few parts and without a
    let-down, is measured by the best of its own, as long as nothing else is plainly better; a
    measured box earns finer recipes, no farther off on paper than the eye tells.
    """
    used, let_downs = tubes_used(entries, ranked.parts), let_downs_used(entries, ranked.parts)
    held = _those((let_downs <= 1) & (ranked.distance <= USUAL_DISTANCE))
    held = _where_worth(~deadened(entries, used, target_lab), held, expected, WORTH_CLEAN)
    most = VALUE_HELD_LSTAR if target_lab[0] >= DEEP_LSTAR else VALUE_HELD_IN_DARKS_LSTAR
    in_value = np.abs(ranked.lab[:, 0] - target_lab[0]) <= most
    held = _where_worth(held & in_value, held, expected, WORTH_VALUE)
    best, share = expected[held].min(), np.full(len(held), AS_GOOD_SHARE)
    if any(tube.is_generic for tube in entries.box.tubes):
        easy = held & (ranked.parts.sum(axis=1) <= FEW_PARTS) & (let_downs == 0)
        if easy.any() and expected[easy].min() <= best * (1.0 + PLAINLY_SHARE):
            best = expected[easy].min()
        share[is_familiar(entries, used)] = AS_GOOD_FAMILIAR_SHARE
    else:
        held = _where_worth(held & (ranked.distance <= EYE), held, expected, WORTH_VALUE)
    competes = held & (expected <= best + np.maximum(AS_GOOD, share * best))
    fuss = np.where(competes, np.round(ranked.fuss, 6), np.inf)
    return int(np.lexsort((np.round(expected, 6), fuss))[0])


def _those(rows: Mask) -> Mask:
    """Return the rows, or all where there are none."""
    return rows if rows.any() else np.ones(len(rows), dtype=bool)


def _where_worth(wanted: Mask, held: Mask, expected: Array, most: float) -> Mask:
    """Return those of the rows held that are wanted, else all wanted, if these lose no more.

    ``most`` is what the best of them may be expected to lie farther off than the best held, in
    dE00; where they all lose more, the rows stay as they are.
    """
    limit = expected[held].min() + most
    for rows in (held & wanted, wanted):
        if rows.any() and expected[rows].min() <= limit:
            return rows
    return held


def unrest(entries: Entries, parts: npt.NDArray[np.intp], near: npt.NDArray[np.bool_]) -> Array:
    """Return how far recipes stray from their rivals under the two lamps, in dE00, (n,).

    A photo's colour has no spectrum. But of many recipes that agree by day, what most do
    under a lamp is the best guess at what the thing itself does: the median of those
    ``near`` (n,) is the measure, and the two lamps count by their root mean square.
    """
    seen, squared = entries.palette.reflectance(parts.astype(float)), np.zeros(len(parts))
    for lamp in LAMPS:
        lab = reflectance_to_lab(seen, viewing(lamp))
        squared += delta_e_00(lab, np.median(lab[near], axis=0)) ** 2
    return np.sqrt(squared / len(LAMPS))


def lab_of(entries: Entries, parts: npt.NDArray[np.intp]) -> Array:
    """Return the Lab of many recipes, (n, 3), a chunk at a time: spectra are large."""
    pieces = np.array_split(parts.astype(float), max(1, len(parts) // CHUNK))
    return np.concatenate([entries.palette.lab(piece) for piece in pieces])


def price(entries: Entries, parts: npt.NDArray[np.intp]) -> Array:
    """Return the price of tubes, let-downs and parts, (n,), in dE00."""
    tubes = tubes_used(entries, parts).sum(axis=1)
    of_tubes = TUBE_PRICE * (tubes - 1) + LET_DOWN_PRICE * let_downs_used(entries, parts)
    return of_tubes + PART_PRICE * parts.sum(axis=1)
