"""How far the colour of exact parts may be from what is predicted, and why.

Doubts add up: how far each tube's curves are still open (of a tube that nobody measured, what
makers' paints of its pigment differ by), what the paint model misses even of the swatches it was
fitted to, and what it misses of mixtures that it was not: K and S do not quite add up, least so
in darks without white, and a black works harder in a colour than in white.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.flag import Flag
from refmatch.paint.box import Tube
from refmatch.paint.fit.belief import ways_of
from refmatch.recipe.hand import LET_DOWN_ERROR, normal_draws, part_errors
from refmatch.recipe.mixture import Entries, Palette, product

# Near one colour, a colour difference is a length: its metric, as a 3 x 3 matrix.

Distance = Callable[[Array, Array], Array]
"""A distance of colours (n, 3) from a target (3,), shape (n,)."""

STEP = 1.0
"""How far from the target the distance is felt out, in Lab units."""


def metric(target_lab: Array, distance: Distance = delta_e_00) -> Array:
    """Return the matrix G, (3, 3), with distance^2 about d' G d for small d in Lab.

    The distance is felt out on both sides of the target along the axes and
    their diagonals, and G is kept positive definite.
    """
    axes = STEP * np.eye(3)
    pairs = [(i, j) for i in range(3) for j in range(i, 3)]
    probes = np.array([axes[i] + (axes[j] if i != j else 0.0) for i, j in pairs])
    both = np.concatenate([target_lab + probes, target_lab - probes])
    squared = distance(both, target_lab).reshape(2, -1) ** 2
    along = dict(zip(pairs, squared.mean(axis=0) / STEP**2, strict=True))
    g = np.empty((3, 3))
    for (i, j), value in along.items():
        g[i, j] = g[j, i] = value if i == j else (value - along[i, i] - along[j, j]) / 2.0
    values, vectors = np.linalg.eigh(g)
    return (vectors * np.maximum(values, 1e-4)) @ vectors.T


def root(g: Array) -> Array:
    """Return the symmetric square root M of a metric, so that distance is about |M d|."""
    values, vectors = np.linalg.eigh(g)
    return (vectors * np.sqrt(values)) @ vectors.T


MIXED_LN_K, UNMIXED_WHITE_LN_K = 0.04, 0.12
"""Standard error of ln K of a mixture: always, and besides as far as it holds no white.

Own choice, to cover the misses of real paints: darks without white are 3 to 5 dE00 off.
"""

TILT: Array = np.linspace(-1.0, 1.0, BANDS)
"""The simplest way in which such an error differs along the spectrum."""


GENERIC = Flag("generic_curves")
"""The caution for tubes that no one has measured."""


def generic_flags(tubes: Iterable[Tube]) -> tuple[Flag, ...]:
    """Return the caution for tubes that no one has measured, and for those not even known."""
    tubes = tuple(tubes)
    generic = (GENERIC,) if any(tube.is_generic for tube in tubes) else ()
    return (*generic, *(flag for tube in tubes for flag in tube.flags if tube.is_generic))


def covariance(palette: Palette, tubes: Sequence[Tube], parts: Array, lab: Array) -> Array:
    """Return the covariance, (3, 3), of the Lab of exact parts (tubes,), to first order."""
    total = of_the_model(palette, tubes, parts, lab)
    for tube, share, by_curves in zip(tubes, parts, palette.lab_by_curves(parts), strict=True):
        if share > 0.0:
            off = by_curves @ ways_of(tube).T
            total = total + off @ off.T
    return total


def of_the_model(palette: Palette, tubes: Sequence[Tube], parts: Array, lab: Array) -> Array:
    """Return what the paint model misses of exact parts of tubes known exactly, (3, 3)."""
    worst = max(tube.residual_delta_e_00 or 0.0 for tube in tubes_in(tubes, parts))
    missed = np.sqrt(max(worst**2 - INSTRUMENT_DELTA_E_00**2, 0.0))
    net = (parts / parts.sum())[None]
    by_k, by_s = palette.slopes_by_band(net)
    by_tube = by_k @ palette.absorption.T + by_s @ palette.scattering.T
    return _of_mixing(palette, tubes, net, by_k, by_tube)[0] + _about(lab, float(missed))


def tubes_in(tubes: Sequence[Tube], parts: Array) -> list[Tube]:
    """Return the tubes that a mix of ``parts`` (tubes,) holds."""
    return [tube for tube, share in zip(tubes, parts, strict=True) if share > 0.0]


def _about(lab: Array, delta_e_00: float) -> Array:
    """Return the covariance, (3, 3), of an error of such a size in every direction."""
    return delta_e_00**2 / 3.0 * np.linalg.inv(metric(lab))


def uncertainty(lab: Array, spread: Array) -> tuple[float, float]:
    """Return the dE00 that half, and nine in ten, of real colours lie within.

    ``spread`` is a covariance (3, 3) about ``lab``; the draws are fixed.
    """
    values, vectors = np.linalg.eigh(spread)
    off = normal_draws(3) * np.sqrt(np.maximum(values, 0.0)) @ vectors.T
    distances = np.sqrt(np.einsum("ni,ij,nj->n", off, metric(lab), off))
    p50, p90 = np.percentile(distances, [50.0, 90.0])
    return float(p50), float(p90)


INSTRUMENT_DELTA_E_00 = 0.2
"""What a good fit misses of its own swatches, by the instrument's noise alone (own trials)."""


