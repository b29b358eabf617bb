"""Families: the few colours a picture is made of, the masses a painter mixes first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.hues import hue_name, munsell_value
from refmatch.colorimetry.lab import delta_e_00, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.colorimetry.words import chroma_word
from refmatch.errors import UsageError
from refmatch.photo.hole import Hole, holes_for
from refmatch.photo.light.balance import Balance
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Photo, Working, overview

# Sorting colours into a few kinds, the same way every time.
#
# Plain k-means depends on where it starts and on the machine's arithmetic. Here the
# solution for k kinds grows from that for k - 1 by the one new centre that helps most,
# so there is no chance in it, and all counts come out of one run. Sums are formed
# without matrix products, whose rounding changes with the number of threads.

Labels = npt.NDArray[np.intp]

CANDIDATES = 64
"""How many colours, worst served first, are tried as the next centre."""

MOST_STEPS = 60


@dataclass(frozen=True, eq=False)
class Clustering:
    """``centres`` (k, 3), ``labels`` (n,) and the weighted sum of squared distances."""

    centres: Array
    labels: Labels
    inertia: float


def growing_k_means(points: Array, weights: Array, most: int) -> Iterator[Clustering]:
    """Yield the k-means solution for 1, 2, ... ``most`` centres.

    Points (n, 3), weights (n,) above 0. Fewer are yielded where there are fewer
    different points. Source: fast global k-means, Likas, Vlassis & Verbeek 2003,
    Pattern Recognition 36, 451-461, doi:10.1016/S0031-3203(02)00060-2, section 3,
    with the candidates limited to the colours served worst.
    """
    centres = np.average(points, axis=0, weights=weights)[None, :]
    clustering = lloyd(points, weights, centres)
    yield clustering
    while len(clustering.centres) < most and clustering.inertia > 1e-9:
        nearest = squared_distances(clustering.centres, points).min(axis=0)
        new = _most_helpful(points, weights, nearest)
        clustering = lloyd(points, weights, np.vstack([clustering.centres, new]))
        yield clustering


def lloyd(points: Array, weights: Array, centres: Array) -> Clustering:
    """Move centres to the means of what is nearest to them until nothing changes."""
    labels = np.full(len(points), -1, dtype=np.intp)
    for _ in range(MOST_STEPS):
        moved = squared_distances(centres, points).argmin(axis=0)
        if np.array_equal(moved, labels):
            break
        labels = moved
        centres = means_by_label(points, weights, labels, centres)
    distances = squared_distances(centres, points)
    inertia = float(np.sum(weights * distances.min(axis=0)))
    return Clustering(centres, distances.argmin(axis=0), inertia)


def means_by_label(points: Array, weights: Array, labels: Labels, otherwise: Array) -> Array:
    """Return the weighted mean of each label's points, (k, 3), ``otherwise`` where it has none."""
    count = len(otherwise)
    total = np.bincount(labels, weights, count)
    sums = [np.bincount(labels, weights * points[:, i], count) for i in range(points.shape[1])]
    means = np.stack(sums, axis=1) / np.maximum(total, 1e-300)[:, None]
    return np.where(total[:, None] > 0.0, means, otherwise)


def squared_distances(centres: Array, points: Array) -> Array:
    """Return the squared distance from each centre to each point, shape (k, n)."""
    away = centres[:, None, 0] - np.ascontiguousarray(points[:, 0])
    total = np.square(away)
    for i in range(1, points.shape[1]):
        np.subtract(centres[:, None, i], np.ascontiguousarray(points[:, i]), out=away)
        total += np.square(away, out=away)
    return np.asarray(total)


def _most_helpful(points: Array, weights: Array, nearest: Array) -> Array:
    """Return the point that, made a centre, would lower the inertia most; equation (5)."""
    worst = np.argsort(-weights * nearest, kind="stable")[:CANDIDATES]
    gain = np.maximum(nearest - squared_distances(points[worst], points), 0.0)
    help_by = np.sum(gain * weights, axis=1)
    return np.asarray(points[worst[int(np.argmax(help_by))]])


