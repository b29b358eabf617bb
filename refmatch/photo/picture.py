"""The balanced photo as a picture for screens and print, at a bounded size."""

from __future__ import annotations

import io

import numpy as np
import numpy.typing as npt
from PIL import Image

from refmatch.colorimetry.display import XYZ_TO_SRGB, encode_srgb
from refmatch.colorimetry.spectrum import Array
from refmatch.photo.light import Balance
from refmatch.photo.overview import seen_at
from refmatch.photo.photo import Photo

STRIP_ROWS = 64
JPEG_QUALITY = 92

Picture = npt.NDArray[np.uint8]
"""sRGB bytes, (rows, columns, 3)."""


def picture_of(photo: Photo, balance: Balance, longest_side_px: int = 1600) -> Picture:
    """Return the balanced photo as sRGB bytes, no longer than ``longest_side_px``."""
    xyz = seen_at(photo, longest_side_px).xyz
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


def as_png(picture: Picture) -> bytes:
    """Encode a picture as PNG."""
    return _encoded(picture, "PNG")


def as_jpeg(picture: Picture) -> bytes:
    """Encode a picture as JPEG fit for print: its colours are kept at full resolution."""
    return _encoded(picture, "JPEG", quality=JPEG_QUALITY, subsampling=0)


def _encoded(picture: Picture, form: str, **settings: int) -> bytes:
    stream = io.BytesIO()
    Image.fromarray(picture).save(stream, form, **settings)
    return stream.getvalue()
