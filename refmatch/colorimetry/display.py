"""Colours for screens and printers: D50 Lab to sRGB bytes, and what they cannot show."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.lab import adaptation, lab_to_xyz
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE

SRGB_WHITE: Array = np.array([0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290]) * 100.0
"""XYZ of sRGB's white, from its chromaticity (IEC 61966-2-1:1999)."""

SRGB_TO_XYZ_D65: Array = 100.0 * np.array(
    [
        [0.4123907992659595, 0.3575843393838780, 0.1804807884018343],
        [0.2126390058715104, 0.7151686787677559, 0.0721923153607337],
        [0.0193308187155918, 0.1191947797946259, 0.9505321522496608],
    ]
)
"""Linear sRGB, 0 to 1, to XYZ, 0 to 100, from the primaries of IEC 61966-2-1:1999."""

SRGB_TO_XYZ: Array = adaptation(SRGB_WHITE, ICC_WHITE) @ SRGB_TO_XYZ_D65
"""Linear sRGB, 0 to 1, to XYZ adapted to D50, 0 to 100 (white is `ICC_WHITE`)."""

XYZ_TO_SRGB: Array = np.linalg.inv(SRGB_TO_XYZ)


HALVINGS = 12
"""Halvings of the chroma given up: C* is found to a four-thousandth of itself."""

STEP = 1.0 / 255.0
"""One step of 8 bits: what is nearer than that to what a screen shows is not told from it."""


def encode_srgb(linear: Array) -> Array:
    """Apply the sRGB transfer curve to linear values; IEC 61966-2-1:1999."""
    linear = np.asarray(linear, dtype=float)
    curved = 1.055 * np.maximum(linear, 0.0) ** (1.0 / 2.4) - 0.055
    return np.where(linear <= 0.0031308, 12.92 * linear, curved)


def decode_srgb(encoded: Array) -> Array:
    """Undo the sRGB transfer curve; IEC 61966-2-1:1999."""
    encoded = np.asarray(encoded, dtype=float)
    curved = ((np.maximum(encoded, 0.0) + 0.055) / 1.055) ** 2.4
    return np.where(encoded <= 0.04045, encoded / 12.92, curved)


def lab_to_linear_srgb(lab: Array) -> Array:
    """Convert Lab of a D50 white to linear sRGB, unclipped, white to 1, shape (..., 3)."""
    xyz = lab_to_xyz(lab, ICC_WHITE)
    return xyz @ XYZ_TO_SRGB.T


def lab_to_srgb8(lab: Array) -> npt.NDArray[np.uint8]:
    """Convert D50 Lab to sRGB bytes; what a screen cannot show keeps its lightness and hue.

    Chroma is given up until the colour fits. Shape (..., 3).
    """
    linear = lab_to_linear_srgb(give_up_chroma(lab, fits_srgb))
    return np.rint(encode_srgb(np.clip(linear, 0.0, 1.0)) * 255.0).astype(np.uint8)


def give_up_chroma(lab: Array, fits: Callable[[Array], npt.NDArray[np.bool_]]) -> Array:
    """Return each colour with the most chroma that ``fits`` allows; lightness and hue stay.

    Colours that fit are left alone; for the others the share of chroma is halved upon.
    A lightness beyond black or white is left to be clipped. Shape (..., 3).
    """
    shown = np.array(lab, dtype=float)
    outside = ~fits(shown)
    if not outside.any():
        return shown
    beyond = shown[outside]
    low, high = np.zeros(len(beyond)), np.ones(len(beyond))
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        inside = fits(_with_chroma(beyond, middle))
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    shown[outside] = _with_chroma(beyond, low)
    return shown


def fits_srgb(lab: Array) -> npt.NDArray[np.bool_]:
    """Say which colours an sRGB screen can show, to within a step of 8 bits."""
    return can_be_lit(lab_to_linear_srgb(lab))


def can_be_lit(linear: Array) -> npt.NDArray[np.bool_]:
    """Say which linear RGB, (..., 3), a screen's lights can give, to within a step of 8 bits.

    The step is one of the curve: in darks the same step of linear light would be
    a difference that the eye sees.
    """
    least, most = decode_srgb(np.array([-STEP, 1.0 + STEP]))
    return np.all((linear >= least) & (linear <= most), axis=-1)


def _with_chroma(lab: Array, share: Array) -> Array:
    scaled = lab.copy()
    scaled[..., 1:] *= np.asarray(share)[..., None]
    return scaled


# Colours for screens that show more than sRGB, and in which of the two a colour fits.
#
# Display P3 has the primaries of digital cinema, the white of sRGB and its curve. CSS
# knows it by name, so a page can ask for a colour and leave the rest to the screen.

P3_PRIMARIES: Array = np.array([[0.680, 0.320], [0.265, 0.690], [0.150, 0.060]])
"""Chromaticities x, y of red, green and blue (SMPTE EG 432-1:2010; CSS Color 4, "display-p3")."""


def _to_xyz(primaries: Array, white: Array) -> Array:
    """Return linear RGB, 0 to 1, to XYZ: each primary as strong as makes white of all three.

    Source: SMPTE RP 177:1993.
    """
    x, y = primaries.T
    columns = np.stack([x / y, np.ones(3), (1.0 - x - y) / y])
    return columns * np.linalg.solve(columns, white)


P3_TO_XYZ_D65: Array = _to_xyz(P3_PRIMARIES, SRGB_WHITE)
"""Linear Display P3, 0 to 1, to XYZ, 0 to 100."""

XYZ_TO_P3: Array = np.linalg.inv(adaptation(SRGB_WHITE, ICC_WHITE) @ P3_TO_XYZ_D65)
"""XYZ of the ICC's D50, 0 to 100, to linear Display P3, 0 to 1."""


def lab_to_linear_p3(lab: Array) -> Array:
    """Convert Lab of a D50 white to linear Display P3, unclipped, white to 1, shape (..., 3)."""
    return lab_to_xyz(lab, ICC_WHITE) @ XYZ_TO_P3.T


def fits_p3(lab: Array) -> npt.NDArray[np.bool_]:
    """Say which colours a Display P3 screen can show, to within a step of 8 bits."""
    return can_be_lit(lab_to_linear_p3(lab))


def lab_to_p3(lab: Array) -> Array:
    """Convert D50 Lab to encoded Display P3, 0 to 1; beyond it lightness and hue are kept.

    Shape (..., 3).
    """
    linear = lab_to_linear_p3(give_up_chroma(lab, fits_p3))
    return encode_srgb(np.clip(linear, 0.0, 1.0))


def css_srgb(labs: Array) -> list[str]:
    """Return colours, (n, 3) Lab, as CSS for any screen: "#aabbcc"."""
    return [f"#{red:02x}{green:02x}{blue:02x}" for red, green, blue in lab_to_srgb8(labs)]


def css_p3(labs: Array) -> list[str]:
    """Return colours, (n, 3) Lab, as CSS for wide screens: "color(display-p3 0.1 0.2 0.3)".

    Source: CSS Color Module Level 4, "The color() function".
    """
    return [
        f"color(display-p3 {red:.4f} {green:.4f} {blue:.4f})"
        for red, green, blue in lab_to_p3(labs)
    ]


def screens(labs: Array) -> list[str]:
    """Return which screens show each colour, (n, 3) Lab: "srgb", only "p3", or "none"."""
    narrow, wide = fits_srgb(labs), fits_p3(labs)
    return [
        "srgb" if small else "p3" if large else "none"
        for small, large in zip(narrow, wide, strict=True)
    ]