# Which colours of a picture belong together: from pixels to masses.
#
# A painter squints and counts the masses. Clustering every pixel alike would give them
# all to the large dull areas; so pixels are first gathered into small cells of CIELAB,
# and a cell's say grows with less than its area. What is still far from every mass and
# yet large enough to see becomes a mass of its own: the one red apple stays. Pixels on
# the border of two things are mixtures of both that nobody paints, and have little say.

CELL = 3.0
"""Side of a cell in L*, a* and b*: about the least that is seen as two colours."""

DAMPING = 0.6
"""A cell speaks with its area to this power: 100 times the area, 16 times the say."""

FEWEST, MOST = 3, 10
"""How many masses are looked for when the painter does not say."""

WORTH = 20.0
"""What a further mass must save in mean squared distance (CIELAB) to be worth having.

The penalty of DP-means: k-means whose number of centres is free minimises
inertia + WORTH * k (Kulis & Jordan 2012, Proc. ICML 29, equation (1)). The figure
is our own: a tenth of the picture brought 14 units nearer.
"""

NEAR_DUPLICATES = 5.0
"""Masses nearer than this (dE00) are one: half a step of Munsell value."""

NEAR_DUPLICATES_ASKED = 2.0
"""The same where the painter states a number, and so wants close ones told apart."""

BORDER_RISE, BORDER_SAY = 25.0, 0.1
"""Where CIELAB rises this much within a pixel and its neighbours, it has this much say."""

ACCENT_DISTANCE, ACCENT_CHROMATIC = 20.0, 11.0
"""An accent is this far (dE00) from its mass, or this far in chroma and hue alone."""

ACCENT_SHARE, MOST_ACCENTS = 0.0005, 3
"""Its area, borders aside: that of a spot as wide as a fortieth of the picture's side."""


@dataclass(frozen=True, eq=False)
class Cells:
    """The different colours of a picture: mean Lab and XYZ (n, 3), and their sizes (n,).

    ``area`` counts pixels, ``solid`` those that are not on a border (the others by
    `BORDER_SAY`). ``of_pixel`` (pixels,) tells the cell of each pixel that counts.
    """

    lab: Array
    xyz: Array
    area: Array
    solid: Array
    of_pixel: Labels


def cells_of(xyz: Array, covered: npt.NDArray[np.bool_] | None = None) -> Cells:
    """Gather a picture, XYZ (rows, columns, 3) with white Y = 1, into cells of CIELAB.

    ``covered`` (rows, columns) says which pixels count; None for all.
    """
    picture = xyz_to_lab(xyz, PHOTO_WHITE)
    counts = np.ones(picture.shape[:2], np.bool_) if covered is None else covered
    lab, light = picture[counts], np.asarray(xyz, dtype=float)[counts]
    index = np.floor(lab / CELL).astype(np.int64) + 512
    key = (index[:, 0] * 1024 + index[:, 1]) * 1024 + index[:, 2]
    _, of_pixel, area = np.unique(key, return_inverse=True, return_counts=True)
    nothing, ones = np.zeros((len(area), 3)), np.ones(len(lab))
    return Cells(
        lab=means_by_label(lab, ones, of_pixel, nothing),
        xyz=means_by_label(light, ones, of_pixel, nothing),
        area=area.astype(float),
        solid=np.bincount(of_pixel, _say(picture)[counts]).astype(float),
        of_pixel=of_pixel,
    )


def _say(picture: Array) -> Array:
    """Return how much each pixel of a Lab picture has to say, shape (rows, columns)."""
    cv2 = opencv()
    around = np.ones((3, 3), np.uint8)
    small = picture.astype(np.float32)
    rise = np.linalg.norm(cv2.dilate(small, around) - cv2.erode(small, around), axis=2)
    return np.where(rise > BORDER_RISE, BORDER_SAY, 1.0)


