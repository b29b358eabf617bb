"""A camera that photographs dabs: spectra in, what a decoded JPEG holds of them out.

Its sensor is a measured body's; the light has a tint. Exposure and white balance come first, then
the sensor runs out at its end. The maker's 3 x 3 was fitted by day, to a chart of their own, with
some chroma added; what lies outside sRGB is cut off before the tone curve, which is of other forms
than the one that the program fits. Lens glare, some shading left over, noise, 8 bits and JPEG are
added. Sizes are our own choice; those of doubt in the program are not made from them.

Sources: sensitivities of 26 bodies, rawtoaces-data (Academy Software Foundation), Apache-2.0
(``tests/data/cameras.csv``); those whose number 3 divides are kept for final figures. Light and
24-patch chart by the CIE and by Ohta, as carried by colour-science.
"""

from __future__ import annotations

import csv
import functools
import io
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image

from refmatch.colorimetry.display import SRGB_TO_XYZ, decode_srgb, encode_srgb
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array
from refmatch.dabs.camera import lamp
from refmatch.dabs.patch import JPEG_SLACK

SIDE_PX = 16
"""Side of a patch in the file: one block of a JPEG whose colour is halved along both sides."""

LIGHTS = ("D50", "D65", "LED-B3", "A")
SHADING = 0.02
CLIPPED_SHARE = 0.01
LUMA: Array = np.array([0.2126, 0.7152, 0.0722])
MEASURED = Path(__file__).parents[1] / "data" / "cameras.csv"


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
    """A body with its maker's processing, under one light.

    ``raw`` (31, 3) takes reflectance to the sensor's red, green and blue, exposure and white
    balance included: each runs out at 1. ``matrix`` (3, 3) takes those to linear sRGB; ``curve``
    is the tone curve between codes from 0 to 1.
    """

    body: int
    raw: Array
    matrix: Array
    curve: Callable[[Array], Array]
    glare: float
    noise: tuple[float, float]
    quality: int

    @property
    def weights(self) -> Array:
        """What takes reflectance to linear sRGB, (31, 3), where nothing runs out."""
        return self.raw @ self.matrix

    def cut(self, linear: Array) -> Array:
        """Return linear sRGB (..., 3) as the sensor, where it runs out, lets it be."""
        return np.minimum(linear @ np.linalg.inv(self.matrix), 1.0) @ self.matrix

    def develop(self, linear: Array) -> Array:
        """Cut linear light off at both ends, and apply the tone curve; codes from 0 to 1."""
        return self.curve(encode_srgb(np.clip(linear, 0.0, 1.0)))

    def codes(self, linear: Array) -> Array:
        """Return 8-bit codes of whole pictures, by a table of 65536 steps of light."""
        return self._table[np.clip(linear * 65535.0 + 0.5, 0, 65535).astype(np.uint16)]

    @functools.cached_property
    def _table(self) -> Array:
        codes = 255.0 * np.clip(self.develop(np.linspace(0.0, 1.0, 65536)), 0.0, 1.0)
        return np.rint(codes).astype(np.uint8)


def _logistic(rng: np.random.Generator) -> Callable[[Array], Array]:
    """Some share of an S, steepest about the middle, on a curve lifted or lowered a little."""
    share, pivot, gamma = rng.uniform(0.0, 0.6), rng.uniform(0.4, 0.6), np.exp(rng.normal(0, 0.05))

    def raw(x: Array | float) -> Array:
        return 1.0 / (1.0 + np.exp(-5.0 * (np.asarray(x) - pivot)))

    def curve(code: Array) -> Array:
        curved = (raw(code**gamma) - raw(0.0)) / (raw(1.0) - raw(0.0))
        return (1.0 - share) * code**gamma + share * curved

    return curve


def _powers(rng: np.random.Generator) -> Callable[[Array], Array]:
    """Two powers that meet at a pivot: dark ones get darker, light ones lighter."""
    pivot, power = rng.uniform(0.35, 0.65), rng.uniform(1.0, 1.3)

    def curve(code: Array) -> Array:
        dark = pivot * (code / pivot) ** power
        light = 1.0 - (1.0 - pivot) * ((1.0 - code) / (1.0 - pivot)) ** power
        return np.where(code < pivot, dark, light)

    return curve


def _film(rng: np.random.Generator) -> Callable[[Array], Array]:
    """A toe and a shoulder: light x becomes x^g / (x^g + c), scaled to end at white."""
    shoulder, power = rng.uniform(1.5, 6.0), rng.uniform(1.05, 1.25)

    def curve(code: Array) -> Array:
        light = decode_srgb(code) ** power
        return encode_srgb(light * (1.0 + shoulder) / (light + shoulder))

    return curve


