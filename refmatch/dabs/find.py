"""Finding the card in a photo: which page it is, and where each place on it lies."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.card import MODULES, Frame, Marker, Rectangle, Window, dictionary
from refmatch.errors import CardError
from refmatch.flag import Flag
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Photo, ends_of, mean_of_squares

# Seeing the markers: found in a small grey picture, their corners refined in the photo itself.

LONGEST_SIDE_PX = 2400
"""Markers are looked for at this size: fine enough for a card that fills half the photo."""

STRIP_ROWS = 512
MOST_REFINED_PX = 15
"""A corner is refined within this, or 0.6 of a marker's module where that is less."""


def detect(photo: Photo) -> dict[int, Array]:
    """Return the corners of every marker seen, (4, 2) in photo pixels, by its number.

    Clockwise from the marker's own top left. A number seen twice is left out: one of
    the two is mistaken.
    """
    grey, side = small_grey(photo)
    corners, corners_by_marker, _ = _detector().detectMarkers(grey)
    if corners_by_marker is None:
        return {}
    ids = [int(number) for number in corners_by_marker.ravel()]
    return {
        number: _refined(photo, (marker.reshape(4, 2) + 0.5) * side, side)
        for number, marker in zip(ids, corners, strict=True)
        if ids.count(number) == 1
    }


