"""TIFF at its own depth: 8 and 16 bit integers, or floating point."""

from __future__ import annotations

import io
import logging
from typing import Any

import numpy as np

from refmatch.errors import PhotoError
from refmatch.flag import Flag
from refmatch.photo.decoded import CHANNELS, Decoded, Kind, Samples, check_size

KINDS: dict[str, Kind] = {
    "MINISBLACK": "grey",
    "MINISWHITE": "grey",
    "RGB": "rgb",
    "PALETTE": "rgb",
    "YCBCR": "rgb",
    "SEPARATED": "cmyk",
}
GREATEST_USUAL_FLOAT = 4.0
"""A median above this is no picture with white at 1, but codes stored as floats."""

HOLES = Flag("not_numbers")


def decode_tiff(data: bytes, name: str) -> Decoded:
    """Decode the first full picture of a TIFF; floats have white at 1.

    Raises:
        PhotoError: a camera's raw file, or samples of an unusual sort.
    """
    import tifffile

    logging.getLogger("tifffile").setLevel(logging.CRITICAL)  # what matters is said here
    with tifffile.TiffFile(io.BytesIO(data)) as file:
        page: Any = file.pages[0]
        check_size(page.imagewidth, page.imagelength, name)
        if _is_raw(page, data):
            raise PhotoError("photo_is_raw", file=name)
        kind = KINDS.get(page.photometric.name)
        if kind is None:
            raise PhotoError("tiff_of_odd_colours", file=name, space=page.photometric.name)
        samples, flags = _usual_samples(_channels_last(page), name)
        if page.photometric.name == "MINISWHITE":
            samples = np.invert(samples) if samples.dtype.kind == "u" else 1.0 - samples
        return Decoded(
            samples=_with_plain_alpha(samples, CHANNELS[kind], page.extrasamples),
            kind=kind,
            bit_depth=8 * samples.itemsize,
            icc=_tag(page, "InterColorProfile"),
            orientation=_orientation(page),
            flags=flags,
        )


def _is_raw(page: Any, data: bytes) -> bool:
    """Recognise raw files by their mark, their sensor mosaic, or a preview standing first."""
    return (
        "DNGVersion" in page.tags
        or page.photometric.name in ("CFA", "LINEAR_RAW")
        or (page.is_reduced and "SubIFDs" in page.tags)
        or data[8:10] == b"CR"
    )


def _channels_last(page: Any) -> Samples:
    """Return the page as (rows, columns, channels), planes and palettes resolved."""
    samples: Samples = page.asarray()
    if page.photometric.name == "PALETTE":
        return np.moveaxis(np.asarray(page.colormap)[:, samples], 0, -1)
    if samples.ndim == 3 and page.planarconfig.name == "SEPARATE":
        return np.moveaxis(samples, 0, -1)
    return samples[:, :, None] if samples.ndim == 2 else samples


def _usual_samples(samples: Samples, name: str) -> tuple[Samples, tuple[Flag, ...]]:
    if samples.dtype in (np.uint8, np.uint16):
        return samples, ()
    if samples.dtype == np.bool_:
        return samples.astype(np.uint8) * np.uint8(255), ()
    if samples.dtype.kind != "f":
        raise PhotoError("tiff_of_odd_numbers", file=name, numbers=str(samples.dtype))
    floats = samples.astype(np.float32, copy=False)
    flags: tuple[Flag, ...] = ()
    if not np.isfinite(floats).all():
        floats, flags = np.nan_to_num(floats, nan=0.0, posinf=1.0, neginf=0.0), (HOLES,)
    if np.median(floats[::16, ::16]) > GREATEST_USUAL_FLOAT:
        raise PhotoError("tiff_floats_above_white", file=name)
    return floats, flags


def _with_plain_alpha(samples: Samples, channels: int, extra: Any) -> Samples:
    """Keep alpha only where a further channel is said to be alpha, and undo any premultiplying."""
    first = extra[0].name if extra else "UNSPECIFIED"
    if samples.shape[2] == channels or first == "UNSPECIFIED":
        return samples[..., :channels]
    if first == "UNASSALPHA":
        return samples[..., : channels + 1]
    top = 1.0 if samples.dtype.kind == "f" else float(np.iinfo(samples.dtype).max)
    plain = samples[..., : channels + 1].astype(np.float32)
    plain[..., :-1] *= top / np.maximum(plain[..., -1:], top * 1e-6)
    plain = np.minimum(plain, top)
    return plain if samples.dtype.kind == "f" else np.rint(plain).astype(samples.dtype)


def _orientation(page: Any) -> int:
    orientation = _tag(page, "Orientation")
    return int(orientation) if orientation in range(1, 9) else 1


def _tag(page: Any, tag: str) -> Any:
    return page.tags[tag].value if tag in page.tags else None
