"""Finding the card in a photo: which page it is, and where each place on it lies.

What stands in the way is said in one sentence that tells the painter how to photograph it
again: half outside, another card, too small, too tilted, blurred, covered.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.card.detect import detect
from refmatch.card.homography import Homography, fit, tilt_deg
from refmatch.card.layout import Card, Marker
from refmatch.card.place import Place
from refmatch.card.sharpness import edge_width_mm
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import CardError
from refmatch.flag import Flag
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Photo

FEWEST_MARKERS = 3
LEAST_SHARE = 0.5
"""Of the page's area, spanned by the markers that are seen."""

LEAST_WINDOW_PX = 36.0
MOST_TILT_DEG = 40.0
MOST_EDGE_MM = 1.2
"""Beyond these the photo is refused: a dab would be few pixels, shine, or run into its rim
(our own choice)."""

BENT_MM = 1.0


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


def find(photo: Photo, card: Card) -> Found:
    """Find the one page of the card that a photo shows.

    Raises:
        CardError: no card, another card, two pages, part of it outside or covered, or it is
            too small, too tilted or blurred.
    """
    name = photo.path.name
    seen = detect(photo)
    markers = _markers_of_one_page(seen, card, name)
    homography = fit(markers, seen)
    if homography is None:
        raise CardError(_too_few(name, 0))
    page = markers[0].page
    used = [marker for marker in markers if marker.number in homography.numbers]
    edge = edge_width_mm(photo, homography, used)
    if edge > MOST_EDGE_MM:
        raise CardError(
            f"'{name}' is blurred: the markers' edges are {edge:.1f} mm wide on the card; "
            "hold the camera still, focus on the card and photograph it again."
        )
    if len(used) < FEWEST_MARKERS:
        raise CardError(_too_few(name, len(used)))
    _refuse_outside(photo, homography, card, page)
    _refuse_covered(name, used, card.markers_on(page))
    window_px = _window_px(homography, card, page)
    if window_px < LEAST_WINDOW_PX:
        raise CardError(
            f"The card is too small in '{name}': a window is {window_px:.0f} pixels high and "
            f"needs {LEAST_WINDOW_PX:.0f}; go nearer, so that the card fills the photo."
        )
    tilt = tilt_deg(homography.to_photo, photo.width_px, photo.height_px)
    if tilt > MOST_TILT_DEG:
        raise CardError(
            f"The card is tilted by {tilt:.0f} degrees in '{name}', and at most "
            f"{MOST_TILT_DEG:.0f} can be read; photograph it straight from above."
        )
    return Found(page, homography, tilt, edge, window_px, _flags(homography))


def _markers_of_one_page(seen: Mapping[int, Array], card: Card, name: str) -> Sequence[Marker]:
    known = [marker for marker in card.markers if marker.number in seen]
    if not seen:
        raise CardError(
            f"No marker of the card is seen in '{name}'; photograph the whole card from above, "
            "sharp, in good light, so that it fills the photo."
        )
    if len(seen) - len(known) > len(known):
        raise CardError(
            f"'{name}' shows another card than that of the box '{card.box_name}'; give the "
            ".json that was written with the card you photographed."
        )
    by_page = {
        page: [marker for marker in known if marker.page == page]
        for page in range(1, card.pages + 1)
    }
    ranked = sorted(by_page.values(), key=len, reverse=True)
    if len(ranked) > 1 and len(ranked[1]) >= FEWEST_MARKERS:
        raise CardError(
            f"'{name}' shows pages {ranked[0][0].page} and {ranked[1][0].page} of the card; "
            "photograph each page by itself."
        )
    return ranked[0]


def _too_few(name: str, count: int) -> str:
    found = {0: "None", 1: "Only one", 2: "Only two"}.get(count, f"Only {count}")
    return (
        f"{found} of the card's markers can be used in '{name}'; photograph the whole card, flat "
        "and sharp, nothing on its markers."
    )


def _refuse_outside(photo: Photo, homography: Homography, card: Card, page: int) -> None:
    """Say at which edges of the photo the card runs out of it."""
    reach = _reach(card.markers_on(page))
    matrix = homography.to_photo
    in_front = np.sign(np.append(reach.centre_mm, 1.0) @ matrix[2])
    corners = in_front * (reach.corners_mm @ matrix[:, :2].T + matrix[:, 2])
    x, y = (corners[:, :2] / np.maximum(corners[:, 2:], 1e-9)).T
    beyond = {
        "left": (x < 0.0).any(),
        "right": (x > photo.width_px).any(),
        "upper": (y < 0.0).any(),
        "lower": (y > photo.height_px).any(),
    }
    edges = [edge for edge, out in beyond.items() if out]
    if edges:
        raise CardError(
            f"Part of the card lies outside '{photo.path.name}', beyond its "
            f"{' and '.join(edges)} edge; photograph it with every marker in the picture."
        )


def _reach(markers: Sequence[Marker]) -> Place:
    corners = np.concatenate([marker.place.corners_mm for marker in markers])
    left, top = corners.min(axis=0).tolist()
    right, bottom = corners.max(axis=0).tolist()
    return Place(left, top, right - left, bottom - top)


def _refuse_covered(name: str, used: Sequence[Marker], every: Sequence[Marker]) -> None:
    def spanned(markers: Sequence[Marker]) -> float:
        points = np.concatenate([m.place.corners_mm for m in markers]).astype(np.float32)
        cv2 = opencv()
        return float(cv2.contourArea(cv2.convexHull(points)))

    if spanned(used) < LEAST_SHARE * spanned(every):
        raise CardError(
            f"Only {len(used)} of the page's {len(every)} markers are seen in '{name}', all at "
            "one side; lay the card flat and uncover the others, without glare or deep shadow."
        )


def _window_px(homography: Homography, card: Card, page: int) -> float:
    sides = []
    for window in card.windows_on(page):
        outline = homography.outline_px(window.place)
        sides.append(np.linalg.norm(np.roll(outline, -1, axis=0) - outline, axis=1).min())
    return float(min(sides))


def _flags(homography: Homography) -> tuple[Flag, ...]:
    if homography.residual_mm <= BENT_MM:
        return ()
    return (
        Flag(
            "card_not_flat",
            f"The markers lie {homography.residual_mm:.1f} mm off a flat page: the card is bent, "
            "or the lens bends it; lay it flat and stand further off.",
        ),
    )
