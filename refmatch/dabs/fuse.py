"""What a pile is: neither the recipe's word nor the photo's, but both, each as sure as it is.

A first mix from a box that knows its tubes is often nearer than a photo can tell; corrected by
the photo alone it would be made worse. The mean weighted by precision is the most probable
colour (Kalman 1960, doi:10.1115/1.3662552), and it says of each tube how far it was off.

A recipe may also not be what lies there: another slip was mixed, a part forgotten, the tubes are of
a maker who grinds otherwise. So far as photo and recipe are farther apart than both say of
themselves, it is the recipe that is believed less, until they agree (`_wider`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.dabs.doubt import HAND
from refmatch.dabs.measured import Measured
from refmatch.paint.box import Box, Tube
from refmatch.paint.fit.belief import MOST_MODES, ways_of
from refmatch.paint.makers import Spread
from refmatch.recipe.doubt import of_the_model
from refmatch.recipe.mixture import Palette

# What colour piles should be by their recipes: the box's doubt and the hand's, for all at once.
#
# Two piles that share a tube share that tube's error; so what a photo says of one tells of the
# other, and of the tube.

LEAST_TOLD = 1e-6
"""Of a recipe's variance: less than this taken off by a photo is rounding."""


@dataclass(frozen=True, eq=False)
class Predicted:
    """The piles' ``lab`` (n, 3), ``reflectance`` (n, 31) and joint ``covariance`` (3n, 3n).

    ``modes`` (tubes, m, 62) are the ways in which each tube's curves may be off, each by one
    standard error, and ``by_modes`` (tubes, 3n, m) what each of them does to the piles.
    """

    lab: Array
    reflectance: Array
    covariance: Array
    modes: Array
    by_modes: Array


def predict_piles(
    box: Box, parts: Array, hand: float = HAND, spread: Spread | None = None
) -> Predicted:
    """Return what piles of ``parts`` (n, tubes) of a box should look like.

    ``spread`` stands for what makers' paints differ by, of tubes that nobody measured.
    """
    palette = Palette.of(box.tubes, box.surface)
    lab = palette.lab(parts)
    modes = np.stack([_modes(tube, spread) for tube in box.tubes])
    curves = np.stack([palette.lab_by_curves(row) for row in parts])  # (n, tubes, 3, 62)
    by_tube = np.swapaxes(curves, 0, 1).reshape(len(box.tubes), lab.size, -1)
    by_modes = by_tube @ np.swapaxes(modes, 1, 2)
    covariance = covariance_of(by_modes)
    for pile, row in enumerate(parts):
        rows = slice(3 * pile, 3 * pile + 3)
        by_hand = palette.lab_and_slopes(row)[1] * row * hand
        covariance[rows, rows] += by_hand @ by_hand.T
        covariance[rows, rows] += of_the_model(palette, box.tubes, row, lab[pile])
    return Predicted(lab, palette.reflectance(parts), covariance, modes, by_modes)


def covariance_of(by_modes: Array) -> Array:
    """Return the covariance, (3n, 3n), of slopes by independent modes, (tubes, 3n, modes)."""
    off = np.concatenate(list(by_modes), axis=1)
    return off @ off.T


def _modes(tube: Tube, spread: Spread | None) -> Array:
    """Return a tube's ways of being off, (8, 62), the missing ones of no size."""
    ways = ways_of(tube, spread)[:MOST_MODES]
    modes = np.zeros((MOST_MODES, 2 * BANDS))
    modes[: len(ways)] = ways
    return modes


@dataclass(frozen=True, eq=False)
class Estimated:
    """The piles' ``lab`` (n, 3) and joint ``covariance`` (3n, 3n).

    ``tubes`` (tubes, 62) is by how much ln K and ln S of each tube most probably differ from the
    box's, ``modes`` (tubes, m, 62) what stays open of them. ``surprise`` (n,) is how far photo and
    recipe are apart, in standard errors of their difference: about 1.7 on average.
    """

    lab: Array
    covariance: Array
    tubes: Array
    modes: Array
    surprise: Array

    def covariance_of(self, pile: int) -> Array:
        """Return one pile's own covariance, (3, 3)."""
        rows = slice(3 * pile, 3 * pile + 3)
        return self.covariance[rows, rows]

    def only(self, count: int) -> Estimated:
        """Return the first piles alone; what was found of the tubes stays."""
        rows = slice(0, 3 * count)
        return replace(
            self,
            lab=self.lab[:count],
            covariance=self.covariance[rows, rows],
            surprise=self.surprise[:count],
        )


