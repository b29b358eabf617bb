"""Colour spaces that a file states without a profile: by name, by code points, by numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from refmatch.colorimetry.display import decode_srgb
from refmatch.errors import PhotoError

Xy = tuple[float, float]


@dataclass(frozen=True)
class Space:
    """A space of three additive primaries.

    ``white`` and ``primaries`` are CIE 1931 x, y; ``gamma`` is the power that turns codes
    (0 to 1) to light, None for sRGB's own curve.
    """

    name: str
    white: Xy
    primaries: tuple[Xy, Xy, Xy]
    gamma: float | None = None

    @property
    def icc(self) -> bytes:
        """The space as an ICC profile."""
        import imagecodecs

        numbers = [number for xy in self.primaries for number in (*xy, 1.0)]
        curve: Any = None
        if self.gamma is None:
            curve = decode_srgb(np.linspace(0.0, 1.0, 4096)).astype(np.float32)
        profile: bytes = imagecodecs.cms_profile(
            "rgb",
            whitepoint=(*self.white, 1.0),
            primaries=numbers,
            transferfunction=curve,
            gamma=self.gamma,
        )
        return imagecodecs.cms_profile("srgb") if self == SRGB else profile


D65: Xy = (0.3127, 0.3290)

REC_709 = ((0.640, 0.330), (0.300, 0.600), (0.150, 0.060))
"""The primaries of sRGB (IEC 61966-2-1) and of ITU-R BT.709."""

SRGB = Space("sRGB", D65, REC_709)
ADOBE_RGB = Space(
    "Adobe RGB (1998)", D65, ((0.640, 0.330), (0.210, 0.710), (0.150, 0.060)), 563.0 / 256.0
)
DISPLAY_P3 = Space("Display P3", D65, ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060)))
"""The primaries of SMPTE EG 432-1 with sRGB's white and curve."""

PROPHOTO_LINEAR = Space(
    "ROMM RGB, linear",
    (0.3457, 0.3585),
    ((0.7347, 0.2653), (0.1596, 0.8404), (0.0366, 0.0001)),
    1.0,
)
"""ROMM RGB (ISO 22028-2), as light and not as codes."""

REC_2020 = ((0.708, 0.292), (0.170, 0.797), (0.131, 0.046))
"""The primaries of ITU-R BT.2020."""

PRIMARIES = {
    1: ("sRGB", REC_709),
    9: ("BT.2020", REC_2020),
    12: ("Display P3", DISPLAY_P3.primaries),
}
"""By their code point; ITU-T H.273, table 2."""

CURVES: dict[int, float | None] = {
    **dict.fromkeys((1, 2, 6, 13, 14, 15)),
    4: 2.2,
    5: 2.8,
    8: 1.0,
}
"""Transfer characteristics by their code point; H.273, table 3. Still pictures show those of
television (1, 6, 14, 15), and 2, which is none, with sRGB's curve."""


def by_code_points(primaries: int, transfer: int, name: str) -> Space | None:
    """Return the space of H.273's code points, None where the primaries are not known.

    Raises:
        PhotoError: high dynamic range (PQ or HLG), which has no fixed white; ``name`` is the
            file's.
    """
    if transfer not in CURVES:
        raise PhotoError("photo_high_dynamic_range", file=name)
    if primaries not in PRIMARIES:
        return None
    called, points = PRIMARIES[primaries]
    gamma = CURVES[transfer]
    named = called if gamma is None else f"{called}, gamma {gamma:g}"
    return Space(named, D65, points, gamma)


LEAST_GAMMA, MOST_GAMMA, MOST_XY = 0.2, 5.0, 1.001
"""What is beyond is a slip of whoever wrote the file, and is not believed."""


def by_numbers(gamma: float | None, chromaticities: tuple[float, ...] | None) -> Space | None:
    """Return the space of a PNG's gAMA and cHRM (ISO/IEC 15948, 11.3.2), None without a gamma.

    ``gamma`` is the power that turned light to codes; ``chromaticities`` are x, y of white, red,
    green and blue, those of sRGB where they are not given or are none.
    """
    if not gamma or not LEAST_GAMMA <= 1.0 / gamma <= MOST_GAMMA:
        return None
    numbers = chromaticities or ()
    points = tuple(zip(numbers[::2], numbers[1::2], strict=True))
    if len(points) != 4 or not all(y > 0.0 and x + y <= MOST_XY for x, y in points):
        points = (D65, *REC_709)
    white, red, green, blue = points
    name = f"gamma {1.0 / gamma:.2g}" + ("" if points[1:] == REC_709 else ", its own primaries")
    return Space(name, white, (red, green, blue), 1.0 / gamma)
