"""Loading a photo: its file read once, turned upright, cropped, its colours understood."""

from __future__ import annotations

import hashlib
import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from refmatch.errors import HoleError, LibraryMissing, PhotoError, RefmatchError, UsageError
from refmatch.flag import Flag
from refmatch.photo.boxed import decode_avif, decode_heic
from refmatch.photo.decoded import CHANNELS, Bools, Decoded, Samples, orient, part_alpha
from refmatch.photo.formats import decode_jpeg, decode_png, decode_tiff, decode_webp
from refmatch.photo.photo import Photo
from refmatch.photo.place import parse_length
from refmatch.photo.raw import decode_raw
from refmatch.photo.transform import transform_for

# Reading a photo's file: which format it is, and its samples at their own depth.

Reader = Callable[[bytes, str], Decoded]

READERS: dict[bytes, Reader] = {
    rb"\xff\xd8\xff": decode_jpeg,
    rb"\x89PNG\r\n\x1a\n": decode_png,
    rb"II[*+]\0|MM\0[*+]": decode_tiff,
    rb"RIFF....WEBP": decode_webp,
    rb"....ftyp(avi[fs]|.{0,48}?avi[fs])": decode_avif,
    rb"....ftyp(hei[cxms]|hev[cx]|mif1|msf1)": decode_heic,
    rb"....ftypcrx |II(RO|RS|U\0)|MMOR|.{8}CCD-RAW": decode_raw,
}
"""What a file begins with, as a pattern, and the function that reads it."""


def decode(data: bytes, name: str) -> Decoded:
    """Decode a whole photo file by what it begins with, whatever its name ends in.

    Args:
        data: the bytes of the file.
        name: how to call the file in an error.

    Raises:
        PhotoError: not a photo this program reads, cut short, or too large.
    """
    if not data:
        raise PhotoError("photo_file_empty", file=name)
    reader = next((READERS[start] for start in READERS if re.match(start, data, re.DOTALL)), None)
    if reader is None:
        raise PhotoError("photo_of_unknown_format", file=name)
    try:
        decoded = reader(data, name)
        _check_shape(decoded)
        return decoded
    except RefmatchError:
        raise
    except ImportError as error:
        raise LibraryMissing("photo_library_missing", file=name, reason=str(error)) from error
    except MemoryError as error:
        raise PhotoError("photo_too_large_for_memory", file=name) from error
    except Exception as error:  # each codec has its own errors, all meaning the same here
        raise PhotoError("photo_damaged", file=name) from error


def _check_shape(decoded: Decoded) -> None:
    rows, columns, channels = decoded.samples.shape
    if rows < 1 or columns < 1 or channels - CHANNELS[decoded.kind] not in (0, 1):
        raise ValueError(f"samples of shape {decoded.samples.shape} for {decoded.kind}")


# Cutting a photo to what will be painted, or to the canvas's proportions.


@dataclass(frozen=True, slots=True)
class Frame:
    """A rectangle of whole pixels."""

    left_px: int
    top_px: int
    width_px: int
    height_px: int


def frame_for(
    width_px: int, height_px: int, crop: str | None = None, proportion: str | None = None
) -> Frame:
    """Return what is kept of an upright photo: the crop, then the largest centred frame in it.

    Args:
        width_px: width of the upright photo.
        height_px: its height.
        crop: "LEFT,TOP,WIDTH,HEIGHT", each in pixels or ``N%`` of width or height.
        proportion: "W:H", width to height of the canvas.

    Raises:
        UsageError: the text is not of that form.
        HoleError: the crop does not lie within the photo.
    """
    frame = Frame(0, 0, width_px, height_px)
    if crop is not None:
        frame = _cropped(width_px, height_px, crop)
    if proportion is not None:
        frame = _largest_within(frame, _ratio(proportion))
    return frame


