"""A camera and how it took one photo: from reflectance to what the file holds.

Of a surface the photo holds T(g_c (r . w_c) s + glare), channel by channel: r its reflectance, w
the camera's weights (`generic`), g exposure and white balance, s what shading is left over this
surface, T the tone curve (`tone`), all on the scale of linear sRGB.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.display import XYZ_TO_SRGB
from refmatch.colorimetry.spectrum import Array
from refmatch.swatch.tone import TERMS, TONE_DOUBT, Tone, lightness, linear_of

EXPOSURE_DOUBT, BALANCE_DOUBT = 0.4, 0.12
"""Standard deviation of ln exposure, alike in all channels, and of ln of each channel's gain."""

GLARE_DOUBT = 0.006
"""Of the light that the lens spreads over everything, white 1."""

GLARE, TONE = 4, slice(5, 5 + TERMS)
PER_PHOTO = 5 + TERMS
"""Unknowns of one photo: exposure, three gains, glare, tone curve. A phone adapts all of them."""


@dataclass(frozen=True, eq=False)
class Camera:
    """What was found of a camera in one photo.

    ``weights`` (31, 3) take reflectance to linear sRGB, white to 1; ``gains`` (3,) are exposure
    and white balance.
    """

    weights: Array
    gains: Array
    glare: float
    tone: Tone

    @classmethod
    def of(cls, weights: Array, own: Array) -> Camera:
        """Return the camera of the unknowns of one photo, (9,); all zero is a faithful one."""
        gains = np.exp(EXPOSURE_DOUBT * own[0] + BALANCE_DOUBT * own[1:GLARE])
        return cls(weights, gains, float(GLARE_DOUBT * own[GLARE]), Tone.of(TONE_DOUBT * own[TONE]))

    def undone(self, xyz: Array) -> Array:
        """Return the linear sRGB, white 1, that a decoded XYZ (..., 3), D50, white 1, came from."""
        return self.light_of(lightness(100.0 * xyz @ XYZ_TO_SRGB.T))

    def light_of(self, code: Array) -> Array:
        """Return the linear sRGB, white 1, that lightness as in the file came from."""
        return (linear_of(self.tone.undone(code)) - self.glare) / self.gains

    def lit(self, shading: Array, paper: Array) -> Array:
        """Return how much brighter the light is where the photo shows paper so much brighter.

        The tone curve flattens unevenness in lights: where the file shows paper of luminance
        ``paper`` (n,) ``shading`` (n,) times as bright, the light itself differs by more.
        """
        light = linear_of(self.tone.undone(lightness(paper * shading))) - self.glare
        plain = linear_of(self.tone.undone(lightness(paper))) - self.glare
        return light / plain