CURVES = (_logistic, _powers, _film)


@functools.cache
def bodies() -> dict[int, Array]:
    """Return the sensitivities, (31, 3), of the measured bodies by number."""
    with MEASURED.open(newline="") as file:
        head, *rows = csv.reader(file)
    at = np.array(head[2:], dtype=float)
    found: dict[int, Array] = {}
    for body, channel, *values in rows:
        one = found.setdefault(int(body.split("-")[1]), np.zeros((len(WAVELENGTHS_NM), 3)))
        one[:, "RGB".index(channel)] = np.interp(WAVELENGTHS_NM, at, np.array(values, dtype=float))
    return found


def some_bodies(final: bool) -> list[int]:
    """Return the numbers of the bodies kept for final figures, or of all others."""
    return [number for number in bodies() if (number % 3 == 0) == final]


@functools.cache
def camera_of(light: str, seed: int, final: bool = False) -> Camera:
    """Return some camera under some lamp of that kind."""
    rng = np.random.default_rng(seed)
    numbers = some_bodies(final)
    number = numbers[int(rng.integers(len(numbers)))]
    tint = np.exp(_smooth(rng, 0.04, 80.0))
    lit = bodies()[number] * (illuminant(light) * tint)[:, None]
    gains = np.exp(rng.normal(0.0, 0.02, 3)) * np.exp(rng.normal(np.log(0.85), 0.08))
    return Camera(
        body=number,
        raw=lit / lit.sum(axis=0) * gains,
        matrix=makers_matrix(bodies()[number], rng),
        curve=CURVES[int(rng.integers(len(CURVES)))](rng),
        glare=float(rng.uniform(0.0, 0.004)),
        noise=(float(rng.uniform(0.004, 0.012)), float(rng.uniform(0.0005, 0.002))),
        quality=int(rng.integers(85, 98)),
    )


def photographed(reflectance: Array, camera: Camera, seed: int) -> Shot:
    """Return what a JPEG of surfaces (n, 31) holds once it is decoded as sRGB."""
    rng = np.random.default_rng(seed)
    shade = np.exp(_shading(len(reflectance), rng))[:, None]
    light = reflectance @ camera.raw * shade + camera.glare
    shot, read = camera.noise
    sigma = np.sqrt(shot**2 * np.maximum(light, 0.0) + read**2)[:, None, :]
    size = (len(light), SIDE_PX * SIDE_PX, 3)
    pixels = np.minimum(light[:, None, :] + sigma * rng.standard_normal(size), 1.0)
    codes = np.rint(255.0 * camera.develop(pixels @ camera.matrix)).astype(np.uint8)
    codes = _compressed(codes, camera.quality)
    xyz = decode_srgb(codes / 255.0) @ SRGB_TO_XYZ.T / 100.0
    return Shot(
        xyz.mean(axis=1),
        xyz.std(axis=1),
        (codes >= 255 - JPEG_SLACK).mean(axis=1) > CLIPPED_SHARE,
        (codes <= JPEG_SLACK).mean(axis=1) > CLIPPED_SHARE,
    )


def _compressed(codes: Array, quality: int) -> Array:
    """Return patches' codes, (n, pixels, 3), as a JPEG holds them: a block each, side by side."""
    blocks = codes.reshape(-1, SIDE_PX, SIDE_PX, 3)
    strip = np.concatenate(list(blocks), axis=1)
    file = io.BytesIO()
    Image.fromarray(strip).save(file, "JPEG", quality=quality, subsampling=2)
    again = np.asarray(Image.open(file).convert("RGB"))
    return np.stack(np.split(again, len(blocks), axis=1)).reshape(codes.shape)


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


def makers_matrix(sensitivity: Array, rng: np.random.Generator) -> Array:
    """Return the white-preserving 3 x 3 that a maker would find by day, some chroma added."""
    lit = sensitivity * illuminant("D65")[:, None]
    patches = chart()[rng.integers(24, size=24)]  # makers' charts differ
    wanted = patches @ lamp("D65")
    seen = patches @ (lit / lit.sum(axis=0))
    # rows that sum to 1 keep white white: fit the differences from green
    weight = 1.0 / (0.05 + wanted[:, 1:2])
    beside = seen[:, [0, 2]] - seen[:, 1:2]
    found = np.linalg.lstsq(beside * weight, (wanted - seen[:, 1:2]) * weight, rcond=None)[0]
    matrix = np.stack([found[0], 1.0 - found.sum(axis=0), found[1]])
    vivid = np.exp(rng.normal(0.04, 0.05))
    return matrix @ (vivid * np.eye(3) + (1.0 - vivid) * LUMA[:, None])


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
