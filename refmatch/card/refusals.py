"""Why a photo of the card is refused."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from refmatch.card.homography import Homography
from refmatch.card.layout import Frame, Marker, Window
from refmatch.card.place import Place
from refmatch.errors import CardError
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
