"""Finding the card in a photo: which page it is, and where each place on it lies."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.card import refusals
from refmatch.card.detect import detect
from refmatch.card.homography import Homography, fit, tilt_deg
from refmatch.card.layout import Frame, Marker, Window
from refmatch.card.sharpness import edge_width_mm
from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.photo.photo import Photo

BENT_MM = 1.0
"""Beyond it the card is said not to be flat (our own choice): windows are read well within."""


@dataclass(frozen=True, eq=False)
class Found:
    """One page of the card in one photo.

    ``edge_mm`` is the width of the markers' edges on the page, a measure of blur, and
    ``window_px`` the shorter side of the smallest window.
    """

    page: int
    homography: Homography
    tilt_deg: float
    edge_mm: float
    window_px: float
    flags: tuple[Flag, ...] = ()


def find(photo: Photo, card: Frame[Window]) -> Found:
    """Find the one page of the card that a photo shows.

    Raises:
        CardError: no card, another card, two pages, part of it outside or covered, or it is
            too small, too tilted or blurred.
    """
    name = photo.path.name
    seen = detect(photo)
    markers = _markers_of_one_page(seen, card, name)
    page = markers[0].page
    homography = fit(markers, seen)
    if homography is None:
        raise refusals.too_few(name, 0)
    used = [marker for marker in markers if marker.number in homography.numbers]
    edge_mm = edge_width_mm(photo, homography, used)
    refusals.refuse_blurred(name, edge_mm)
    refusals.refuse_outside(photo, homography, card.markers_on(page))
    refusals.refuse_covered(name, used, card.markers_on(page))
    window_px = _window_px(homography, card, page)
    refusals.refuse_small(name, window_px)
    tilt = tilt_deg(homography.to_photo, photo.width_px, photo.height_px)
    refusals.refuse_tilted(name, tilt)
    return Found(page, homography, tilt, edge_mm, window_px, _flags(homography))


def _markers_of_one_page(
    seen: Mapping[int, Array], card: Frame[Window], name: str
) -> Sequence[Marker]:
    known = [marker for marker in card.markers if marker.number in seen]
    refusals.refuse_strange(name, len(seen), len(known), card)
    by_page = {
        page: [marker for marker in known if marker.page == page]
        for page in range(1, card.pages + 1)
    }
    most, *others = sorted(by_page.values(), key=len, reverse=True)
    if others:
        refusals.refuse_two_pages(name, most, others[0])
    return most


def _window_px(homography: Homography, card: Frame[Window], page: int) -> float:
    sides = []
    for window in card.windows_on(page):
        outline = homography.outline_px(window.place)
        sides.append(np.linalg.norm(np.roll(outline, -1, axis=0) - outline, axis=1).min())
    return float(min(sides, default=np.inf))


def _flags(homography: Homography) -> tuple[Flag, ...]:
    if homography.residual_mm <= BENT_MM:
        return ()
    return (Flag("card_not_flat", off_mm=homography.residual_mm),)
