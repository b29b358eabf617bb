"""Dabs as a camera saw them: what a fit of the paints compares with, camera and all.

Of a surface the photo holds T(g_c (r . w_c) s + glare), channel by channel: r its reflectance, w
the camera's weights (`generic`), g exposure and white balance, s what shading is left over this
surface, T the tone curve (`tone`). All of it is fitted beside the paints.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.display import XYZ_TO_SRGB
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.characterise.observation import Look
from refmatch.swatch.dab import Known, PhotoDab
from refmatch.swatch.generic import Generic
from refmatch.swatch.tone import TERMS, TONE_DOUBT, Tone, lightness, lightness_slope, linear_of

EXPOSURE_DOUBT, BALANCE_DOUBT = 0.3, 0.06
"""Standard deviation of ln exposure, alike in all channels, and of ln of each channel's gain."""

GLARE_DOUBT = 0.004
"""Of the light that the lens spreads over everything, white 1."""

SHADING_DOUBT = 0.02
"""Of the ln of the light over each surface: what is left of uneven light."""

CHANNEL_ERROR = 0.3
"""Standard error of each channel, in L*, that no unknown explains (own choice)."""

GAINS, AT_TONE = 4, 5
AT_WAYS = AT_TONE + TERMS


@dataclass(frozen=True, eq=False)
class Camera:
    """What was found of a camera: ``weights`` (31, 3) with gains in them, glare, tone curve."""

    weights: Array
    glare: float
    tone: Tone

    def undone(self, xyz: Array) -> Array:
        """Return the linear sRGB that a decoded XYZ (..., 3), D50, white 1, came from.

        Exposure and balance are undone too: a perfect reflector is 1, 1, 1.
        """
        curved = lightness(100.0 * xyz @ XYZ_TO_SRGB.T)
        linear = linear_of(self.tone.undone(curved)) - self.glare
        return linear / self.weights.sum(axis=0)


class Photographed:
    """An observation: dabs, then known surfaces, as one photo holds them."""

    def __init__(self, dabs: Sequence[PhotoDab], known: Sequence[Known], generic: Generic) -> None:
        self.generic = generic
        every: list[PhotoDab | Known] = [*dabs, *known]
        self.dabs = len(dabs)
        self.known = np.array([each.reflectance for each in known]).reshape(-1, 31)
        linear = 100.0 * np.stack([each.xyz for each in every]) @ XYZ_TO_SRGB.T
        self.code = lightness(linear)
        uneven = 100.0 * np.stack([each.sigma for each in every]) @ np.abs(XYZ_TO_SRGB).T
        own = lightness_slope(np.maximum(linear, 0.0)) * uneven
        self.sigma = np.hypot(own, CHANNEL_ERROR / 100.0)
        self.high = np.array([each.high for each in every])
        self.low = np.array([each.low for each in every])
        self.at_shade = AT_WAYS + len(generic.ways)
        self.size = self.at_shade + len(every)
        self.rows = np.full(self.dabs, 3)

    def camera(self, own: Array) -> Camera:
        """Return the camera of the observation's unknowns."""
        ways = np.tensordot(own[AT_WAYS : self.at_shade], self.generic.ways, axes=1)
        tone = Tone.of(TONE_DOUBT * own[AT_TONE:AT_WAYS])
        return Camera(
            (self.generic.weights + ways) * _gains(own), float(GLARE_DOUBT * own[GAINS]), tone
        )

    def look(self, root: Array, own: Array) -> Look:
        """Compare channel by channel in lightness; a clipped channel is a bound."""
        camera = self.camera(own)
        surfaces = np.concatenate([root**3, self.known])
        shade = np.exp(SHADING_DOUBT * own[self.at_shade :])[:, None]
        light = surfaces @ camera.weights * shade
        value = lightness(light + camera.glare)
        miss = (self.code - camera.tone(value)) / self.sigma
        free = (self.high & (miss < 0.0)) | (self.low & (miss > 0.0))
        counts = np.where(free, 0.0, 1.0) / self.sigma
        by_light = counts * camera.tone.steepness(value) * lightness_slope(light + camera.glare)
        by_own = self._by_own(surfaces, light, by_light, _gains(own) * shade)
        by_own[:, :, AT_TONE:AT_WAYS] = counts[..., None] * camera.tone.slopes(value) * TONE_DOUBT
        n = self.dabs
        by_root = (by_light * shade)[:n, :, None] * camera.weights.T * (3.0 * root**2)[:, None, :]
        miss = np.where(free, 0.0, miss)
        aside = by_own[n:].reshape(-1, self.size)
        return Look(miss[:n], by_root, by_own[:n], miss[n:].ravel(), aside)

    def off(self, root: Array, own: Array) -> Array:
        """Return by how much the dabs' linear sRGB is other than expected, (n, 3), white 1.

        Camera and shading are undone; a clipped channel that keeps to its bound is not off.
        """
        camera, found = self.camera(own), self.look(root, own)
        shade = np.exp(SHADING_DOUBT * own[self.at_shade :][: self.dabs, None])
        light = linear_of(camera.tone.undone(self.code[: self.dabs])) - camera.glare
        off = (light / shade - root**3 @ camera.weights) / camera.weights.sum(axis=0)
        return np.where(found.miss == 0.0, 0.0, off)

    def _by_own(self, surfaces: Array, light: Array, by_light: Array, gained: Array) -> Array:
        """Return the slopes of what is expected by all unknowns but the tone's, (n, 3, size)."""
        slope = np.zeros((len(surfaces), 3, self.size))
        by_ln = by_light * light
        slope[:, :, 0] = EXPOSURE_DOUBT * by_ln
        for channel in range(3):
            slope[:, channel, 1 + channel] = BALANCE_DOUBT * by_ln[:, channel]
        slope[:, :, GAINS] = GLARE_DOUBT * by_light
        ways = np.einsum("nb,jbc->ncj", surfaces, self.generic.ways)
        slope[:, :, AT_WAYS : self.at_shade] = (by_light * gained)[:, :, None] * ways
        every = np.arange(len(surfaces))
        slope[every, :, self.at_shade + every] = SHADING_DOUBT * by_ln
        return slope


def _gains(own: Array) -> Array:
    """Return what exposure and white balance multiply each channel by, (3,)."""
    return np.exp(EXPOSURE_DOUBT * own[0] + BALANCE_DOUBT * own[1:GAINS])
