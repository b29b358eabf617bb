"""From the flat page to the photo and back, and how far the page leans away from the camera."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.card.layout import Marker
from refmatch.card.place import Place
from refmatch.colorimetry.spectrum import Array
from refmatch.photo.opencv import opencv

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

    def outline_px(self, place: Place) -> Array:
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
    seen = axes / np.array([focal, focal, 1.0])[:, None]
    normal = np.cross(seen[:, 0], seen[:, 1])
    cosine = abs(normal[2]) / np.linalg.norm(normal)
    return float(np.degrees(np.arccos(min(cosine, 1.0))))