def small_grey(photo: Photo) -> tuple[Array, int]:
    """Return the photo in grey, uint8, and how many of its pixels each pixel's side spans.

    Made from the file's own codes, which are evenly spaced to the eye, and stretched so that
    dark and linear files serve as well.
    """
    side = max(1, -(-max(photo.width_px, photo.height_px) // LONGEST_SIDE_PX))
    rows = side * max(1, STRIP_ROWS // side)
    strips = [
        _grey(photo.samples[top : top + rows], photo.transform.kind, side)
        for top in range(0, photo.height_px, rows)
    ]
    grey = np.concatenate(strips)
    low, high = np.percentile(grey[::4, ::4], (0.5, 99.5))
    stretched = np.clip((grey - low) * (255.0 / max(float(high - low), 1e-6)), 0.0, 255.0)
    return stretched.astype(np.uint8), side


def _grey(samples: Array, kind: str, side: int) -> Array:
    """Return the mean of the channels over squares of pixels, 0 to 1, more for more light."""
    means = mean_of_squares(np.ascontiguousarray(samples), side)
    grey: Array = means.astype(np.float32).mean(axis=-1) / ends_of(samples)[1]
    return 1.0 - grey if kind == "cmyk" else grey


def grey_at(photo: Photo, top: int, left: int, rows: int, columns: int) -> Array:
    """Return part of the photo in grey, 0 to 1, in its own pixels."""
    return _grey(photo.region(top, left, rows, columns), photo.transform.kind, 1)


def _detector() -> Any:
    aruco = opencv().aruco
    settings = aruco.DetectorParameters()
    settings.adaptiveThreshWinSizeMax = 53
    settings.minMarkerPerimeterRate = 0.015
    settings.cornerRefinementMethod = aruco.CORNER_REFINE_SUBPIX
    return aruco.ArucoDetector(dictionary(), settings)


def _refined(photo: Photo, corners_px: Array, side: int) -> Array:
    """Refine corners in the photo's own pixels; one that runs away stays where it was."""
    module_px = np.linalg.norm(np.roll(corners_px, -1, axis=0) - corners_px, axis=1).min() / MODULES
    reach = int(np.clip(round(0.6 * module_px), 2, MOST_REFINED_PX))
    refined = np.array([_refined_corner(photo, corner, reach) for corner in corners_px])
    strayed = np.linalg.norm(refined - corners_px, axis=1) > max(0.5 * module_px, side)
    return np.where(strayed[:, None], corners_px, refined)


def _refined_corner(photo: Photo, corner_px: Array, reach: int) -> Array:
    around = 2 * reach + 4
    left, top = (max(0, int(at) - around) for at in corner_px)
    columns = min(photo.width_px, int(corner_px[0]) + around) - left
    rows = min(photo.height_px, int(corner_px[1]) + around) - top
    if min(rows, columns) <= 2 * reach + 5:
        return corner_px
    grey = grey_at(photo, top, left, rows, columns)
    start = (corner_px - 0.5 - (left, top)).astype(np.float32).reshape(1, 1, 2)
    cv2 = opencv()
    until = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 30, 0.01)
    corner = cv2.cornerSubPix(grey, start, (reach, reach), (-1, -1), until)
    refined: Array = corner.reshape(2) + 0.5 + (left, top)
    return refined


# From the flat page to the photo and back, and how far the page leans away from the camera.

SAME_PLACE_MM = 2.5
"""A corner further from where the others put it is taken as mistaken; a phone's lens bends less."""

FOCAL_LENGTHS = (0.5, 2.0)
"""In diagonals of the photo: from a phone's wide lens to a portrait lens (common practice)."""


@dataclass(frozen=True, eq=False)
class Homography:
    """A plane-to-plane map: ``to_photo`` (3, 3) takes millimetres to pixels.

    ``residual_mm`` is the root mean square by which the markers' corners miss it on the
    page: bent paper or a bending lens. ``numbers`` are the markers it rests on.
    """

    to_photo: Array
    residual_mm: float
    numbers: tuple[int, ...]

    def outline_px(self, place: Rectangle) -> Array:
        """Return a rectangle's corners in the photo, (4, 2)."""
        return project(self.to_photo, place.corners_mm)

    def on_page_mm(self, points_px: Array) -> Array:
        """Return where points of the photo lie on the page, (..., 2)."""
        return project(np.linalg.inv(self.to_photo), points_px)


def project(matrix: Array, points: Array) -> Array:
    """Map points (..., 2) by a homography (3, 3)."""
    mapped = points @ matrix[:, :2].T + matrix[:, 2]
    return mapped[..., :2] / mapped[..., 2:]


def fit(markers: Sequence[Marker], corners_px: Mapping[int, Array]) -> Homography | None:
    """Fit by all corners of all markers, mistaken ones left out; None where none fits."""
    on_page = np.concatenate([marker.place.corners_mm for marker in markers])
    in_photo = np.concatenate([corners_px[marker.number] for marker in markers])
    cv2 = opencv()
    to_page, good = cv2.findHomography(in_photo, on_page, cv2.RANSAC, SAME_PLACE_MM)
    if to_page is None or abs(np.linalg.det(to_page)) < 1e-15:
        return None
    kept = good.ravel().astype(bool)
    miss = project(to_page, in_photo[kept]) - on_page[kept]
    whole = kept.reshape(-1, 4).sum(axis=1) >= 3
    to_photo = np.linalg.inv(to_page)
    return Homography(
        to_photo=to_photo / to_photo[2, 2],
        residual_mm=float(np.sqrt((miss**2).sum(axis=1).mean())),
        numbers=tuple(m.number for m, good_one in zip(markers, whole, strict=True) if good_one),
    )


def tilt_deg(to_photo: Array, width_px: int, height_px: int) -> float:
    """Return the angle between the page's normal and the camera's axis.

    The focal length is not known. It follows from the page's two axes being at right angles
    and alike in scale (Zhang 2000, doi:10.1109/34.888718, equations 3 and 4), square pixels
    and a centred photo taken for granted; kept within what lenses have.
    """
    diagonal = float(np.hypot(width_px, height_px))
    middle = np.array([width_px, height_px]) / 2.0
    to_unit = np.array([[1.0, 0.0, -middle[0]], [0.0, 1.0, -middle[1]], [0.0, 0.0, diagonal]])
    axes = to_unit @ to_photo
    (a_1, b_1, c_1), (a_2, b_2, c_2) = axes[:, 0], axes[:, 1]
    flat = np.array([a_1 * a_2 + b_1 * b_2, a_1**2 + b_1**2 - a_2**2 - b_2**2])
    deep = np.array([c_1 * c_2, c_1**2 - c_2**2])
    inverse_square = -float(flat @ deep) / max(float(flat @ flat), 1e-300)
    least, most = FOCAL_LENGTHS
    focal = float(np.sqrt(1.0 / np.clip(inverse_square, most**-2, least**-2)))
    rays = axes / np.array([focal, focal, 1.0])[:, None]
    normal = np.cross(rays[:, 0], rays[:, 1])
    cosine = abs(normal[2]) / np.linalg.norm(normal)
    return float(np.degrees(np.arccos(min(cosine, 1.0))))


FEWEST_MARKERS = 3
LEAST_SHARE = 0.5
"""Of the page's area, spanned by the markers that are seen."""

UNSURE_SHARE = 0.15
"""Of the photo's side: one or two markers tell only roughly where the rest of the card lies."""

LEAST_WINDOW_PX = 36.0
MOST_TILT_DEG = 40.0
MOST_EDGE_MM = 1.2
"""Beyond these a dab would be few pixels, shine, or run into its rim (our own choice)."""


def refuse_strange(name: str, markers: int, known: int, card: Frame[Window]) -> None:
    """Refuse a photo without a card, or with another one: most markers are not of this card."""
    if not markers:
        raise CardError("no_card_seen", photo=name)
    if markers - known > known:
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


def _reach(markers: Sequence[Marker]) -> Rectangle:
    """Return the rectangle that holds every marker of the page."""
    corners = np.concatenate([marker.place.corners_mm for marker in markers])
    left, top = corners.min(axis=0).tolist()
    right, bottom = corners.max(axis=0).tolist()
    return Rectangle(left, top, right - left, bottom - top)


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
class PagePosition:
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


def find(photo: Photo, card: Frame[Window]) -> PagePosition:
    """Find the one page of the card that a photo shows.

    Raises:
        CardError: no card, another card, two pages, part of it outside or covered, or it is
            too small, too tilted or blurred.
    """
    name = photo.path.name
    detected = detect(photo)
    markers = _markers_of_one_page(detected, card, name)
    page = markers[0].page
    homography = fit(markers, detected)
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
    return PagePosition(page, homography, tilt, edge_mm, window_px, _flags(homography))


def _markers_of_one_page(
    detected: Mapping[int, Array], card: Frame[Window], name: str
) -> Sequence[Marker]:
    known = [marker for marker in card.markers if marker.number in detected]
    refuse_strange(name, len(detected), len(known), card)
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
