"""The balanced photo as a picture for screens and print, at a bounded size."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.display import XYZ_TO_SRGB, encode_srgb
from refmatch.colorimetry.spectrum import Array
from refmatch.photo.light import Balance
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Photo

STRIP_ROWS = 64

Picture = npt.NDArray[np.uint8]
"""sRGB bytes, (rows, columns, 3)."""


def picture_of(photo: Photo, balance: Balance, longest_side_px: int = 1600) -> Picture:
    """Return the balanced photo as sRGB bytes, no longer than ``longest_side_px``."""
    xyz = photo.working(longest_side_px).xyz
    return to_srgb8(xyz @ balance.matrix.T.astype(xyz.dtype))


def to_srgb8(xyz: Array) -> Picture:
    """Convert XYZ of the ICC D50 white, white Y = 1, to sRGB bytes; shape (..., 3).

    What a screen cannot show is cut off channel by channel: for looking at,
    never for measuring.
    """
    shown = np.empty(xyz.shape, np.uint8)
    for row in range(0, len(xyz), STRIP_ROWS):  # a strip at a time: floats are large
        strip = slice(row, row + STRIP_ROWS)
        linear = np.clip(xyz[strip] @ (100.0 * XYZ_TO_SRGB.T), 0.0, 1.0)
        shown[strip] = np.rint(encode_srgb(linear) * 255.0)
    return shown


def as_png(picture: npt.NDArray[np.uint8]) -> bytes:
    """Encode a picture, (rows, columns, 3), as PNG."""
    return _encoded(picture, ".png", [])


def as_jpeg(picture: npt.NDArray[np.uint8]) -> bytes:
    """Encode a picture, (rows, columns, 3), as JPEG of a quality fit for print."""
    return _encoded(picture, ".jpg", [int(opencv().IMWRITE_JPEG_QUALITY), 93])


def _encoded(picture: npt.NDArray[np.uint8], suffix: str, settings: list[int]) -> bytes:
    _, data = opencv().imencode(suffix, np.ascontiguousarray(picture[..., ::-1]), settings)
    return bytes(data)
