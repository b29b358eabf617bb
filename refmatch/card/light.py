"""The light on the page, read from its plain paper: how it falls, and of how many kinds it is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.card.find import Found
from refmatch.card.layout import Frame, Window
from refmatch.card.patch import pixels_of, summarise
from refmatch.card.shading import Shading, fit_shading
from refmatch.colorimetry.lab import delta_e_00, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import CardError
from refmatch.flag import Flag
from refmatch.photo.photo import Photo

CLIPPED_SHARE = 0.1
MOST_CLIPPED = 0.4
UNEVEN_LIGHT = 0.4
ROUGH_LIGHT = 0.02
MIXED_LIGHT_DELTA_E_00 = 3.0
"""Where paper counts as blown out, a page as lost, and where the flags begin; our own choice."""


@dataclass(frozen=True, eq=False)
class PageLight:
    """The shading on a page, and its paper's own XYZ (3,) with that divided out."""

    shading: Shading
    paper: Array
    flags: tuple[Flag, ...]


def light_on(photo: Photo, card: Frame[Window], found: Found) -> PageLight:
    """Return how the light falls on a page; paper that is blown out does not count.

    Raises:
        CardError: too much of the paper is blown out.
    """
    places = [each.place for each in card.papers_on(found.page)]
    pixels = [pixels_of(photo, found.homography, place) for place in places]
    patches = [summarise(each, np.ones(len(each.xyz))) for each in pixels]
    clipped = np.array([(patch.clipped_high > CLIPPED_SHARE).any() for patch in patches])
    if clipped.mean() > MOST_CLIPPED:
        raise CardError("paper_blown_out", photo=photo.path.name)
    seen = np.array([patch.xyz for patch in patches])[~clipped]
    points = np.array([place.centre_mm for place in places])[~clipped]
    shading = fit_shading(points, seen[:, 1])
    even = seen / shading.at(points)[:, None]
    paper = np.average(even, axis=0, weights=shading.used)
    return PageLight(shading, paper, _flags(shading, even, paper, int(clipped.sum())))


def _flags(shading: Shading, even: Array, paper: Array, clipped: int) -> tuple[Flag, ...]:
    lab = xyz_to_lab(even[shading.used > 0.5], paper)
    apart = float(np.percentile(delta_e_00(lab[:, None], lab[None]), 98.0))
    found = []
    if clipped:
        found.append(Flag("paper_clipped", places=clipped))
    if shading.evenness < UNEVEN_LIGHT:
        found.append(Flag("uneven_light", percent=100.0 * shading.evenness))
    if shading.residual > ROUGH_LIGHT:
        found.append(Flag("rough_light", percent=100.0 * shading.residual))
    if apart >= MIXED_LIGHT_DELTA_E_00:
        found.append(Flag("mixed_light", apart=apart))
    return tuple(found)
