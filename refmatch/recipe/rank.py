"""Which recipe is best: right first, then the one a hand and a real box will come nearest with.

A recipe that is itself wrong is never excused by doubt: only those nearly as
near as the nearest (or nearer than the eye tells) compete; among them the
expected difference decides, with a small price for each tube and each part. The one
exception is where every right recipe needs let-downs: see `_instead`.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import viewing
from refmatch.paint.fit.belief import ways_of
from refmatch.recipe.habits import dislike
from refmatch.recipe.lamps import LAMPS
from refmatch.recipe.mixture import Entries, product
from refmatch.recipe.subsets import Mask

# How far off a real puddle may be: the hand that lays out parts, and the box's own doubt.
#
# Each part laid out is off by a share of itself, more so a touch; a let-down adds
# the error of its own making; and each tube's strength is known only so well.

PART_ERROR = 0.15
"""Relative standard error of a part laid out with the knife (our own choice)."""

TOUCH_ERROR = 0.30
"""The same for a touch: less than one part in ten of the whole (our own choice)."""

TOUCH_SHARE = 0.1

LET_DOWN_ERROR = 0.2
"""Relative standard error of a let-down's strength: one part and nine, each 15 % off."""

RANKED_WAYS = 3
"""So many of a tube's ways of being off count in the ranking: strength, scattering, one bend."""

DRAWS = 257
PRIMES = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67)


def part_errors(parts: Array) -> Array:
    """Return the relative standard error of each entry's parts, same shape (..., entries)."""
    share = parts / parts.sum(axis=-1, keepdims=True)
    return np.where(share < TOUCH_SHARE, TOUCH_ERROR, PART_ERROR)


def spread_squared(entries: Entries, parts: Array, g: Array) -> tuple[Array, Array]:
    """Forecast the mean squared distance that hand and box add, to first order.

    Args:
        parts: (n, entries), of any sum.
        g: the metric of colour difference at the target, (3, 3).

    Returns:
        Two arrays (n,): what the hand adds, and what the box's doubt adds.
    """
    net = parts @ entries.net
    palette = entries.tube_palette
    by_k, by_s = palette.slopes_by_band(net)
    by_tube = by_k @ palette.absorption.T + by_s @ palette.scattering.T
    by_entry = by_tube @ entries.net.T
    hand = _length_squared(by_entry, g) * (part_errors(parts) * parts) ** 2
    own = entries.net[np.arange(len(entries.items)), entries.tube_index]
    made = LET_DOWN_ERROR * parts * own * entries.is_let_down
    hand += _length_squared(by_tube[:, :, entries.tube_index], g) * made**2
    return hand.sum(axis=1), _box_squared(entries, net, (by_k, by_s), g)


def _box_squared(entries: Entries, net: Array, by_band: tuple[Array, Array], g: Array) -> Array:
    """Return the mean squared distance that the box's doubt adds, (n,); see `paint.fit.belief`."""
    curves = np.concatenate([entries.tube_palette.absorption, entries.tube_palette.scattering], 1)
    ways = np.zeros((len(net[0]), RANKED_WAYS, 2 * BANDS))
    for number, tube in enumerate(entries.box.tubes):
        of_tube = ways_of(tube)[:RANKED_WAYS]
        ways[number, : len(of_tube)] = of_tube * curves[number]
    to_ways = ways.reshape(-1, 2 * BANDS).T.astype(np.float32)
    slopes = np.concatenate(by_band, axis=-1).astype(np.float32)  # half the work
    near = np.linalg.cholesky(g).T.astype(np.float32)
    off = product(product(near, slopes), to_ways)  # (n, 3, tubes x ways)
    squared = np.einsum("nij,nij->nj", off, off).reshape(*net.shape, RANKED_WAYS).sum(axis=2)
    box: Array = np.einsum("nt,nt->n", squared, net**2).astype(float)
    return box


def hand_distances(entries: Entries, parts: Array, target_lab: Array) -> Array:
    """Return the sorted dE00 from the target of one recipe laid out many times, (draws,).

    The draws are fixed and do not depend on the machine: normal numbers from a
    Halton sequence, applied to the logarithm of each part and of each let-down's
    strength.
    """
    draws = normal_draws(2 * int(np.count_nonzero(parts)))
    net = laid_by_hand(entries, parts, part_errors(parts), draws)
    return np.sort(delta_e_00(entries.tube_palette.lab(net), target_lab))


def laid_by_hand(entries: Entries, parts: Array, errors: Array, draws: Array) -> Array:
    """Return the net parts, (draws, tubes), of one recipe laid out many times.

    Args:
        entries: of the box.
        parts: (entries,), of any sum.
        errors: the relative standard error of each, (entries,).
        draws: normal, (draws, twice as many as parts are used): for parts, then let-downs.
    """
    used = np.flatnonzero(parts)
    laid = parts[used] * np.exp(errors[used] * draws[:, : len(used)])
    strength = np.exp(LET_DOWN_ERROR * entries.is_let_down[used] * draws[:, len(used) :])
    net = laid @ entries.net[used]
    own = entries.tube_index[used]
    for column, tube in enumerate(own):
        let_down_parts = laid[:, column] * entries.net[used[column], tube]
        net[:, tube] += let_down_parts * (strength[:, column] - 1.0)
    return net


def _length_squared(slopes: Array, g: Array) -> Array:
    """Return d' G d of each column of slopes (n, 3, columns), shape (n, columns)."""
    return np.sum(slopes * (g @ slopes), axis=1)


