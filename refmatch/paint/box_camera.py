"""The camera that a box's dabs were photographed by: what their photo told of it, kept.

Camera and paints are found together, so whoever has the paints has the camera too. A later photo
by the same phone in the same light then needs only to show how it was exposed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.errors import BoxError

DIGITS = 5
"""To so many digits it is written: far finer than anything is known of it."""


@dataclass(frozen=True, eq=False)
class BoxCamera:
    """``weights`` (31, 3), reflectance to linear sRGB with white at 1, under the light of then.

    ``ways`` (m, 31, 3) are the independent ways in which they may be off, each by one standard
    error.
    """

    weights: Array
    ways: Array


def camera_row(camera: BoxCamera) -> dict[str, Any]:
    """Return a camera as a table of a box file."""
    return {
        "weights": np.round(camera.weights, DIGITS).tolist(),
        "ways": np.round(camera.ways, DIGITS).reshape(-1, 3 * BANDS).tolist(),
    }


def camera_of(row: object, where: str) -> BoxCamera | None:
    """Return the camera of a box file's table, None where it holds none.

    Raises:
        BoxError: its numbers are not such.
    """
    if row is None:
        return None
    try:
        assert isinstance(row, dict)
        weights = np.array(row["weights"], dtype=float).reshape(BANDS, 3)
        ways = np.array(row["ways"], dtype=float).reshape(-1, BANDS, 3)
        if not (np.all(np.isfinite(weights)) and np.all(np.isfinite(ways))):
            raise ValueError("not finite")
    except (AssertionError, KeyError, TypeError, ValueError) as error:
        raise BoxError("box_camera_damaged", where=where) from error
    return BoxCamera(weights, ways)
