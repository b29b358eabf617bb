"""Finding the card in a photo: which page it is, and where each place on it lies."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.card.detect import detect
from refmatch.card.homography import Homography, fit, project, tilt_deg
from refmatch.card.layout import Frame, Marker, Window
from refmatch.card.markers import MODULES
from refmatch.card.place import Place
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import CardError
from refmatch.flag import Flag
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Photo

FEWEST_MARKERS = 3
LEAST_SHARE = 0.5
"""Of the page's area, spanned by the markers that are seen."""

UNSURE_SHARE = 0.15
"""Of the photo's side: one or two markers tell only roughly where the rest of the card lies."""

LEAST_WINDOW_PX = 36.0
MOST_TILT_DEG = 40.0
MOST_EDGE_MM = 1.2
"""Beyond these a dab would be few pixels, shine, or run into its rim (our own choice)."""


def refuse_strange(name: str, seen: int, known: int, card: Frame[Window]) -> None:
    """Refuse a photo without a card, or with another one: most markers are not of this card."""
    if not seen:
        raise CardError("no_card_seen", photo=name)
    if seen - known > known:
        raise card.another(name)


def refuse_two_pages(name: str, most: Sequence[Marker], next_most: Sequence[Marker]) -> None:
    """Refuse a photo that shows two pages of the card."""
    if len(next_most) >= FEWEST_MARKERS:
        first, second = sorted((most[0].page, next_most[0].page))
        raise CardError("two_pages", photo=name, first=first, second=second)


def refuse_blurred(name: str, edge_mm: float) -> None:
    """Refuse a photo in which the markers' edges are wide."""
    if edge_mm > MOST_EDGE_MM:
        raise CardError("card_blurred", photo=name, edge_mm=edge_mm)


def refuse_outside(photo: Photo, homography: Homography, markers: Sequence[Marker]) -> None:
    """Refuse a card that runs out of the photo, and say at which of the photo's edges."""
    reach, matrix = _reach(markers), homography.to_photo
    in_front = np.sign(np.append(reach.centre_mm, 1.0) @ matrix[2])
    corners = in_front * (reach.corners_mm @ matrix[:, :2].T + matrix[:, 2])
    x, y = (corners[:, :2] / np.maximum(corners[:, 2:], 1e-9)).T
    unsure = UNSURE_SHARE if len(homography.numbers) < FEWEST_MARKERS else 0.0
    across, down = unsure * photo.width_px, unsure * photo.height_px
    beyond = {
        "left": (x < -across).any(),
        "right": (x > photo.width_px + across).any(),
        "upper": (y < -down).any(),
        "lower": (y > photo.height_px + down).any(),
    }
    edges = [edge for edge, out in beyond.items() if out]
    if edges:
        raise CardError("card_outside", photo=photo.path.name, edges=tuple(edges))


def refuse_covered(name: str, used: Sequence[Marker], every: Sequence[Marker]) -> None:
    """Refuse a card of which too few markers are seen, or all at one side."""
    if len(used) < FEWEST_MARKERS:
        raise too_few(name, len(used))
    if _spanned(used) < LEAST_SHARE * _spanned(every):
        raise CardError("card_covered", photo=name, seen=len(used), markers=len(every))


def too_few(name: str, count: int) -> CardError:
    """Return the refusal of a photo in which too few markers are seen."""
    return CardError("too_few_markers", photo=name, count=count)


def refuse_small(name: str, window_px: float) -> None:
    """Refuse a card that is small in the photo."""
    if window_px < LEAST_WINDOW_PX:
        raise CardError("card_small", photo=name, window_px=window_px, least_px=LEAST_WINDOW_PX)


def refuse_tilted(name: str, tilt_deg: float) -> None:
    """Refuse a card seen from the side."""
    if tilt_deg > MOST_TILT_DEG:
        raise CardError("card_tilted", photo=name, tilt_deg=tilt_deg, most_deg=MOST_TILT_DEG)


