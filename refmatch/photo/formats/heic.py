"""HEIC, the format of most phones; 10 bits are kept."""

from __future__ import annotations

from typing import Any

import numpy as np

from refmatch.errors import LibraryMissing, PhotoError
from refmatch.photo.decoded import Decoded, Samples, by_channels
from refmatch.photo.header import check_size

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