def masses_of(cells: Cells, count: int | None = None) -> Labels:
    """Return the mass of each cell, numbered from 0 by area, largest first, shape (n,).

    With ``count`` there are that many, or as many as the picture has different
    colours; otherwise `WORTH` decides.
    """
    weights = cells.solid**DAMPING
    weights = weights / weights.sum()
    most = MOST if count is None else count + 4
    runs = list(growing_k_means(cells.lab, weights, most))
    if count is None:
        cost = [run.inertia + WORTH * len(run.centres) for run in runs]
        best = max(int(np.argmin(cost)) + 1, min(FEWEST, len(runs)))
        return _with_accents(cells, _merged(cells, runs[best - 1].labels, NEAR_DUPLICATES))
    return _as_many_as(cells, [run.labels for run in runs], count)


def mean_labs(cells: Cells, labels: Labels) -> Array:
    """Return the Lab of each mass, the mean of its light by area, shape (k, 3)."""
    count = int(labels.max()) + 1
    mean = means_by_label(cells.xyz, cells.area, labels, np.zeros((count, 3)))
    return xyz_to_lab(mean, PHOTO_WHITE)


def _as_many_as(cells: Cells, runs: list[Labels], count: int) -> Labels:
    """Return the first division of ``count`` masses, else the largest that has fewer."""
    best = np.zeros(len(cells.area), dtype=np.intp)
    for labels in runs[max(count - 1 - MOST_ACCENTS, 0) :][::-1]:
        merged = _with_accents(cells, _merged(cells, labels, NEAR_DUPLICATES_ASKED), most=count)
        left = int(merged.max()) + 1
        if left <= count and left > int(best.max()) + 1:
            best = merged
    return best


def _merged(cells: Cells, labels: Labels, nearer_than: float) -> Labels:
    """Join the nearest two masses until all are ``nearer_than`` (dE00) apart or more."""
    labels = _by_area(cells, labels)
    while labels.max() > 0:
        labs = mean_labs(cells, labels)
        apart = delta_e_00(labs[:, None], labs[None, :])
        apart[np.tril_indices(len(labs))] = np.inf
        one, other = np.unravel_index(int(np.argmin(apart)), apart.shape)
        if apart[one, other] >= nearer_than:
            break
        labels = _by_area(cells, np.where(labels == other, one, labels))
    return labels


def _with_accents(cells: Cells, labels: Labels, most: int = MOST + MOST_ACCENTS) -> Labels:
    """Give what is far from its mass, and large enough to see, a mass of its own."""
    for _ in range(MOST_ACCENTS):
        labs = mean_labs(cells, labels)
        own = labs[labels]
        far = _stands_out(cells.lab, own)
        if len(labs) >= most or not far.any():
            break
        accent = _largest_group(cells.lab[far], cells.solid[far])
        nearer = np.sum((cells.lab - accent) ** 2, axis=1) < np.sum((cells.lab - own) ** 2, axis=1)
        joins = nearer & ~_stands_out(cells.lab, accent[None, :])
        if cells.solid[joins & far].sum() < ACCENT_SHARE * cells.area.sum():
            break
        labels = _by_area(cells, np.where(joins, len(labs), labels))
    return labels


def _stands_out(lab: Array, mass: Array) -> npt.NDArray[np.bool_]:
    """Say which colours (n, 3) would be missed if they were painted as their mass."""
    level = np.concatenate([np.broadcast_to(mass[:, :1], (len(lab), 1)), lab[:, 1:]], axis=1)
    by_chroma_and_hue = delta_e_00(level, mass) > ACCENT_CHROMATIC
    return np.asarray(by_chroma_and_hue | (delta_e_00(lab, mass) > ACCENT_DISTANCE))


