"""A phone that photographs dabs: spectra in, what a decoded JPEG holds of them out.

The sensor's sensitivities are those of two real cameras, bent at random; the light has a tint;
the maker's matrix is fitted to the sensor, and not quite right; white balance, exposure, glare
of the lens and a tone curve are the camera's own; some shading of the card is left over; every
pixel is noisy and rounded to 8 bits. The tone curve is of another form than the one that the
calibration fits. Sizes are our own choice.

Sources: sensitivities by the National Physical Laboratory (Darrodi, Finlayson, Goodman &
Mackiewicz 2015, doi:10.1364/JOSAA.32.000381), light and 24-patch chart by the CIE and by
Ohta, all as carried by colour-science.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.display import SRGB_TO_XYZ, XYZ_TO_SRGB, decode_srgb, encode_srgb
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array
from refmatch.colorimetry.viewing import viewing

PIXELS = 256
"""Pixels of a dab that are averaged."""

LIGHTS = ("D50", "D65", "LED-B3", "A")
CAMERAS = ("Nikon 5100 (NPL)", "Sigma SDMerill (NPL)")
SHADING = 0.02


@dataclass(frozen=True, eq=False)
class Shot:
    """What a photo says of patches: mean ``xyz`` (n, 3), D50, white Y = 1; and how sure.

    ``spread`` (n, 3) is the standard deviation of the pixels; ``high`` and ``low`` (n, 3) say
    which of red, green and blue lie at an end of the scale in more than a hundredth of them.
    """

    xyz: Array
    spread: Array
    high: Array
    low: Array


@dataclass(frozen=True, eq=False)
class Camera:
    """A sensor with its maker's processing, under one light.

    ``weights`` (31, 3) take reflectance to linear sRGB, exposure and white balance included.
    """

    weights: Array
    contrast: float
    pivot: float
    gamma: float
    glare: float
    noise: tuple[float, float]

    def develop(self, linear: Array) -> Array:
        """Apply the tone curve to linear light; codes from 0 to 1, unclipped."""
        code = np.sign(linear) * encode_srgb(np.abs(linear))
        inside = np.clip(code, 0.0, 1.0) ** self.gamma
        curved = _sigmoid(inside, self.pivot)
        mixed = (1.0 - self.contrast) * inside + self.contrast * curved
        return np.where(code > 1.0, code, np.where(code < 0.0, 0.0, mixed))


def _sigmoid(code: Array, pivot: float, steep: float = 5.0) -> Array:
    """Return an S from (0, 0) to (1, 1), steepest at the pivot: a logistic curve."""

    def raw(x: Array | float) -> Array:
        return 1.0 / (1.0 + np.exp(-steep * (np.asarray(x) - pivot)))

    return (raw(code) - raw(0.0)) / (raw(1.0) - raw(0.0))


@functools.cache
def camera_of(light: str, seed: int) -> Camera:
    """Return some phone under some lamp of that kind."""
    rng = np.random.default_rng(seed)
    sensor = _sensor(CAMERAS[int(rng.integers(len(CAMERAS)))], rng)
    tint = np.exp(_smooth(rng, 0.05, 80.0))
    lit = sensor * (illuminant(light) * tint)[:, None]
    balanced = lit / lit.sum(axis=0)
    matrix = _makers_matrix(balanced, rng)
    gains = np.exp(rng.normal(0.0, 0.02, 3)) * np.exp(rng.normal(np.log(0.85), 0.08))
    return Camera(
        weights=balanced * gains @ matrix,
        contrast=float(rng.uniform(0.0, 0.6)),
        pivot=float(rng.uniform(0.4, 0.6)),
        gamma=float(np.exp(rng.normal(0.0, 0.05))),
        glare=float(rng.uniform(0.0, 0.004)),
        noise=(float(rng.uniform(0.004, 0.012)), float(rng.uniform(0.0005, 0.002))),
    )


def photographed(reflectance: Array, camera: Camera, seed: int) -> Shot:
    """Return what a JPEG of surfaces (n, 31) holds once it is decoded as sRGB."""
    rng = np.random.default_rng(seed)
    shade = np.exp(_shading(len(reflectance), rng))[:, None]
    linear = reflectance @ camera.weights * shade + camera.glare
    shot, read = camera.noise
    size = (len(linear), PIXELS, 3)
    sigma = np.sqrt(shot**2 * np.maximum(linear, 0.0) + read**2)[:, None, :]
    pixels = linear[:, None, :] + sigma * rng.standard_normal(size)
    codes = np.round(255.0 * np.clip(camera.develop(pixels), 0.0, 1.0))
    xyz = decode_srgb(codes / 255.0) @ SRGB_TO_XYZ.T / 100.0
    return Shot(
        xyz.mean(axis=1),
        xyz.std(axis=1),
        (codes >= 255.0).mean(axis=1) > 0.01,
        (codes <= 0.0).mean(axis=1) > 0.01,
    )


def grey(lstar: float) -> Array:
    """Return the reflectance, (31,), of a card that is grey in every band."""
    return np.full(len(WAVELENGTHS_NM), ((lstar + 16.0) / 116.0) ** 3)


@functools.cache
def chart() -> Array:
    """Return the reflectance, (24, 31), of a 24-patch chart."""
    import colour

    patches = colour.SDS_COLOURCHECKERS["ColorChecker N Ohta"].values()
    return np.stack([_on_grid(patch) for patch in patches])


@functools.cache
def illuminant(name: str) -> Array:
    """Return the relative power, (31,), of a CIE illuminant."""
    import colour

    return _on_grid(colour.SDS_ILLUMINANTS[name])


def _on_grid(spectrum) -> Array:
    return np.interp(WAVELENGTHS_NM, spectrum.wavelengths, spectrum.values)


def _sensor(name: str, rng: np.random.Generator) -> Array:
    import colour

    curves = colour.MSDS_CAMERA_SENSITIVITIES[name]
    moved = WAVELENGTHS_NM + rng.normal(0.0, 2.0, (3, 1))
    columns = [
        np.interp(at, curves.wavelengths, column, right=0.0) * np.exp(_smooth(rng, 0.06, 40.0))
        for at, column in zip(moved, curves.values.T, strict=True)
    ]
    return np.maximum(np.stack(columns, axis=1), 0.0)


def _makers_matrix(balanced: Array, rng: np.random.Generator) -> Array:
    """Return the white-preserving 3 x 3 that a maker would find, some saturation added."""
    patches = chart()
    wanted = patches @ viewing().weights
    wanted = wanted / viewing().white * (SRGB_TO_XYZ.sum(axis=1)) @ XYZ_TO_SRGB.T
    seen = patches @ balanced
    # rows that sum to 1 keep white white: fit the differences from green
    matrix = np.zeros((3, 3))
    for channel in range(3):
        base = seen[:, 1]
        rest = np.stack([seen[:, 0] - base, seen[:, 2] - base], axis=1)
        weight = 1.0 / (0.05 + wanted[:, 1])
        found = np.linalg.lstsq(
            rest * weight[:, None], (wanted[:, channel] - base) * weight, rcond=None
        )[0]
        matrix[:, channel] = found[0], 1.0 - found.sum(), found[1]
    vivid = np.exp(rng.normal(0.04, 0.05))
    luma = np.array([0.2126, 0.7152, 0.0722])[:, None]
    saturate = vivid * np.eye(3) + (1.0 - vivid) * luma
    off = rng.normal(0.0, 0.015, (3, 3))
    return matrix @ saturate @ (np.eye(3) + off - np.diag(off.sum(axis=0)))


def _shading(count: int, rng: np.random.Generator) -> Array:
    """Return what is left of uneven light, in ln units: half a slope across the card."""
    across = np.linspace(-1.0, 1.0, count)
    slope = rng.normal(0.0, 0.7 * SHADING) * across * np.sqrt(3.0)
    return slope + rng.normal(0.0, 0.7 * SHADING, count)


def _smooth(rng: np.random.Generator, size: float, reach_nm: float) -> Array:
    """Return a smooth random bend, (31,), of a standard deviation and a reach."""
    apart = WAVELENGTHS_NM[:, None] - WAVELENGTHS_NM[None, :]
    values, vectors = np.linalg.eigh(np.exp(-0.5 * (apart / reach_nm) ** 2))
    return size * vectors @ (np.sqrt(np.maximum(values, 0.0)) * rng.standard_normal(len(values)))