@functools.cache
def normal_draws(dimensions: int) -> Array:
    """Return fixed normal draws, (DRAWS, dimensions); Halton 1960 with the first primes."""
    inverse = NormalDist().inv_cdf
    columns = [
        [inverse(_radical_inverse(index, prime)) for index in range(1, DRAWS + 1)]
        for prime in PRIMES[:dimensions]
    ]
    return np.array(columns).T


def _radical_inverse(index: int, base: int) -> float:
    """Mirror the digits of ``index`` at the point: the van der Corput sequence."""
    value, share = 0.0, 1.0 / base
    while index:
        index, digit = divmod(index, base)
        value += digit * share
        share /= base
    return value


UNSEEN = 0.5
"""Recipes nearer than this in dE00 are all taken as right; the eye tells about 0.8."""

LAMP_SHARE = 0.5
"""How much straying under a lamp counts beside a difference by day (our own choice)."""

NEARLY = 0.3
"""Where none is right, those within this of the nearest compete."""

EYE = 0.8
"""What the eye just tells, in dE00 (Paravina et al. 2015, half of all observers)."""

PLAINER_BY = 0.75
"""What a recipe within that must gain in its objective to stand in for let-downs."""

STILL_GOOD = 1.5
"""A recipe no farther off than this may stand in for let-downs if it is plainly surer."""

SURER_BY = 0.3
"""What it must be surer by, in expected dE00, than the surest of the right ones."""

TUBE_PRICE = 0.25
"""What a further tube must gain in dE00."""

LET_DOWN_PRICE = 0.4
"""What making a let-down must gain: ten parts mixed, and most of them left over."""

PART_PRICE = 0.012
"""What each part of the total must gain, so that 3 : 1 beats 19 : 6 where the eye cannot tell."""

PRICED = 1500
"""How many of the nearest recipes beyond those that compete are priced, for alternatives."""

CHUNK = 8000
"""Recipes whose spectra are held at once."""


@dataclass(frozen=True, eq=False)
class Candidates:
    """Recipes in whole parts and all they are judged by; row i is one recipe.

    ``parts`` (n, entries); ``lab`` (n, 3); ``distance``, ``lamps`` (how far it strays
    under lamps), ``expected`` and ``objective`` (n,); ``competes`` (n,) says which may
    be the first choice.
    """

    parts: npt.NDArray[np.intp]
    lab: Array
    distance: Array
    lamps: Array
    expected: Array
    objective: Array
    competes: npt.NDArray[np.bool_]

    def pick(self, rows: npt.NDArray[np.intp]) -> Candidates:
        """Return the chosen rows, in that order."""
        return Candidates(
            self.parts[rows],
            self.lab[rows],
            self.distance[rows],
            self.lamps[rows],
            self.expected[rows],
            self.objective[rows],
            self.competes[rows],
        )


@dataclass(frozen=True, eq=False)
class Judge:
    """What is near: a distance of colours (n, 3) -> (n,), its metric, and a dislike of black."""

    distance: Callable[[Array], Array]
    g: Array
    easy_on_black: bool = False


def rank(
    entries: Entries, parts: npt.NDArray[np.intp], judge: Judge, lab: Array | None = None
) -> Candidates:
    """Judge recipes, (n, entries), and return the promising ones, best first.

    ``lab`` (n, 3) are their colours, where they are known already.

    The order does not hang on last digits: objectives are compared after
    rounding to 1e-6, and ties fall to the order of the parts.
    """
    lab = lab_of(entries, parts) if lab is None else lab
    distance = judge.distance(lab)
    disliked = dislike(entries, parts > 0, judge.easy_on_black)
    near = distance + disliked <= max(UNSEEN, (distance + disliked).min() + NEARLY)
    promising = np.argsort(np.round(distance + price(entries, parts), 6), kind="stable")[:PRICED]
    rows = np.union1d(np.flatnonzero(near), promising)
    parts, kept = np.unique(parts[rows], axis=0, return_index=True)
    rows = rows[kept]
    hand, box = spread_squared(entries, parts.astype(float), judge.g)
    lamps = unrest(entries, parts, near[rows])
    expected = np.sqrt(distance[rows] ** 2 + hand + box + (LAMP_SHARE * lamps) ** 2)
    objective = expected + price(entries, parts) + disliked[rows]
    right = near[rows]
    competes = right.copy()
    best = np.flatnonzero(right)[np.argmin(np.round(objective[right], 6))]
    if (parts[best] > 0)[entries.is_let_down].any():
        competes |= _instead(distance[rows], expected, objective, right)
    ranked = Candidates(parts, lab[rows], distance[rows], lamps, expected, objective, competes)
    return ranked.pick(np.lexsort((np.round(objective, 6), ~ranked.competes)))


def _instead(
    distance: Array, expected: Array, objective: Array, near: npt.NDArray[np.bool_]
) -> Mask:
    """Say which recipes, a little off, may stand first where every right one needs let-downs.

    Pale greys are the case: three opposed tints in let-downs are exact on paper, and far
    off on the palette, where white with a little black is a little off and stays so. So
    either a hand comes plainly nearer with them, or they are off by less than the eye
    tells and plainer by far.
    """
    surer = expected <= expected[near].min() - SURER_BY
    plainer = objective <= objective[near].min() - PLAINER_BY
    return (surer & (distance <= STILL_GOOD)) | (plainer & (distance <= EYE))


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
    used = parts > 0
    # In floats, since they are multiplied quicker.
    holds = product(used.astype(np.float32), (entries.net > 0.0).astype(np.float32))
    tubes = (holds > 0.0).sum(axis=1)
    let_downs = (used & entries.is_let_down).sum(axis=1)
    of_tubes = TUBE_PRICE * (tubes - 1) + LET_DOWN_PRICE * let_downs
    return of_tubes + PART_PRICE * parts.sum(axis=1)
