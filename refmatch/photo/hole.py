"""The punched-hole mask: one colour of the photo, alone, measured.

The old remedy for an eye fooled by its surroundings is a card with a hole.
A hole here covers pixels by fractions, is averaged as light and not as codes,
and says how far its one colour can be trusted.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.lab import delta_e_00, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.errors import HoleError
from refmatch.flag import Flag
from refmatch.photo.decoded import Bools
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Photo

if TYPE_CHECKING:
    from refmatch.photo.light.balance import Balance


# How much of each pixel a circle covers, exactly.


def coverage(x_edges: Array, y_edges: Array) -> Array:
    """Return the area that the unit disc has in each cell of a grid.

    Args:
        x_edges: columns' edges, shape (columns + 1,), in radii from the centre.
        y_edges: rows' edges, shape (rows + 1,), likewise.

    Returns:
        areas, shape (rows, columns), in squared radii; a grid around the
        whole disc sums to pi. Each is the mixed difference of `_area_below`
        at its four corners, so that no shape of overlap is a special case.
    """
    below = _area_below(np.asarray(x_edges)[None, :], np.asarray(y_edges)[:, None])
    return np.maximum(np.diff(np.diff(below, axis=0), axis=1), 0.0)


def covered_pixels(rows: slice, columns: slice, x: float, y: float, radius: float) -> Array:
    """Return the area a circle has in each pixel of a window, 0 to 1, (rows, columns)."""
    x_edges = (np.arange(columns.start, columns.stop + 1) - x) / radius
    y_edges = (np.arange(rows.start, rows.stop + 1) - y) / radius
    return coverage(x_edges, y_edges) * radius**2


def span(centre: float, radius: float, size: int) -> slice:
    """Return the pixels from 0 to ``size`` that a circle may touch along one axis."""
    start = min(max(math.floor(centre - radius), 0), size)
    return slice(start, max(start, min(math.ceil(centre + radius), size)))


def _area_below(x: Array, y: Array) -> Array:
    """Return the area of the part of the unit disc left of ``x`` and above ``y``."""
    x, y = np.clip(x, -1.0, 1.0), np.clip(y, -1.0, 1.0)
    half_chord = np.sqrt(1.0 - y**2)
    within = np.clip(x, -half_chord, half_chord)
    cap = (
        _half_disc(within)
        - _half_disc(-half_chord)
        - np.abs(y) * (within + half_chord)  # the cap beyond the chord at |y|, left of x
    )
    return np.where(y < 0.0, cap, 2.0 * _half_disc(x) - cap)


def _half_disc(x: Array) -> Array:
    """Integrate sqrt(1 - u^2) from -1 to ``x``."""
    area: Array = 0.5 * (x * np.sqrt(1.0 - x**2) + np.arcsin(x) + np.pi / 2.0)
    return area


# A hole in the card, and the light of the pixels under it.

MOST_PIXELS = 250_000
"""A wider hole is averaged over small squares first, a few rows at a time."""


DEFAULT_DIAMETER_PERCENT = 2.0
LEAST_DIAMETER_PX = 9.0
"""A hole given in percent, or not given, is never narrower; one given in pixels is as given."""


@dataclass(frozen=True, slots=True)
class Hole:
    """A round hole in the card: centre and diameter in the photo's pixels."""

    x_px: float
    y_px: float
    diameter_px: float
    label: str = ""