def fuse(
    predicted: Predicted, measured: Measured, alike: float = 0.0, references: int = 0
) -> Estimated:
    """Return the most probable colour of each pile, and what it says of the tubes.

    What a pile strays from its recipe beyond chance is an error of its own, and tells of no tube.

    ``alike`` is how far the errors of both go together, as a correlation: a box that was learnt
    by the same phone has its errors too. The estimate stays the same, it is only less sure.
    The last piles are ``references``: they are surely what their recipes say.
    """
    off = (measured.lab - predicted.lab).ravel()
    apart = predicted.covariance + measured.covariance
    predicted = _as_it_strays(predicted, off, apart, 3 * references)
    both = predicted.covariance + measured.covariance
    gain = np.linalg.solve(both, predicted.covariance).T
    lab = predicted.lab + (gain @ off).reshape(-1, 3)
    kept = np.eye(len(off)) - gain
    covariance = predicted.covariance - gain @ predicted.covariance
    if alike:
        both_off = kept @ _root(predicted.covariance) @ _root(measured.covariance) @ gain.T
        covariance = covariance + alike * (both_off + both_off.T)
    by_modes = predicted.by_modes
    weighed = np.linalg.solve(both, by_modes)  # (tubes, 3n, m)
    amounts = np.einsum("tim,i->tm", weighed, off)
    tubes = np.einsum("tm,tmb->tb", amounts, predicted.modes)
    left = np.eye(by_modes.shape[2]) - np.swapaxes(by_modes, 1, 2) @ weighed
    modes = np.swapaxes(np.linalg.cholesky(_positive(left)), 1, 2) @ predicted.modes
    return Estimated(lab, covariance, tubes, modes, _surprise(off, apart))


def agreement(predicted: Predicted, measured: Measured, references: int = 0) -> float:
    """Return how well a photo and the recipes agree: ln of the density of what it shows, by them.

    But for a constant; recipes that stray are taken as wide as they stray, so that one that is
    plainly wrong decides little. ``references`` are as in `fuse`.
    """
    off = (measured.lab - predicted.lab).ravel()
    apart = predicted.covariance + measured.covariance
    both = _as_it_strays(predicted, off, apart, 3 * references).covariance + measured.covariance
    return float(-0.5 * (off @ np.linalg.solve(both, off) + np.linalg.slogdet(both)[1]))


def fused_before(
    lab: Array, covariance: Array, recipe_lab: Array, recipe_covariance: Array
) -> tuple[Array, Array]:
    """Return what was fused with a recipe to a belief: its precision (3, 3) and that times its Lab.

    A recipe speaks once for a puddle, however often that is photographed: what is believed after
    the first photo is the recipe and that photo, and the recipe is to be taken out of it before
    both are fused with the next. Precisions and their Labs add up; where a belief is no surer than
    the recipe now is, no photo told anything.

    Args:
        lab: the belief's, (3,).
        covariance: the belief's, (3, 3).
        recipe_lab: what the recipe alone says, (3,).
        recipe_covariance: how sure that is, (3, 3).
    """
    turn = np.linalg.cholesky(recipe_covariance)
    whitened = np.linalg.solve(turn, np.linalg.solve(turn, covariance).T)
    left, axes = np.linalg.eigh((whitened + whitened.T) / 2.0)
    moved = axes.T @ np.linalg.solve(turn, lab - recipe_lab)
    wider = _was_wider(moved**2, left)
    told = left < wider * (1.0 - LEAST_TOLD)
    back = np.linalg.solve(turn.T, axes[:, told])
    precision = back * (1.0 / left[told] - 1.0 / wider) @ back.T
    return precision, precision @ recipe_lab + back @ (moved[told] / left[told])


def _was_wider(moved: Array, left: Array) -> float:
    """Return how much wider the recipe was taken for when a belief was fused of it; see `_wider`.

    Args:
        moved: squared, what the belief is from the recipe, along axes where the recipe's is 1.
        left: the belief's variances along them.
    """
    told = left < 1.0 - LEAST_TOLD
    if not told.all() and np.sum(moved[~told] / left[~told]) > DIMENSIONS:
        return _wider(moved, -left, float(left.max()) * (1.0 + LEAST_TOLD))
    return _wider(moved[told], -left[told])


DIMENSIONS = 3.0
"""A squared distance in standard errors is the number of its dimensions on average."""

