"""From a file's own samples to XYZ under the ICC D50 white.

littleCMS does the colour, in floating point and relative colorimetric, so that
nothing outside sRGB is cut off. Most profiles are additive: light from the
three channels simply adds up. For these littleCMS is asked for each channel's
curve once, and every sample after that is a table look-up and a 3 x 3 matrix.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import Any

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import PhotoError
from refmatch.flag import Flag
from refmatch.photo.decoded import CHANNELS, Decoded, Kind, Samples
from refmatch.photo.opencv import opencv
from refmatch.photo.space import SRGB

SPACE_OF: dict[Kind, str] = {"grey": "gray", "rgb": "rgb", "cmyk": "cmyk"}
ICC_SPACES: dict[bytes, Kind] = {b"GRAY": "grey", b"RGB ": "rgb", b"CMYK": "cmyk"}

SAME_XYZ = 2e-5
"""How exactly light must add up, as a part of white's; littleCMS itself is good to 1e-5."""


@dataclass(frozen=True, eq=False)
class Additive:
    """A profile whose channels' light adds up, taken apart for samples of one depth.

    ``curves`` (codes, channels) float32 turns codes to linear light, 0 to 1, and
    ``matrix`` (3, channels) float32 that to XYZ with white Y = 1.
    """

    curves: Array
    matrix: Array

    def light(self, samples: Samples) -> Array:
        """Return each channel in linear light, float32, the shape of ``samples``."""
        if samples.dtype == np.uint8 and samples.size:
            table = self.curves[:, None, :]
            looked_up: Array = opencv().LUT(np.ascontiguousarray(samples), table)
            return looked_up.reshape(samples.shape)
        linear = np.empty(samples.shape, np.float32)
        for i in range(samples.shape[-1]):
            linear[..., i] = self.curves[:, i].take(samples[..., i])
        return linear

    def xyz(self, light: Array) -> Array:
        """Add up the channels' light, (..., channels), to XYZ (..., 3)."""
        return light @ self.matrix.T


@dataclass(frozen=True, eq=False)
class ColourTransform:
    """One profile, ready for samples of one kind and depth.

    ``additive`` is None where the channels do not add up, or are floats, which
    have no table. A float beyond 0 to 1 is kept as far as the profile's own
    curves go: formulas go on, tables end.
    """

    name: str
    icc: bytes
    kind: Kind
    additive: Additive | None

    def xyz(self, samples: Samples) -> Array:
        """Convert samples (rows, columns, channels) to XYZ float32 (rows, columns, 3)."""
        if self.additive is None:
            return by_littlecms(samples, self.icc, self.kind)
        return self.additive.xyz(self.additive.light(samples))


def transform(name: str, icc: bytes, kind: Kind, dtype: np.dtype[Any]) -> ColourTransform:
    """Make a profile ready for samples of a kind and a type."""
    adds_up = dtype.kind == "u" and kind != "cmyk"
    return ColourTransform(name, icc, kind, _additive(icc, kind, dtype) if adds_up else None)


def by_littlecms(samples: Samples, icc: bytes, kind: Kind) -> Array:
    """Convert samples to XYZ float32 by littleCMS itself, a tenth of a microsecond a pixel.

    Raises:
        imagecodecs.CmsError: the profile does not serve.
    """
    import imagecodecs

    if not samples.size:
        return np.empty((*samples.shape[:2], 3), np.float32)
    if kind == "grey" and icc_kind(icc) == "rgb":
        samples, kind = np.repeat(samples, 3, axis=-1), "rgb"
    source = np.ascontiguousarray(samples[..., 0] if kind == "grey" else samples)
    xyz: Array = imagecodecs.cms_transform(
        source,
        icc,
        imagecodecs.cms_profile("xyz"),
        colorspace=SPACE_OF[kind],
        outcolorspace="xyz",
        outdtype="float32",
        intent=imagecodecs.CMS.INTENT.RELATIVE_COLORIMETRIC,
    )
    return xyz


def icc_kind(icc: bytes) -> Kind | None:
    """Return what kind of samples a profile is for, by its header (ICC.1:2022, 7.2.6)."""
    return ICC_SPACES.get(icc[16:20])


def _additive(icc: bytes, kind: Kind, dtype: np.dtype[Any]) -> Additive | None:
    """Take a profile apart, or return None if random colours show that it is not additive."""
    channels = CHANNELS[kind]
    codes = np.arange(np.iinfo(dtype).max + 1, dtype=dtype)
    alone = np.zeros((channels, len(codes), channels), dtype)
    for i in range(channels):
        alone[i, :, i] = codes
    xyz = by_littlecms(alone, icc, kind).astype(float)
    matrix = xyz[:, -1, :].T
    total = matrix.sum(axis=0)
    if np.any(total <= 0.0):
        return None
    curves = (xyz.sum(axis=-1) / total[:, None]).T
    additive = Additive(curves.astype(np.float32), matrix.astype(np.float32))
    probe = np.random.default_rng(0).integers(0, len(codes), (1, 512, channels)).astype(dtype)
    error = additive.xyz(additive.light(probe)) - by_littlecms(probe, icc, kind)
    return additive if np.abs(error).max() <= SAME_XYZ else None


# Which colour profile a photo has: its own, one it names, or sRGB, assumed and said.

ASSUMED = Flag("assumed_srgb")
UNREADABLE = Flag("profile_unreadable")
BY_NAME = Flag("space_stated")


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
        name, flags = space.name, flags if space == SRGB else (*flags, BY_NAME)
    return transform(name, (space or SRGB).icc, kind, depth), flags


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
