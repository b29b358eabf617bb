"""The balanced photo as a picture for screens and print, at a bounded size."""

from __future__ import annotations

import functools
import io
import struct
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from PIL import Image

from refmatch.colorimetry.display import XYZ_TO_P3, XYZ_TO_SRGB, encode_srgb
from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.errors import UsageError
from refmatch.photo.hole import Hole, covered_pixels, span
from refmatch.photo.light.balance import Balance
from refmatch.photo.photo import Photo, reduced

STRIP_ROWS = 64
JPEG_QUALITY = 92

Picture = npt.NDArray[np.uint8]
"""sRGB bytes, (rows, columns, 3)."""


def picture_of(photo: Photo, balance: Balance, longest_side_px: int = 1600) -> Picture:
    """Return the balanced photo as sRGB bytes, no longer than ``longest_side_px``."""
    xyz = reduced(photo, longest_side_px).xyz
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


# The balanced photo as a picture for screens that show more than sRGB.
#
# The picture carries the colour profile of Display P3, so a wide screen shows what lies
# beyond sRGB, and the browser brings the same picture down for any other.

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


# The card laid over the photo: everything hidden but the colours in its holes.

GROUNDS: dict[str, tuple[float, float, float]] = {
    "grey": (50.0, 0.0, 0.0),
    "white": (97.0, 0.0, 0.0),
    "toned": (62.0, 7.0, 19.0),
}
"""Lab of the card: middle grey, white, or a canvas toned with a thin earth colour.

The toned ground is common practice, no source: a wash of an ochre or sienna
about value 6.
"""

RIM_PX = 1.25
RIM_LIGHT = 0.55
"""A rim in the card's shade parts the colour from the card without a hue of its own."""


def punched_card(
    photo: Photo,
    balance: Balance,
    holes: Sequence[Hole],
    ground: str = "grey",
    longest_side_px: int = 1400,
) -> Picture:
    """Show the balanced photo under a card with holes, as sRGB bytes (rows, columns, 3).

    Rims are smooth: card and photo are mixed as light, by the exact share of
    each pixel that the hole covers.

    Raises:
        UsageError: no such ground.
    """
    if ground not in GROUNDS:
        raise UsageError("unknown_card_ground", ground=ground, known=tuple(GROUNDS))
    working = reduced(photo, longest_side_px)
    light = working.xyz @ balance.matrix.T
    card = lab_to_xyz(np.array(GROUNDS[ground]), PHOTO_WHITE)
    shown = np.broadcast_to(card, light.shape).copy()
    for hole in holes:
        _mix_in(shown, card * RIM_LIGHT, hole, working.scale, RIM_PX)
    for hole in holes:
        _mix_in(shown, light, hole, working.scale, 0.0)
    return to_srgb8(shown)


def _mix_in(shown: Array, light: Array, hole: Hole, scale: float, wider_px: float) -> None:
    """Let ``light``, of the picture's size or one colour, show through a hole."""
    x, y = hole.x_px * scale, hole.y_px * scale
    radius = hole.diameter_px * scale / 2.0 + wider_px
    rows, columns = span(y, radius, shown.shape[0]), span(x, radius, shown.shape[1])
    share = covered_pixels(rows, columns, x, y, radius)[:, :, None]
    within = light[rows, columns] if light.ndim == 3 else light
    shown[rows, columns] += share * (within - shown[rows, columns])
