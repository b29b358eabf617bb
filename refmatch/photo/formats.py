"""JPEG, PNG, WebP and HEIC: each a function from bytes to `Decoded`."""

from __future__ import annotations

import io
import logging
import re
from typing import Any

import numpy as np

from refmatch.errors import LibraryMissing, PhotoError
from refmatch.flag import Flag
from refmatch.photo.decoded import (
    CHANNELS,
    Decoded,
    Kind,
    Samples,
    by_channels,
    check_size,
    open_header,
    said_by,
)

# JPEG: 8 bits, grey, colour or printing inks.

_MARKER = re.compile(rb"\xff[\x01\x02-\xcf\xd8-\xfe]")
_END_OF_IMAGE = 0xD9


def decode_jpeg(data: bytes, name: str) -> Decoded:
    """Decode a JPEG, baseline or progressive.

    Raises:
        PhotoError: the file ends before the picture does.
    """
    import imagecodecs
    from PIL.JpegImagePlugin import JpegImageFile

    header = open_header(JpegImageFile, data, name)
    if not _is_whole(data):
        raise PhotoError("photo_cut_short", file=name)
    if header.mode == "CMYK":
        samples = imagecodecs.jpeg8_decode(data, outcolorspace="cmyk")
        # Adobe's convention, followed by all who write such files: 255 is no ink
        return Decoded(255 - samples, "cmyk", 8, **said_by(header))
    samples, kind = by_channels(imagecodecs.jpeg8_decode(data))
    return Decoded(samples, kind, 8, **said_by(header))


def _is_whole(data: bytes) -> bool:
    """Say whether the picture's own end marker is there; decoders fill in grey without a word.

    Segments are stepped over by their length, so that a thumbnail's end does
    not count (ITU-T T.81, annex B).
    """
    at = 2
    while match := _MARKER.search(data, at):
        marker, at = data[match.start() + 1], match.end()
        if marker == _END_OF_IMAGE:
            return True
        if marker not in (0x01, 0xD8):
            at += int.from_bytes(data[at : at + 2], "big")
    return False


# PNG: 8 or 16 bits, palettes and transparency resolved.


def decode_png(data: bytes, name: str) -> Decoded:
    """Decode a PNG at its own depth."""
    import imagecodecs
    from PIL.PngImagePlugin import PngImageFile

    header = open_header(PngImageFile, data, name)
    samples, kind = by_channels(imagecodecs.png_decode(data))
    if b"eXIf" not in data and b"Raw profile type exif" not in data:
        header.info["exif"] = b""  # else Pillow decodes the whole picture in search of it
    said = said_by(header)
    if "srgb" in header.info:
        said["stated_space"] = "sRGB"
    return Decoded(samples, kind, 8 * samples.itemsize, **said)


# WebP: 8 bits, lossy or lossless; of a moving one, the first picture.


def decode_webp(data: bytes, name: str) -> Decoded:
    """Decode a WebP."""
    import imagecodecs
    from PIL.WebPImagePlugin import WebPImageFile

    header = open_header(WebPImageFile, data, name)
    samples, kind = by_channels(imagecodecs.webp_decode(data))
    return Decoded(samples, kind, 8, **said_by(header))


# HEIC, the format of most phones; 10 bits are kept.

SPACES = {1: "sRGB", 12: "Display P3"}
"""Primaries by their code point; ITU-T H.273, table 2."""

ORDINARY_CURVES = (1, 2, 6, 13)
"""Transfer characteristics that still pictures show with sRGB's curve; H.273, table 3."""


def decode_heic(data: bytes, name: str) -> Decoded:
    """Decode the main picture of a HEIC file; its own turns and flips are already applied.

    Raises:
        PhotoError: high dynamic range (PQ or HLG), which has no fixed white.
        LibraryMissing: the HEIC library does not load.
    """
    try:
        import pillow_heif
    except ImportError as error:
        raise LibraryMissing("heic_library_missing") from error
    picture = pillow_heif.open_heif(data, convert_hdr_to_8bit=False)
    width_px, height_px = picture.size
    check_size(width_px, height_px, name)
    icc = picture.info.get("icc_profile") or None
    space = None if icc else _stated_space(picture.info.get("nclx_profile"), name)
    bits = int(picture.info.get("bit_depth", 8))
    samples, kind = by_channels(np.asarray(picture))
    return Decoded(_full_range(samples, bits), kind, bits, icc=icc, stated_space=space)


def _stated_space(code_points: dict[str, Any] | None, name: str) -> str | None:
    if not code_points:
        return None
    if code_points.get("transfer_characteristics") not in ORDINARY_CURVES:
        raise PhotoError("photo_high_dynamic_range", file=name)
    return SPACES.get(int(code_points.get("color_primaries", 2)))


def _full_range(samples: Samples, bits: int) -> Samples:
    """Repeat the top bits below the lowest, so that the top code of 10 bits is 65535."""
    if bits <= 8:
        return samples
    return np.bitwise_or(samples, samples >> np.uint16(bits))


# TIFF, as cameras and scanners write it.

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