def _largest_group(lab: Array, area: Array) -> Array:
    """Return the colour, of those given, that has the most area within 12 units of itself."""
    likeliest = np.argsort(-area, kind="stable")[:200]
    near = squared_distances(lab[likeliest], lab) < 12.0**2
    return np.asarray(lab[likeliest[int(np.argmax(np.sum(near * area, axis=1)))]])


def _by_area(cells: Cells, labels: Labels) -> Labels:
    """Renumber masses from 0 by area, largest first; empty numbers vanish."""
    area = np.bincount(labels, cells.area)
    order = np.argsort(-area, kind="stable")
    rank = np.empty(len(order), dtype=np.intp)
    rank[order] = np.arange(len(order))
    return rank[labels]


MOST_FAMILIES = 24
LEFT_OUT = -1


@dataclass(frozen=True, eq=False)
class Family:
    """One mass: its colour, how much of the picture it is, and where to punch a hole for it.

    ``lab`` (3,) is of the mean light of its pixels, D50. ``share`` is 0 to 1;
    ``spread_delta_e_00`` the median dE00 of its pixels from ``lab``; through the
    ``hole`` a colour close to ``lab`` is seen.
    """

    label: str
    lab: Array
    share: float
    spread_delta_e_00: float
    hole: Hole


@dataclass(frozen=True, eq=False)
class Families:
    """The families of a picture, largest first, and which pixel belongs to which.

    ``labels`` (rows, columns) holds the family's index in ``items``, `LEFT_OUT` where the photo
    is transparent, on a picture of ``scale`` pixels per pixel of the photo.
    """

    items: tuple[Family, ...]
    labels: npt.NDArray[np.int16]
    scale: float

    def mask(self, index: int) -> npt.NDArray[np.bool_]:
        """Return where family ``index`` is, shape (rows, columns)."""
        return np.asarray(self.labels == index)


def find(photo: Photo, balance: Balance, count: int | None = None) -> Families:
    """Return the families of a photo, largest first.

    Args:
        photo: the photo.
        balance: the balance to look through.
        count: how many; None lets the picture decide, usually 3 to 10. Fewer are
            returned where the picture has not so many different colours.

    Raises:
        UsageError: ``count`` is not from 1 to 24.
    """
    return find_in(overview(photo), balance, count)


def find_in(working: Working, balance: Balance, count: int | None = None) -> Families:
    """Return the families of a small picture; see `find`.

    Raises:
        UsageError: ``count`` is not from 1 to 24.
    """
    if count is not None and not 1 <= count <= MOST_FAMILIES:
        raise UsageError("families_out_of_range", count=count, most=MOST_FAMILIES)
    xyz = np.einsum("...j,ij->...i", working.xyz, balance.matrix)
    cells = cells_of(xyz, working.covered)
    of_cell = masses_of(cells, count)
    labs = mean_labs(cells, of_cell)
    labels = np.full(xyz.shape[:2], LEFT_OUT, np.int16)
    labels[working.covered] = of_cell[cells.of_pixel]
    items = tuple(
        Family(name, lab, share, spread, hole)
        for name, lab, share, spread, hole in zip(
            names(labs),
            labs,
            (np.bincount(of_cell, cells.area) / cells.area.sum()).tolist(),
            _spreads(cells, of_cell, labs),
            holes_for(xyz, labels, labs, working.scale),
            strict=True,
        )
    )
    return Families(items, labels, working.scale)


# The neutral that was pointed to: a card laid into the scene for the photo, and no part of the
# painting.

LARGEST_CARD = 0.1
"""A patch larger than this part of the picture is a wall or a cloth, and is painted."""

MOSTLY = 0.5
"""A mass of which so much is the card is nothing else."""