# The error to expect of a recipe: from the target to the puddle that a real hand mixes of real
# tubes. Of many recipes at once, and in the metric of colour difference, so that |x| is dE00.


class Spreads(NamedTuple):
    """What recipes are off by, as covariances (n, 3, 3) in dE00: by the hand, and by the box.

    The box's is that of `covariance`: its tubes and the paint model.
    """

    hand: Array
    box: Array

    @property
    def both(self) -> Array:
        """Both together, (n, 3, 3)."""
        return self.hand + self.box


def spreads(entries: Entries, parts: Array, m: Array) -> Spreads:
    """Forecast what hand and box add to recipes, to first order.

    Args:
        entries: of the box.
        parts: (n, entries), of any sum.
        m: the root of the metric of colour difference at the target, (3, 3); see `root`.
    """
    parts = parts / parts.sum(axis=1, keepdims=True)
    net, palette = parts @ entries.net, entries.tube_palette
    by_k, by_s = (m @ slopes for slopes in palette.slopes_by_band(net))
    by_tube = by_k @ palette.absorption.T + by_s @ palette.scattering.T
    of_tubes = _of_tubes(entries, net, np.concatenate([by_k, by_s], axis=-1))
    return Spreads(
        _by_hand(entries, parts, by_tube),
        of_tubes + _of_mixing(palette, entries.box.tubes, net, by_k, by_tube),
    )


def _by_hand(entries: Entries, parts: Array, by_tube: Array) -> Array:
    laid = (by_tube @ entries.net.T) * (part_errors(parts) * parts)[:, None]
    own = entries.net[np.arange(len(entries.items)), entries.tube_index]
    made = LET_DOWN_ERROR * parts * own * entries.is_let_down
    let_down = by_tube[:, :, entries.tube_index] * made[:, None]
    return _squared(laid) + _squared(let_down)


def _of_tubes(entries: Entries, net: Array, by_band: Array) -> Array:
    slopes, ways = by_band.astype(np.float32), _all_ways(entries)  # in half the work
    by_way = product(slopes.reshape(-1, 2 * BANDS), ways.reshape(-1, 2 * BANDS).T)
    off = by_way.reshape(*by_band.shape[:2], *ways.shape[:2]) * net[:, None, :, None]
    return _squared(off.reshape(*by_band.shape[:2], -1))