MOST_WIDER = 1e6
"""A recipe that is believed so little tells nothing."""


def _as_it_strays(predicted: Predicted, off: Array, apart: Array, sure: int) -> Predicted:
    """Return recipes believed no more than photos of their piles let them be; see `_wider`.

    Args:
        predicted: the piles by their recipes.
        off: photo less recipe, (3n,).
        apart: the covariance of that, (3n, 3n).
        sure: so many of the last rows cannot stray: the rest is as they let it be foretold.
    """
    covariance, count = predicted.covariance.copy(), len(off) - sure
    by_sure = np.linalg.solve(apart[count:, count:], predicted.covariance[count:, :count]).T
    foretold = predicted.covariance[:count, :count] - by_sure @ covariance[count:, :count]
    off = off[:count] - by_sure @ off[count:]
    apart = foretold + apart[:count, :count] - covariance[:count, :count]
    for pile in range(count // 3):
        rows = slice(3 * pile, 3 * pile + 3)
        own = foretold[rows, rows]
        turn = np.linalg.cholesky(_positive(own))
        photo = np.linalg.solve(turn, np.linalg.solve(turn, apart[rows, rows] - own).T)
        size, axes = np.linalg.eigh((photo + photo.T) / 2.0)
        misses = axes.T @ np.linalg.solve(turn, off[rows])
        covariance[rows, rows] += (_wider(misses**2, size) - 1.0) * own
    return replace(predicted, covariance=covariance)


def _wider(misses: Array, photo: Array, least: float = 1.0) -> float:
    """Return by how much a recipe's covariance is to be multiplied, ``least`` or more.

    Until photo and recipe are no farther apart than they are on average: sum(misses / (w + photo))
    is 3. So is the spread between laboratories found of what each says of itself (Paule & Mandel
    1982, doi:10.6028/jres.087.022). As both part, what is believed goes over to the photo.

    Args:
        misses: squared, along the axes in which both covariances are diagonal, the recipe's 1.
        photo: its variances along them.
    """
    most = MOST_WIDER
    if np.sum(misses / (least + photo)) <= DIMENSIONS:
        return least
    while most > least * (1.0 + LEAST_TOLD):
        middle = np.sqrt(least * most)
        if np.sum(misses / (middle + photo)) > DIMENSIONS:
            least = middle
        else:
            most = middle
    return float(most)


def with_earlier(
    measured: Measured, earlier: Mapping[int, tuple[Array, Array]], alike: float
) -> Measured:
    """Return what a photo and earlier ones say of its piles together, without their recipes.

    ``earlier`` are the precision (3, 3) and its product with the Lab, by the pile's number;
    ``alike`` is as in `fuse`.
    """
    if not earlier:
        return measured
    size = measured.lab.size
    precision, pull = np.zeros((size, size)), np.zeros(size)
    for number, (of_one, pulled) in earlier.items():
        rows = slice(3 * number, 3 * number + 3)
        precision[rows, rows], pull[rows] = of_one, pulled
    covariance = np.linalg.solve(
        np.eye(size) + measured.covariance @ precision, measured.covariance
    )
    covariance = (covariance + covariance.T) / 2.0
    lab = measured.lab.ravel()
    lab = lab + covariance @ (pull - precision @ lab)
    kept = np.eye(size) - covariance @ precision
    both_off = kept @ _root(measured.covariance) @ _root(precision) @ covariance
    return replace(
        measured,
        lab=lab.reshape(-1, 3),
        covariance=covariance + alike * (both_off + both_off.T),
    )


def _root(covariance: Array) -> Array:
    """Return the symmetric square root of a covariance."""
    values, vectors = np.linalg.eigh(covariance)
    root: Array = (vectors * np.sqrt(np.maximum(values, 0.0))) @ vectors.T
    return root


def _positive(covariance: Array) -> Array:
    """Return a covariance made symmetric, and kept from rounding to less than nothing."""
    return (covariance + np.swapaxes(covariance, -1, -2)) / 2.0 + 1e-9 * np.eye(
        covariance.shape[-1]
    )


def _surprise(off: Array, covariance: Array) -> Array:
    count = len(off) // 3
    blocks = covariance.reshape(count, 3, count, 3)[np.arange(count), :, np.arange(count), :]
    misses = off.reshape(count, 3)
    return np.sqrt(
        np.einsum("ni,ni->n", misses, np.linalg.solve(blocks, misses[..., None])[..., 0])
    )