def card_at(families: Families, x_px: float, y_px: float) -> npt.NDArray[np.bool_] | None:
    """Return the patch of one mass around a place in the photo, None where it is no card."""
    rows, columns = families.labels.shape
    row, column = int(y_px * families.scale), int(x_px * families.scale)
    if not (0 <= row < rows and 0 <= column < columns):
        return None
    mass = families.mask(int(families.labels[row, column])).astype(np.uint8)
    _, patches = opencv().connectedComponents(mass, connectivity=4)
    patch = np.asarray(patches == patches[row, column])
    return patch if patch.mean() <= LARGEST_CARD else None


def lies_in(patch: npt.NDArray[np.bool_], mass: Family, scale: float) -> bool:
    """Say whether the hole of a mass has its middle in a patch of the small picture."""
    return bool(patch[int(mass.hole.y_px * scale), int(mass.hole.x_px * scale)])


def beside_card(
    photo: Photo, balance: Balance, families: Families, patch: npt.NDArray[np.bool_]
) -> Families:
    """Return families whose holes lie beside a card, but for a mass that is mostly that card."""
    scale = families.scale
    (moved,) = [n for n, mass in enumerate(families.items) if lies_in(patch, mass, scale)] or [-1]
    if moved < 0 or patch.sum() > MOSTLY * families.mask(moved).sum():
        return families
    xyz = np.einsum("...j,ij->...i", overview(photo).xyz, balance.matrix)
    labels = np.where(patch, np.int16(LEFT_OUT), families.labels)
    own = np.stack([mass.lab for mass in families.items])
    hole = holes_for(xyz, labels, own, scale)[moved]
    items = tuple(
        replace(mass, hole=hole) if n == moved else mass for n, mass in enumerate(families.items)
    )
    return replace(families, items=items)


def names(labs: Array) -> list[str]:
    """Name colours (k, 3) so that no two are alike: "dark green", "dull brown (lighter)".

    No value is named: a key moves it, and a mass as a whole has not quite that of its hole.
    """
    labels = [_name(lab) for lab in labs]
    value = munsell_value(labs)
    for label in [label for label, count in Counter(labels).items() if count > 1]:
        alike = [place for place, other in enumerate(labels) if other == label]
        by_value = sorted(alike, key=lambda place: float(value[place]))
        apart = RANKS.get(len(alike), ())
        if not apart or np.diff(value[by_value]).min() < LEAST_APART:
            by_value, apart = alike[1:], tuple(map(str, range(2, len(alike) + 1)))
        for place, rank in zip(by_value, apart, strict=True):
            labels[place] = f"{label} ({rank})"
    return labels


RANKS = {2: ("darker", "lighter"), 3: ("darkest", "middle", "lightest")}
"""What tells masses of one name apart, dark to light."""

LEAST_APART = 0.25
"""Munsell values below which two are neither lighter nor darker (our own choice)."""


def _name(lab: Array) -> str:
    """Name one colour by tone, strength and hue, leaving out what goes without saying."""
    hue, value = hue_name(lab), float(munsell_value(lab))
    if hue.startswith(("black", "white")):
        return hue
    words = [hue]
    strength = chroma_word(lab)
    if not hue.startswith("grey") and strength not in ("near grey", "moderate"):
        words.insert(0, strength.removeprefix("very "))
    if value < 3.5 or value > 7.5:
        words.insert(0, "dark" if value < 3.5 else "light")
    return " ".join(words)


def _spreads(cells: Cells, of_cell: npt.NDArray[np.intp], labs: Array) -> list[float]:
    """Return the median distance (dE00) of each mass's pixels from its colour."""
    away = delta_e_00(xyz_to_lab(cells.xyz, PHOTO_WHITE), labs[of_cell])
    return [_median(away[of_cell == i], cells.area[of_cell == i]) for i in range(len(labs))]


def _median(values: Array, weights: Array) -> float:
    order = np.argsort(values, kind="stable")
    running = np.cumsum(weights[order])
    return float(values[order][int(np.searchsorted(running, running[-1] / 2.0))])
