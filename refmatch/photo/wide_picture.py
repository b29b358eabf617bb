"""The balanced photo as a picture for screens that show more than sRGB.

The picture carries the colour profile of Display P3, so a wide screen shows what lies
beyond sRGB, and the browser brings the same picture down for any other.
"""

from __future__ import annotations

import functools
import io
import struct

import numpy as np
from PIL import Image

from refmatch.colorimetry.display import encode_srgb
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.wide_gamut import XYZ_TO_P3
from refmatch.photo.picture import JPEG_QUALITY, STRIP_ROWS, Picture

SRGB_NAME, P3_NAME = "sRGB built-in", "Display P3   "
HEADER_BYTES, ENTRY_BYTES, XYZ_DATA = 128, 12, 8
PROFILE_ID = slice(84, 100)
"""Where things lie in a profile (ICC.1:2022, 7.2 to 7.3 and 10.31)."""


def to_p3(xyz: Array) -> Picture:
    """Convert XYZ of the ICC D50 white, white Y = 1, to Display P3 bytes; shape (..., 3).

    What even such a screen cannot show is cut off channel by channel: for looking at,
    never for measuring.
    """
    shown = np.empty(xyz.shape, np.uint8)
    to_light = (100.0 * XYZ_TO_P3.T).astype(xyz.dtype)
    for row in range(0, len(xyz), STRIP_ROWS):  # a strip at a time: floats are large
        strip = slice(row, row + STRIP_ROWS)
        shown[strip] = np.rint(encode_srgb(np.clip(xyz[strip] @ to_light, 0.0, 1.0)) * 255.0)
    return shown


def as_wide_jpeg(picture: Picture) -> bytes:
    """Encode a picture in Display P3 as JPEG with its profile."""
    stream = io.BytesIO()
    Image.fromarray(picture).save(
        stream, "JPEG", quality=JPEG_QUALITY, subsampling=0, icc_profile=p3_profile()
    )
    return stream.getvalue()


@functools.cache
def p3_profile() -> bytes:
    """Return the colour profile of Display P3.

    It is littleCMS's own of sRGB, whose white and curve are the same, with the three
    columns of the other primaries: 588 bytes, where a profile made from a table of the
    curve would put 25 kB into every picture.
    """
    import imagecodecs

    profile = bytearray(imagecodecs.cms_profile("srgb"))
    columns = dict(
        zip((b"rXYZ", b"gXYZ", b"bXYZ"), np.linalg.inv(XYZ_TO_P3).T / 100.0, strict=True)
    )
    (count,) = struct.unpack_from(">I", profile, HEADER_BYTES)
    for index in range(count):
        place = HEADER_BYTES + 4 + index * ENTRY_BYTES
        name, offset, _ = struct.unpack_from(">4sII", profile, place)
        if name in columns:
            fixed = [round(float(value) * 65536.0) for value in columns[name]]
            struct.pack_into(">3i", profile, offset + XYZ_DATA, *fixed)
    profile[PROFILE_ID] = bytes(16)
    renamed = P3_NAME.encode("utf-16-be")
    return bytes(profile).replace(SRGB_NAME.encode("utf-16-be"), renamed)