def _of_mixing(
    palette: Palette, tubes: Sequence[Tube], net: Array, by_k: Array, by_tube: Array
) -> Array:
    """Return what the model misses of mixtures that no swatch shows, (n, 3, 3).

    ``net`` (n, tubes) are shares, ``by_k`` and ``by_tube`` the slopes of their colour.
    """
    white = net @ np.array([tube.is_white for tube in tubes], dtype=float)
    open_ln_k = np.hypot(MIXED_LN_K, UNMIXED_WHITE_LN_K * (1.0 - white))
    by_ln_k = by_k * (net @ palette.absorption)[:, None]
    alike = np.stack([by_ln_k.sum(axis=2), by_ln_k @ TILT], axis=2) * open_ln_k[:, None, None]
    stronger = np.array([tube.doubt_in_colours for tube in tubes])
    blacks = by_tube * (net * stronger * (1.0 - white[:, None] - net))[:, None]
    return (1.0 - net.max(axis=1))[:, None, None] * _squared(alike) + _squared(blacks)


def _squared(columns: Array) -> Array:
    """Return the covariances, (n, 3, 3), of independent errors (n, 3, any number)."""
    return columns @ np.swapaxes(columns, 1, 2)


@functools.lru_cache(8)
def _all_ways(entries: Entries) -> Array:
    """Return the ways in which K and S of each tube may be off, (tubes, ways, 62)."""
    of_each = [ways_of(tube) for tube in entries.box.tubes]
    ways = np.zeros((len(of_each), max(map(len, of_each)), 2 * BANDS), np.float32)
    for row, tube, off in zip(ways, entries.box.tubes, of_each, strict=True):
        row[: len(off)] = off * np.concatenate([tube.absorption, tube.scattering])
    return ways


P90 = 1.2816
"""The normal deviate that nine in ten lie below."""


def distance_within(off: Array, spread: Array, deviate: float = 0.0) -> Array:
    """Return how far colours lie from their target, (n,): half of them, or as ``deviate`` says.

    Args:
        off: how far each mean lies from the target, (n, 3) in dE00.
        spread: their covariances about it, (n, 3, 3).
        deviate: 0 for the median, `P90` for nine in ten.

    The squared distance is a weighted sum of chi-squares, here taken as one chi-square of the same
    mean and variance (Patnaik 1949, Biometrika 36, 202-232, doi:10.1093/biomet/36.1-2.202), whose
    cube root is all but normal (Wilson and Hilferty 1931, PNAS 17, 684-688,
    doi:10.1073/pnas.17.12.684).
    """
    mean = np.sum(off**2, axis=1) + np.trace(spread, axis1=1, axis2=2)
    through = (spread @ off[:, :, None])[:, :, 0]
    variance = 2.0 * np.sum(spread**2, axis=(1, 2)) + 4.0 * np.sum(off * through, axis=1)
    ninth = variance / np.maximum(9.0 * mean**2, 1e-12)  # 2 / (9 degrees of freedom)
    return np.sqrt(mean * np.maximum(1.0 - ninth + deviate * np.sqrt(ninth), 0.0) ** 3)


def ways_off(lab: Array, target_lab: Array, m: Array) -> Array:
    """Return which way colours (n, 3) lie from their target, (n, 3), each of length 1 in dE00."""
    way = (lab - target_lab) @ m
    unit: Array = way / np.maximum(np.linalg.norm(way, axis=1), 1e-9)[:, None]
    return unit


def expected_of(laid: Array, spread: Array, target_lab: Array) -> tuple[float, float]:
    """Return the dE00 that half, and nine in ten, of real puddles of one recipe lie within.

    Args:
        laid: its Lab as the hand lays it out, (draws, 3).
        spread: the covariance of the Lab of exact parts, (3, 3).
        target_lab: (3,).
    """
    m = root(metric(target_lab))
    mean = laid.mean(axis=0, keepdims=True)
    off = ways_off(mean, target_lab, m) * delta_e_00(mean, target_lab)[:, None]
    both = m @ (np.cov(laid, rowvar=False) + spread) @ m
    p50, p90 = (distance_within(off, both[None], deviate)[0] for deviate in (0.0, P90))
    return float(p50), float(p90)
