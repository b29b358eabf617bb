"""JPEG, PNG, WebP and HEIC: each a function from bytes to `Decoded`."""

from __future__ import annotations

import re
from typing import Any

import numpy as np

from refmatch.errors import LibraryMissing, PhotoError
from refmatch.photo.decoded import Decoded, Samples, by_channels, check_size, open_header, said_by

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
    while found := _MARKER.search(data, at):
        marker, at = data[found.start() + 1], found.end()
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