def _reach(markers: Sequence[Marker]) -> Place:
    """Return the rectangle that holds every marker of the page."""
    corners = np.concatenate([marker.place.corners_mm for marker in markers])
    left, top = corners.min(axis=0).tolist()
    right, bottom = corners.max(axis=0).tolist()
    return Place(left, top, right - left, bottom - top)


def _spanned(markers: Sequence[Marker]) -> float:
    points = np.concatenate([marker.place.corners_mm for marker in markers]).astype(np.float32)
    cv2 = opencv()
    return float(cv2.contourArea(cv2.convexHull(points)))


ALONG = np.linspace(0.2, 0.8, 25)
STEPS = 41
REACH = 0.8
"""How far on each side of an edge, in modules: the next one's own edge is not crossed."""


def edge_width_mm(photo: Photo, homography: Homography, markers: Sequence[Marker]) -> float:
    """Return how far the step from black to white is spread out, 10 to 90 %: the median of all.

    Each side of each marker is crossed at many points and the crossings are averaged; light
    is linear, so that the camera's tone curve does not sharpen or blur the step.
    """
    widths = []
    for marker in markers:
        corners = marker.place.corners_mm
        reach = REACH * marker.place.width_mm / MODULES
        for side in range(4):
            profile = _crossed(photo, homography, corners[side], corners[(side + 1) % 4], reach)
            if profile is not None:
                widths.append(_width(profile) * 2.0 * reach / (STEPS - 1))
    return float(np.median(widths)) if widths else float("inf")


def _crossed(
    photo: Photo, homography: Homography, start: Array, end: Array, reach_mm: float
) -> Array | None:
    """Return mean light from inside one side to outside it, (steps,)."""
    along = start + ALONG[:, None] * (end - start)
    outward = np.array([end[1] - start[1], start[0] - end[0]]) / np.linalg.norm(end - start)
    across = np.linspace(-reach_mm, reach_mm, STEPS)
    points = project(
        homography.to_photo, along[None] + across[:, None, None] * outward[None, None, :]
    )
    columns, rows = np.floor(points[..., 0]).astype(int), np.floor(points[..., 1]).astype(int)
    left, top = int(columns.min()), int(rows.min())
    wide, high = int(columns.max()) - left + 1, int(rows.max()) - top + 1
    inside = left >= 0 and top >= 0 and left + wide <= photo.width_px
    if not inside or top + high > photo.height_px:
        return None
    light = photo.linear(top, left, high, wide)[..., 1]
    profile: Array = light[rows - top, columns - left].mean(axis=1)
    return profile


def _width(profile: Array) -> float:
    """Return how many steps the rise from 10 to 90 % takes."""
    low, high = profile[: STEPS // 8].mean(), profile[-STEPS // 8 :].mean()
    if high <= low:
        return float(STEPS)
    rising = np.maximum.accumulate((profile - low) / (high - low))
    return float(np.searchsorted(rising, 0.9) - np.searchsorted(rising, 0.1))


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
        raise too_few(name, 0)
    used = [marker for marker in markers if marker.number in homography.numbers]
    edge_mm = edge_width_mm(photo, homography, used)
    refuse_blurred(name, edge_mm)
    refuse_outside(photo, homography, card.markers_on(page))
    refuse_covered(name, used, card.markers_on(page))
    window_px = _window_px(homography, card, page)
    refuse_small(name, window_px)
    tilt = tilt_deg(homography.to_photo, photo.width_px, photo.height_px)
    refuse_tilted(name, tilt)
    return Found(page, homography, tilt, edge_mm, window_px, _flags(homography))


def _markers_of_one_page(
    seen: Mapping[int, Array], card: Frame[Window], name: str
) -> Sequence[Marker]:
    known = [marker for marker in card.markers if marker.number in seen]
    refuse_strange(name, len(seen), len(known), card)
    by_page = {
        page: [marker for marker in known if marker.page == page]
        for page in range(1, card.pages + 1)
    }
    most, *others = sorted(by_page.values(), key=len, reverse=True)
    if others:
        refuse_two_pages(name, most, others[0])
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
