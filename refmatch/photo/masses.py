"""Which colours of a picture belong together: from pixels to masses.

A painter squints and counts the masses. Clustering every pixel alike would give them
all to the large dull areas; so pixels are first gathered into small cells of CIELAB,
and a cell's say grows with less than its area. What is still far from every mass and
yet large enough to see becomes a mass of its own: the one red apple stays. Pixels on
the border of two things are mixtures of both that nobody paints, and have little say.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.lab import delta_e_00, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.photo.clusters import Labels, growing_k_means, means_by_label, squared_distances
from refmatch.photo.opencv import opencv

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
    `BORDER_SAY`). ``of_pixel`` (pixels,) tells the cell of each pixel.
    """

    lab: Array
    xyz: Array
    area: Array
    solid: Array
    of_pixel: Labels


def cells_of(xyz: Array) -> Cells:
    """Gather a picture, XYZ (rows, columns, 3) with white Y = 1, into cells of CIELAB."""
    picture = xyz_to_lab(xyz, PHOTO_WHITE)
    lab, light = picture.reshape(-1, 3), np.asarray(xyz, dtype=float).reshape(-1, 3)
    index = np.floor(lab / CELL).astype(np.int64) + 512
    key = (index[:, 0] * 1024 + index[:, 1]) * 1024 + index[:, 2]
    _, of_pixel, area = np.unique(key, return_inverse=True, return_counts=True)
    nothing, ones = np.zeros((len(area), 3)), np.ones(len(lab))
    return Cells(
        lab=means_by_label(lab, ones, of_pixel, nothing),
        xyz=means_by_label(light, ones, of_pixel, nothing),
        area=area.astype(float),
        solid=np.bincount(of_pixel, _say(picture).ravel()).astype(float),
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
        found = int(merged.max()) + 1
        if found <= count and found > int(best.max()) + 1:
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
