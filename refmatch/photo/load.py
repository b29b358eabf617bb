"""Loading a photo: its file read once, turned upright, cropped, its colours understood."""

from __future__ import annotations

import hashlib
from pathlib import Path

from refmatch.errors import PhotoError
from refmatch.flag import Flag
from refmatch.photo.crop import frame_for
from refmatch.photo.decode import decode
from refmatch.photo.decoded import CHANNELS, Decoded, Samples, flatten_alpha, orient
from refmatch.photo.photo import Photo
from refmatch.photo.profile import transform_for

MOST_BYTES = 2 << 30
"""A larger file is no photo that `header.MOST_PIXELS` lets through."""

GREYSCALE = Flag("greyscale")
ALPHA = Flag("alpha_flattened")


def load(path: Path | str, crop: str | None = None, proportion: str | None = None) -> Photo:
    """Load a JPEG, PNG, TIFF, WebP or HEIC photo, upright and cropped.

    Args:
        path: the file; what it is is seen from its content.
        crop: "LEFT,TOP,WIDTH,HEIGHT" in pixels or ``N%`` of the upright photo.
        proportion: "W:H"; the largest centred part of that shape is kept.

    Raises:
        PhotoError: no such file, not a photo, damaged, cut short or too large.
        UsageError, HoleError: the crop is malformed, or not within the photo.
    """
    path = Path(path)
    data = _read(path)
    decoded = decode(data, path.name)
    sha256 = hashlib.sha256(data).hexdigest()
    del data
    transform, flags = transform_for(decoded, path.name)
    samples, flattened = _colour_only(decoded)
    flags += decoded.flags
    if flattened:
        flags += (ALPHA,)
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


def _colour_only(decoded: Decoded) -> tuple[Samples, bool]:
    if decoded.samples.shape[2] == CHANNELS[decoded.kind]:
        return decoded.samples, False
    return flatten_alpha(decoded.samples)
