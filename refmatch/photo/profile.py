"""From a file's own samples to XYZ under the ICC D50 white, by its profile.

littleCMS does the colour, in floating point and relative colorimetric, so that
nothing outside sRGB is cut off. Most profiles are additive: light from the
three channels simply adds up. For these littleCMS is asked for each channel's
curve once, and every sample after that is a table look-up and a 3 x 3 matrix.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.display import decode_srgb
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import PhotoError
from refmatch.flag import Flag
from refmatch.photo.decoded import Decoded, Kind, Samples
from refmatch.photo.opencv import opencv

ASSUMED = Flag("assumed_srgb", "The photo carries no colour profile; it is taken as sRGB.")
UNREADABLE = Flag(
    "profile_unreadable", "The photo's colour profile cannot be read; it is taken as sRGB."
)
BY_EXIF = Flag(
    "space_stated", "The photo carries no colour profile but names its colour space; that is used."
)

SPACE_OF: dict[Kind, str] = {"grey": "gray", "rgb": "rgb", "cmyk": "cmyk"}
ICC_SPACES: dict[bytes, Kind] = {b"GRAY": "grey", b"RGB ": "rgb", b"CMYK": "cmyk"}

P3_WHITE = (0.3127, 0.3290, 1.0)
P3_PRIMARIES = (0.680, 0.320, 1.0, 0.265, 0.690, 1.0, 0.150, 0.060, 1.0)
"""xyY of Display P3: the primaries of SMPTE EG 432-1 with sRGB's white and curve."""


@dataclass(frozen=True, eq=False)
class ColourTransform:
    """One profile, ready for samples of one depth.

    ``curves`` (codes, channels) turns codes to linear light, 0 to 1, and
    ``matrix`` (3, channels) that to XYZ with white Y = 1; both are None where
    the profile is not additive or the samples are floats.
    """

    name: str
    icc: bytes
    kind: Kind
    curves: Array | None
    matrix: Array | None

    def xyz(self, samples: Samples) -> Array:
        """Convert samples (rows, columns, channels) to XYZ float32 (rows, columns, 3)."""
        if self.curves is None or self.matrix is None:
            return _by_littlecms(samples, self.icc, self.kind)
        return self.linear_device(samples) @ self.matrix.T.astype(np.float32)

    def linear_device(self, samples: Samples) -> Array:
        """Return additive channels in linear light, float32, the shape of ``samples``."""
        assert self.curves is not None
        if samples.dtype == np.uint8 and samples.size:
            table = self.curves[:, None, :]
            looked_up: Array = opencv().LUT(np.ascontiguousarray(samples), table)
            return looked_up.reshape(samples.shape)
        linear = np.empty(samples.shape, np.float32)
        for i in range(samples.shape[-1]):
            linear[..., i] = self.curves[:, i].take(samples[..., i])
        return linear


def transform_for(decoded: Decoded, name: str) -> tuple[ColourTransform, tuple[Flag, ...]]:
    """Find the profile of a decoded file, assuming sRGB where there is none, and say so.

    Raises:
        PhotoError: inks (CMYK) without a profile that says what they look like.
    """
    icc = decoded.icc
    flags: tuple[Flag, ...] = ()
    if icc is not None and not _serves(icc, decoded.kind):
        icc, flags = None, (UNREADABLE,)
    if icc is not None:
        return _transform(_description(icc), icc, decoded), flags
    if decoded.kind == "cmyk":
        raise PhotoError(
            f"'{name}' is in printing inks (CMYK) without a profile that says how they look; "
            "save it as an RGB photo."
        )
    space = decoded.stated_space
    if space is None:
        return _transform("sRGB, assumed", built_in("sRGB"), decoded), flags or (ASSUMED,)
    said = () if space == "sRGB" else (BY_EXIF,)
    return _transform(space, built_in(space), decoded), flags + said


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


def _transform(name: str, icc: bytes, decoded: Decoded) -> ColourTransform:
    kind = decoded.kind
    if decoded.samples.dtype.kind == "f" or kind == "cmyk":
        return ColourTransform(name, icc, kind, None, None)
    curves, matrix = _additive_parts(icc, kind, decoded.samples.dtype)
    return ColourTransform(name, icc, kind, curves, matrix)


def _by_littlecms(samples: Samples, icc: bytes, kind: Kind) -> Array:
    import imagecodecs

    if kind == "grey" and _icc_kind(icc) == "rgb":
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


def _additive_parts(icc: bytes, kind: Kind, dtype: np.dtype) -> tuple[Array | None, Array | None]:
    """Take an additive profile apart, or return (None, None) if its channels do not add up."""
    channels = 1 if kind == "grey" else 3
    codes = np.arange(np.iinfo(dtype).max + 1, dtype=dtype)
    alone = np.zeros((channels, len(codes), channels), dtype)
    for i in range(channels):
        alone[i, :, i] = codes
    xyz = _by_littlecms(alone, icc, kind).astype(float)
    matrix = xyz[:, -1, :].T
    total = matrix.sum(axis=0)
    if np.any(total <= 0.0):
        return None, None
    curves = (xyz.sum(axis=-1) / total[:, None]).T
    probe = np.random.default_rng(0).integers(0, len(codes), (1, 512, channels)).astype(dtype)
    found = ColourTransform("", icc, kind, curves.astype(np.float32), matrix).xyz(probe)
    if np.abs(found - _by_littlecms(probe, icc, kind)).max() > 2e-5:
        return None, None
    return curves.astype(np.float32), matrix


def _icc_kind(icc: bytes) -> Kind | None:
    return ICC_SPACES.get(icc[16:20])


def _serves(icc: bytes, kind: Kind) -> bool:
    """Say whether littleCMS can use the profile for samples of this kind."""
    import imagecodecs

    if _icc_kind(icc) != kind and not (kind == "grey" and _icc_kind(icc) == "rgb"):
        return False
    probe = np.zeros((1, 1, {"grey": 1, "rgb": 3, "cmyk": 4}[kind]), np.uint8)
    try:
        _by_littlecms(probe, icc, kind)
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