def pixels_under(photo: Photo, hole: Hole) -> tuple[Array, Array, Array]:
    """Return the unbalanced linear light under a hole, each pixel with its coverage.

    That is XYZ (n, 3), the share that is clipped (n,), and the area covered (n,) in pixels.

    Under a very wide hole these are squares of pixels, averaged by coverage,
    so that neither the mean nor the area changes.

    Raises:
        HoleError: no part of the hole lies on the photo or on what is not transparent there, or
            it has no width.
    """
    radius = hole.diameter_px / 2.0
    if not radius > 0.0:
        raise HoleError("hole_without_width", hole=hole.label)
    rows = span(hole.y_px, radius, photo.height_px)
    columns = span(hole.x_px, radius, photo.width_px)
    width = columns.stop - columns.start
    side = max(1, math.ceil(math.sqrt((rows.stop - rows.start) * width / MOST_PIXELS)))
    step = side * max(1, MOST_PIXELS // max(1, side * width))
    tops = range(rows.start, rows.stop, step) if width else ()
    strips = [
        _strip(photo, hole, slice(top, min(top + step, rows.stop)), columns, side) for top in tops
    ]
    summed = np.concatenate(strips) if strips else np.empty((0, 5))
    if not len(summed) and tops and photo.opaque is not None:
        raise HoleError("hole_on_nothing", hole=hole.label, x_px=hole.x_px, y_px=hole.y_px)
    if not len(summed):
        raise HoleError(
            "hole_outside_photo",
            hole=hole.label,
            x_px=hole.x_px,
            y_px=hole.y_px,
            width_px=photo.width_px,
            height_px=photo.height_px,
        )
    weights = summed[:, 4]
    return summed[:, :3] / weights[:, None], summed[:, 3] / weights, weights


def _strip(photo: Photo, hole: Hole, rows: slice, columns: slice, side: int) -> Array:
    """Sum XYZ, clipped and coverage over the squares of some rows, (n, 5), empty ones left out."""
    window = rows.start, columns.start, rows.stop - rows.start, columns.stop - columns.start
    covered = covered_pixels(rows, columns, hole.x_px, hole.y_px, hole.diameter_px / 2.0)
    if photo.opaque is not None:
        covered = covered * photo.opaque[rows, columns]
    values = np.empty((*covered.shape, 5))
    values[..., :3] = photo.linear(*window) * covered[..., None]
    values[..., 3] = photo.clipped(*window) * covered
    values[..., 4] = covered
    if side > 1:
        values = np.add.reduceat(values, np.arange(0, window[2], side), axis=0)
        values = np.add.reduceat(values, np.arange(0, window[3], side), axis=1)
    return values[values[..., 4] > 0.0]


# One colour out of many pixels: medians, specks left out, two colours told apart.

SPECK_DISTANCE = 3.0
"""How many median distances away a pixel must be to count as a speck.

For Gaussian noise, alike in three dimensions, that is 4.6 standard deviations:
one pixel in 11 000.
"""

LEAST_SPECK_DISTANCE = 3.0
"""A pixel nearer than this in Lab is never a speck, however even the rest."""

TWO_COLOURS_SHARE = 0.15
MOST_SPECKS = TWO_COLOURS_SHARE
"""More than this is no speck but a second colour, and everything is kept."""

TWO_COLOURS_DELTA_E_00 = 6.0
TWO_COLOURS_EXPLAINED = 0.85
"""Two colours explain more of the variance than an even ramp cut in two (0.75)."""


def weighted_median(values: Array, weights: Array) -> Array:
    """Return the weighted median of each column; (n,) gives (), (n, k) gives (k,)."""
    columns = values[:, None] if values.ndim == 1 else values
    order = np.argsort(columns, axis=0)
    summed = np.cumsum(np.asarray(weights)[order], axis=0)
    middle = np.argmax(summed >= summed[-1] / 2.0, axis=0)
    places = order[middle, np.arange(columns.shape[1])]
    medians = columns[places, np.arange(columns.shape[1])]
    return medians[0] if values.ndim == 1 else medians


def keep_all_but_specks(lab: Array, weights: Array) -> Bools:
    """Tell the pixels to average from a few specks, hairs or glints among them.

    A speck lies further in Lab from the weighted median colour than
    `SPECK_DISTANCE` times the median such distance. Where more than
    `MOST_SPECKS` of the hole would go, nothing is left out.

    Args:
        lab: (n, 3).
        weights: coverage, (n,).

    Returns:
        Which pixels to keep, (n,).
    """
    distance = np.linalg.norm(lab - weighted_median(lab, weights), axis=1)
    limit = max(SPECK_DISTANCE * float(weighted_median(distance, weights)), LEAST_SPECK_DISTANCE)
    keep: Bools = distance <= limit
    dropped = weights[~keep].sum() / weights.sum()
    return keep if dropped <= MOST_SPECKS else np.ones_like(keep)


def two_colours(lab: Array, weights: Array) -> bool:
    """Say whether two distinct colours share the pixels.

    The pixels are cut in two along their main direction in Lab where the two
    parts' variance between is largest (Otsu 1979, doi:10.1109/TSMC.1979.4310076);
    they are two colours if both parts are sizeable, far apart, and each close.
    """
    mean = np.average(lab, axis=0, weights=weights)
    away = lab - mean
    covariance = (away * weights[:, None]).T @ away / weights.sum()
    variances, directions = np.linalg.eigh(covariance)
    if variances[-1] <= 1e-9:
        return False
    along = away @ directions[:, -1]
    order = np.argsort(along)
    share = np.cumsum(weights[order])[:-1] / weights.sum()
    moment = np.cumsum((weights * along)[order])[:-1] / weights.sum()
    between = moment**2 / np.maximum(share * (1.0 - share), 1e-12)
    cut = int(np.argmax(between))
    if not TWO_COLOURS_SHARE <= share[cut] <= 1.0 - TWO_COLOURS_SHARE:
        return False
    low, high = order[: cut + 1], order[cut + 1 :]
    apart = delta_e_00(
        np.average(lab[low], axis=0, weights=weights[low]),
        np.average(lab[high], axis=0, weights=weights[high]),
    )
    explained = between[cut] / variances[-1]
    return bool(explained >= TWO_COLOURS_EXPLAINED and apart >= TWO_COLOURS_DELTA_E_00)


FEWEST_PIXELS = 25.0
UNEVEN_DELTA_E_00 = 4.0
CLIPPED_SHARE = 0.02
SPECKS_DELTA_E_00 = 1.0
"""Where the flags begin; our own choice. 4 dE00 is where two dabs are plainly two, 1 where
a difference is just seen: specks that move the colour less are left out without a word."""


@dataclass(frozen=True, eq=False)
class Sample:
    """The colour seen through one ``hole``.

    ``lab`` (3,) under the ICC D50 white, of the mean light of the pixels kept;
    ``covariance`` (3, 3) that of their Lab about it: the texture within the
    hole, more than chance does to the mean; errors of camera and balance are not in
    it. ``spread_delta_e_00`` is their median distance from the mean.
    ``clipped_fraction`` is of the whole hole, ``excluded_fraction`` the part left out
    as specks or glare, and
    ``pixels`` the sum of coverage, the hole's area within the photo.
    """

    hole: Hole
    lab: Array
    covariance: Array
    spread_delta_e_00: float
    clipped_fraction: float
    excluded_fraction: float
    pixels: float
    flags: tuple[Flag, ...] = ()


def sample(photo: Photo, balance: Balance, hole: Hole) -> Sample:
    """Measure the colour within a hole, at the photo's full resolution.

    Specks and glare, where they are few, are left out; see
    `keep_all_but_specks`.

    Raises:
        HoleError: no part of the hole lies on the photo, or it has no width.
    """
    as_shot, clipped, weights = pixels_under(photo, hole)
    xyz = as_shot @ balance.matrix.T
    lab = xyz_to_lab(xyz, PHOTO_WHITE)
    keep = keep_all_but_specks(lab, weights)
    kept = np.where(keep, weights, 0.0)
    mean = xyz_to_lab(np.average(xyz, axis=0, weights=kept), PHOTO_WHITE)
    whole = xyz_to_lab(np.average(xyz, axis=0, weights=weights), PHOTO_WHITE)
    excluded_fraction = float(1.0 - kept.sum() / weights.sum())
    away = lab - mean
    spread = float(weighted_median(delta_e_00(lab, mean), kept))
    clipped_fraction = float(np.average(clipped, weights=weights))
    return Sample(
        hole=hole,
        lab=mean,
        covariance=(away * kept[:, None]).T @ away / kept.sum(),
        spread_delta_e_00=spread,
        clipped_fraction=clipped_fraction,
        excluded_fraction=excluded_fraction,
        pixels=float(weights.sum()),
        flags=_flags(hole, lab, weights, spread, clipped_fraction)
        + _speck_flags(float(delta_e_00(mean, whole)), excluded_fraction),
    )


def _flags(
    hole: Hole, lab: Array, weights: Array, spread: float, clipped: float
) -> tuple[Flag, ...]:
    area = math.pi * (hole.diameter_px / 2.0) ** 2
    pixels = float(weights.sum())
    raised = {
        Flag("partly_outside"): pixels < area * (1.0 - 1e-6),
        Flag("too_few_pixels", pixels=pixels): pixels < FEWEST_PIXELS,
        Flag("clipped", of="hole", share=clipped): clipped >= CLIPPED_SHARE,
        Flag("two_colours"): two_colours(lab, weights),
        Flag("uneven"): spread > UNEVEN_DELTA_E_00,
    }
    return tuple(flag for flag, is_so in raised.items() if is_so)


def _speck_flags(moved: float, excluded: float) -> tuple[Flag, ...]:
    """Say that specks were left out, where with them the colour would look another."""
    if moved < SPECKS_DELTA_E_00:
        return ()
    return (Flag("specks_left_out", share=excluded),)


# Where to punch the hole that shows a mass: well inside it, and of its very colour.

NARROWER, NARROWEST_PX = (1.0, 0.7, 0.5, 0.35), 6.0
"""Hole widths tried, as parts of the usual one, down to one that still holds 28 pixels."""

GOOD_ENOUGH = 2.0
"""A place this near the mass's colour (dE00) is taken at once, however wide the hole."""

OUTSIDE_COST = 10.0
"""What a hole centred on the mass's border would have to gain in dE00 to be worth it."""

DEEP_WORTH, UNEVEN_COST = 0.5, 0.2
"""What lying two diameters inside the mass is worth in dE00, and what a unit of CIELAB
in the standard deviation of the hole's colours costs: rules of thumb of our own."""

CANDIDATES = 200


def holes_for(
    xyz: Array, labels: npt.NDArray[np.int16], labs: Array, scale: float
) -> tuple[Hole, ...]:
    """Return a hole to punch for each mass.

    ``xyz`` (rows, columns, 3) is the balanced small picture, ``labels`` (rows,
    columns) tells the mass of each pixel, ``labs`` (k, 3) the masses' colours,
    ``scale`` small pixels per pixel of the photo.
    """
    usual = max(DEFAULT_DIAMETER_PERCENT / 100.0 * min(labels.shape) / scale, LEAST_DIAMETER_PX)
    widths = sorted({max(usual * part, NARROWEST_PX) for part in NARROWER}, reverse=True)
    inside = [_depth(labels == i) for i in range(len(labs))]
    light, colours = np.asarray(xyz, dtype=float), xyz_to_lab(xyz, PHOTO_WHITE)
    best: list[tuple[float, Hole]] = [(math.inf, Hole(0.0, 0.0, usual))] * len(labs)
    for width in widths:
        radius = width * scale / 2.0
        shown, uneven = _through_hole(light, colours, radius)
        for i, lab in enumerate(labs):
            if best[i][0] > GOOD_ENOUGH:
                extra = _cost_of_lying(inside[i] / radius) + UNEVEN_COST * uneven
                cost, row, column = _best_centre(shown, extra, inside[i] > 0.0, lab)
                if cost < best[i][0]:
                    best[i] = cost, Hole((column + 0.5) / scale, (row + 0.5) / scale, width)
    return tuple(hole for _, hole in best)


def _depth(mask: npt.NDArray[np.bool_]) -> Array:
    """Return how far inside the mask each pixel's centre lies, in pixels, 0 outside it.

    The picture's edge is a border like any other, so that no hole hangs over it.
    """
    cv2 = opencv()
    padded = np.pad(mask, 1).astype(np.uint8)
    depth = cv2.distanceTransform(padded, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)[1:-1, 1:-1]
    return np.asarray(np.maximum(depth - 0.5, 0.0))


def _through_hole(xyz: Array, lab: Array, radius_px: float) -> tuple[Array, Array]:
    """Return what a hole centred on each pixel shows: its mean as Lab, and how uneven it is.

    Shapes (rows, columns, 3) and (rows, columns), the latter the standard deviation
    of CIELAB within the hole.
    """
    reach = max(math.ceil(radius_px - 0.5), 0)
    edges = (np.arange(-reach, reach + 2) - 0.5) / radius_px
    disc = coverage(edges, edges)
    disc /= disc.sum()
    filtered = opencv().filter2D
    mean_square = filtered(np.sum(lab**2, axis=2), -1, disc)
    variance = mean_square - np.sum(filtered(lab, -1, disc) ** 2, axis=2)
    shown = xyz_to_lab(filtered(xyz, -1, disc), PHOTO_WHITE)
    return shown, np.sqrt(np.maximum(variance, 0.0))


def _cost_of_lying(depth: Array) -> Array:
    """Return what it costs in dE00 to lie so many radii inside the mass."""
    outside = OUTSIDE_COST * np.maximum(1.0 - depth, 0.0)
    return np.asarray(outside - DEEP_WORTH * np.minimum(depth / 4.0, 1.0))


def _best_centre(
    shown: Array, extra: Array, mask: npt.NDArray[np.bool_], lab: Array
) -> tuple[float, int, int]:
    """Return (cost in dE00, row, column) of the best centre within the mask."""
    rows, columns = np.nonzero(mask)
    extra = extra[rows, columns]
    roughly = np.sqrt(np.sum((shown[rows, columns] - lab) ** 2, axis=1)) + extra
    likeliest = np.argsort(roughly, kind="stable")[:CANDIDATES]
    rows, columns, extra = rows[likeliest], columns[likeliest], extra[likeliest]
    cost = delta_e_00(shown[rows, columns], lab) + extra
    best = int(np.argmin(cost))
    return float(cost[best]), int(rows[best]), int(columns[best])
