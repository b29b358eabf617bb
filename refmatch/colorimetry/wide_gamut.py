"""Colours for screens that show more than sRGB, and in which of the two a colour fits.

Display P3 has the primaries of digital cinema, the white of sRGB and its curve. CSS
knows it by name, so a page can ask for a colour and leave the rest to the screen.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.adaptation import adaptation
from refmatch.colorimetry.display import (
    SRGB_WHITE,
    can_be_lit,
    encode_srgb,
    fits_srgb,
    give_up_chroma,
    lab_to_srgb8,
)
from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE

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