def _cropped(width_px: int, height_px: int, crop: str) -> Frame:
    try:
        left, top, width, height = (parse_length(part) for part in crop.split(","))
    except ValueError:
        raise UsageError("crop_malformed", crop=crop) from None
    left_px, top_px = round(left.px(width_px)), round(top.px(height_px))
    right_px = round(left.px(width_px) + width.px(width_px))
    bottom_px = round(top.px(height_px) + height.px(height_px))
    inside = 0 <= left_px < right_px <= width_px and 0 <= top_px < bottom_px <= height_px
    if not inside:
        raise HoleError("crop_outside_photo", crop=crop, width_px=width_px, height_px=height_px)
    return Frame(left_px, top_px, right_px - left_px, bottom_px - top_px)


def _ratio(proportion: str) -> float:
    try:
        width, height = (float(part) for part in proportion.split(":"))
        ratio = width / height
    except (ValueError, ZeroDivisionError):
        ratio = math.nan
    if not (math.isfinite(ratio) and ratio > 0.0 and width > 0.0):
        raise UsageError("proportion_malformed", proportion=proportion)
    return ratio


def _largest_within(frame: Frame, ratio: float) -> Frame:
    width_px = max(1, min(frame.width_px, round(frame.height_px * ratio)))
    height_px = max(1, min(frame.height_px, round(frame.width_px / ratio)))
    return Frame(
        frame.left_px + (frame.width_px - width_px) // 2,
        frame.top_px + (frame.height_px - height_px) // 2,
        width_px,
        height_px,
    )


MOST_BYTES = 2 << 30
"""A larger file is no photo that `decoded.MOST_PIXELS` lets through."""

GREYSCALE = Flag("greyscale")
TRANSPARENT = Flag("transparent_left_out")


def load(path: Path | str, crop: str | None = None, proportion: str | None = None) -> Photo:
    """Load a JPEG, PNG, TIFF, WebP, HEIC, AVIF or raw photo, upright and cropped.

    Args:
        path: the file; what it is is seen from its content.
        crop: "LEFT,TOP,WIDTH,HEIGHT" in pixels or ``N%`` of the upright photo.
        proportion: "W:H"; the largest centred part of that shape is kept.

    Raises:
        PhotoError: no such file, not a photo, damaged, cut short, too large or too small.
        UsageError, HoleError: the crop is malformed, or not within the photo.
    """
    path = Path(path)
    data = _read(path)
    decoded = decode(data, path.name)
    sha256 = hashlib.sha256(data).hexdigest()
    del data
    transform, flags = transform_for(decoded, path.name)
    samples, opaque = _colour_and_opaque(decoded)
    flags += decoded.flags
    if opaque is not None:
        if not opaque.any():
            raise PhotoError("photo_all_transparent", file=path.name)
        flags += (TRANSPARENT,)
        opaque = orient(opaque, decoded.orientation)
    if decoded.kind == "grey":
        flags += (GREYSCALE,)
    samples = orient(samples, decoded.orientation)
    frame = frame_for(samples.shape[1], samples.shape[0], crop, proportion)
    rows = slice(frame.top_px, frame.top_px + frame.height_px)
    columns = slice(frame.left_px, frame.left_px + frame.width_px)
    return Photo(
        path=path,
        samples=samples[rows, columns],
        transform=transform,
        bit_depth=decoded.bit_depth,
        sha256=sha256,
        left_px=frame.left_px,
        top_px=frame.top_px,
        flags=flags,
        opaque=None if opaque is None else opaque[rows, columns],
    )


def _read(path: Path) -> bytes:
    if path.is_dir():
        raise PhotoError("photo_is_folder", path=str(path))
    try:
        if path.exists() and not path.is_file():
            raise PhotoError("photo_is_no_file", path=str(path))
        if path.stat().st_size > MOST_BYTES:
            raise PhotoError("photo_file_too_large", path=str(path), most_bytes=MOST_BYTES)
        return path.read_bytes()
    except FileNotFoundError:
        raise PhotoError("photo_missing", path=str(path)) from None
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        raise PhotoError("photo_not_opened", path=str(path), reason=reason) from error


def _colour_and_opaque(decoded: Decoded) -> tuple[Samples, Bools | None]:
    if decoded.samples.shape[2] == CHANNELS[decoded.kind]:
        return decoded.samples, None
    return part_alpha(decoded.samples)
