"""Which colour profile a photo has: its own, one it names, or sRGB, assumed and said."""

from __future__ import annotations

import io

import numpy as np

from refmatch.colorimetry.display import decode_srgb
from refmatch.errors import PhotoError
from refmatch.flag import Flag
from refmatch.photo.decoded import CHANNELS, Decoded, Kind
from refmatch.photo.transform import ColourTransform, by_littlecms, icc_kind, transform

ASSUMED = Flag("assumed_srgb")
UNREADABLE = Flag("profile_unreadable")
BY_NAME = Flag("space_stated")

P3_WHITE = (0.3127, 0.3290, 1.0)
P3_PRIMARIES = (0.680, 0.320, 1.0, 0.265, 0.690, 1.0, 0.150, 0.060, 1.0)
"""xyY of Display P3: the primaries of SMPTE EG 432-1 with sRGB's white and curve."""


def transform_for(decoded: Decoded, name: str) -> tuple[ColourTransform, tuple[Flag, ...]]:
    """Find the profile of a decoded file, assuming sRGB where there is none, and say so.

    Raises:
        PhotoError: inks (CMYK) without a profile that says what they look like.
    """
    icc, kind, depth = decoded.icc, decoded.kind, decoded.samples.dtype
    flags: tuple[Flag, ...] = ()
    if icc is not None and not _serves(icc, kind):
        icc, flags = None, (UNREADABLE,)
    if icc is not None:
        return transform(_description(icc), icc, kind, depth), flags
    if kind == "cmyk":
        raise PhotoError("inks_without_profile", file=name)
    space = decoded.stated_space
    if space is None:
        name, flags = "sRGB, assumed", flags or (ASSUMED,)
    else:
        name, flags = space, flags if space == "sRGB" else (*flags, BY_NAME)
    return transform(name, built_in(space or "sRGB"), kind, depth), flags


def built_in(space: str) -> bytes:
    """Return the ICC profile of a space a file can name: sRGB, Adobe RGB or Display P3."""
    import imagecodecs

    profile: bytes
    if space == "Display P3":
        curve = decode_srgb(np.linspace(0.0, 1.0, 4096)).astype(np.float32)
        profile = imagecodecs.cms_profile(
            "rgb", whitepoint=P3_WHITE, primaries=P3_PRIMARIES, transferfunction=curve
        )
    else:
        profile = imagecodecs.cms_profile({"sRGB": "srgb", "Adobe RGB (1998)": "adobergb"}[space])
    return profile


def _serves(icc: bytes, kind: Kind) -> bool:
    """Say whether littleCMS can use the profile for samples of this kind."""
    import imagecodecs

    if icc_kind(icc) != kind and not (kind == "grey" and icc_kind(icc) == "rgb"):
        return False
    probe = np.zeros((1, 1, CHANNELS[kind]), np.uint8)
    try:
        by_littlecms(probe, icc, kind)
    except (imagecodecs.CmsError, ValueError):
        return False
    return True


def _description(icc: bytes) -> str:
    """Return the profile's own name, one line."""
    from PIL import ImageCms

    try:
        name = ImageCms.getProfileDescription(ImageCms.ImageCmsProfile(io.BytesIO(icc)))
    except (OSError, ImageCms.PyCMSError):
        name = ""
    return " ".join(name.split()) or "an unnamed profile"
