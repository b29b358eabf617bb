"""A camera, what it is taken for beforehand, and the light it looks by.

Of a surface the photo holds T(g_c (r . w_c) s + glare), channel by channel: r its reflectance, w
the camera's weights, g exposure and white balance, s what shading is left over this surface, T the
tone curve (`tone`), all on the scale of linear sRGB.

Before its photo is looked at a camera is taken for one like those that were measured: its way from
reflectance to linear sRGB is one weight for each band and channel, that of the sensor under the
lamp through the maker's 3 x 3. The belief is Gaussian: mean and spread of the measured bodies, and
beside it what was not measured: the maker's look, a lamp that is not quite the one in the tables.
All of it keeps white white; white balance and exposure stand apart.
"""

from __future__ import annotations

import functools
import json
from collections.abc import Callable
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

import numpy as np

from refmatch.colorimetry.display import XYZ_TO_SRGB
from refmatch.colorimetry.lab import EPSILON, KAPPA, adaptation
from refmatch.colorimetry.spectrum import BANDS, WAVELENGTHS_NM, Array
from refmatch.colorimetry.viewing import ICC_WHITE, viewing
from refmatch.dabs.doubt import (
    BALANCE_DOUBT,
    EXPOSURE_DOUBT,
    GLARE_DOUBT,
    LIKELY,
    MATRIX_DOUBT,
    SENSOR_DOUBT,
    SENSOR_REACH_NM,
    TINT_DOUBT,
    TINT_REACH_NM,
    TONE_DOUBT,
    TONE_USUAL,
    VIVID_DOUBT,
    VIVID_USUAL,
)
from refmatch.errors import UsageError
from refmatch.paint.box import Box, CameraBelief

# A camera's tone curve: what it makes of light before it is written as sRGB.
#
# Light and codes are compared on a lightness scale, 0 black to 1 white, like CIELAB's L*, one for
# each channel. There the curve is the integral of an exponential, so that it always rises:
# T(u) = I(u) / I(1), I(u) = integral from 0 to u of exp(sum a_j P_j(2s - 1)), with Legendre's
# polynomials P_j: P_1 makes it brighter or darker, P_2 steeper in the middle.

TERMS = len(TONE_DOUBT)
_STEPS = 400
_GRID: Array = np.linspace(0.0, 1.0, _STEPS + 1)


def lightness(linear: Array) -> Array:
    """Return L* / 100 of linear light, white 1; goes on straight below 0."""
    linear = np.asarray(linear, dtype=float)
    root = np.cbrt(np.maximum(linear, EPSILON))
    curved = np.where(linear > EPSILON, root, (KAPPA * linear + 16.0) / 116.0)
    return (116.0 * curved - 16.0) / 100.0


def lightness_slope(linear: Array) -> Array:
    """Return the slope of `lightness`."""
    high = np.maximum(linear, EPSILON) ** (-2.0 / 3.0) / 3.0
    return 1.16 * np.where(linear > EPSILON, high, KAPPA / 116.0)


def linear_of(value: Array) -> Array:
    """Return the linear light of a lightness; the inverse of `lightness`."""
    curved = (100.0 * np.asarray(value, dtype=float) + 16.0) / 116.0
    cube = curved**3
    return np.where(cube > EPSILON, cube, (116.0 * curved - 16.0) / KAPPA)


@dataclass(frozen=True, eq=False)
class Tone:
    """A tone curve, tabulated: ``curve`` (401,) and its slopes ``by_terms`` (401, 4) from 0 to 1.

    Beyond 0 and 1 it goes on straight.
    """

    curve: Array
    slope: Array
    by_terms: Array

    @classmethod
    def of(cls, terms: Array) -> Tone:
        """Return the curve of a_1 to a_4; all zero is no curve at all."""
        shapes = _shapes()
        steep = np.exp(shapes @ terms)
        area = _integral(steep)
        by_area = _integral(steep[:, None] * shapes)
        curve = area / area[-1]
        by_terms = (by_area - curve[:, None] * by_area[-1]) / area[-1]
        return cls(curve, steep / area[-1], by_terms)

    def __call__(self, value: Array) -> Array:
        """Return what becomes of a lightness."""
        inside = np.clip(value, 0.0, 1.0)
        return np.interp(inside, _GRID, self.curve) + (value - inside) * self.steepness(value)

    def steepness(self, value: Array) -> Array:
        """Return the slope at a lightness."""
        return np.interp(value, _GRID, self.slope)

    def slopes(self, value: Array) -> Array:
        """Return the slopes by a_1 to a_4, (..., 4), at a lightness."""
        value = np.asarray(value)
        return np.stack([np.interp(value, _GRID, column) for column in self.by_terms.T], axis=-1)

    def undone(self, value: Array) -> Array:
        """Return the lightness before the curve."""
        value = np.asarray(value)
        inside = np.interp(value, self.curve, _GRID)
        beyond = value - np.clip(value, 0.0, 1.0)
        return inside + beyond / self.steepness(inside)


def _shapes() -> Array:
    """Return P_1 to P_4 along the curve, (401, 4)."""
    return np.polynomial.legendre.legvander(2.0 * _GRID - 1.0, TERMS)[:, 1:]


def _integral(values: Array) -> Array:
    """Return the running integral from 0 by the trapezium rule, along the first axis."""
    steps = 0.5 * (values[1:] + values[:-1]) / _STEPS
    return np.concatenate([np.zeros_like(values[:1]), np.cumsum(steps, axis=0)])


Light = str | float
"""A name, "A", "D50", "D65" or "LED"; or kelvins."""

NAMES = {"A": "A", "D50": "D50", "D65": "D65", "LED": "LED-B3", "LED-B3": "LED-B3"}
A_K, D50_K, D65_K = 2856.0, 5003.0, 6504.0
"""Correlated colour temperatures of the CIE's illuminants (CIE 015:2018)."""

LEAST_K, MOST_K = 1800.0, 12000.0
DAYLIGHT_FROM_K = 4000.0
"""Below this a light of a temperature is taken for a glowing body, from it up for daylight."""

SECOND_RADIATION_NM_K = 1.4388e7
"""Planck's second radiation constant c2 (CIE 015:2018)."""


def light_said(text: str) -> Light:
    """Return a light as a painter writes it: kelvins, such as "5500" or "5500K", else its name."""
    try:
        return float(text.strip().upper().removesuffix("K"))
    except ValueError:
        return text.strip()


def lamp(light: Light) -> Array:
    """Return the weights, (31, 3), by which the CIE observer under a light sees linear sRGB.

    The observer is adapted from the light to the photo's white (Bradford): white is 1, 1, 1.

    Raises:
        UsageError: no such light, or kelvins beyond 1800 to 12000.
    """
    weights = _under(light, lambda name: viewing(name).weights)
    to_srgb = XYZ_TO_SRGB @ adaptation(weights.sum(axis=0), ICC_WHITE)
    return weights @ to_srgb.T


def _under(light: Light, of: Callable[[str], Array]) -> Array:
    """Return what hangs on a lamp's power, (31, ...), under a light, ``of`` those in the tables.

    A glowing body is CIE A, as much redder or bluer as Planck's law; daylight lies between or
    beyond D50 and D65 in reciprocal kelvins.
    """
    if isinstance(light, str):
        known = NAMES.get(light.strip().upper())
        if known is None:
            raise UsageError("light_unknown", light=light)
        return of(known)
    if not LEAST_K <= light <= MOST_K:
        raise UsageError("light_beyond", kelvins=light, least=LEAST_K, most=MOST_K)
    if light >= DAYLIGHT_FROM_K:
        share = (1.0 / D50_K - 1.0 / light) / (1.0 / D50_K - 1.0 / D65_K)
        return of("D50") + share * (of("D65") - of("D50"))
    glow, other = of("A"), _planck(light) / _planck(A_K)
    return (glow.T * other).T


def _planck(kelvins: float) -> Array:
    return 1.0 / np.expm1(SECOND_RADIATION_NM_K / (WAVELENGTHS_NM * kelvins))


@dataclass(frozen=True, eq=False)
class Bodies:
    """Measured cameras: ``sensitivity`` (n, 31, 3), and the maker's ``matrix`` (n, 3, 3)."""

    number: Array
    sensitivity: Array
    matrix: Array

    def weights(self, light: Light) -> Array:
        """Return what takes reflectance to linear sRGB, white to 1, under a light, (n, 31, 3).

        Raises:
            UsageError: no such light.
        """
        power = _under(light, lambda name: np.array(_measured()["power"][name]))
        lit = self.sensitivity * power[:, None]
        balanced: Array = lit / lit.sum(axis=1, keepdims=True) @ self.matrix
        return balanced

    def but(self, number: int) -> Bodies:
        """Return all but one of them."""
        kept = self.number != number
        return Bodies(self.number[kept], self.sensitivity[kept], self.matrix[kept])


@functools.cache
def _measured() -> dict[str, Any]:
    text = files("refmatch.dabs").joinpath("data/cameras.json").read_text("utf-8")
    table: dict[str, Any] = json.loads(text)
    return table


@functools.cache
def bodies() -> Bodies:
    """Return the bodies that the belief in a camera is made from.

    Source: rawtoaces-data (Academy Software Foundation), Apache-2.0; the matrices are fitted by
    ``docs/derivations/cameras.py``.
    """
    rows = _measured()["bodies"]
    number, sensitivity, matrix = (
        np.array([row[key] for row in rows]) for key in ("number", "sensitivity", "matrix")
    )
    return Bodies(number, sensitivity, matrix / matrix.sum(axis=1, keepdims=True))


KEPT_SHARE = 1e-3
"""Directions whose deviation is below this part of the largest are left out."""


def generic_camera(light: Light | None = None) -> CameraBelief:
    """Return the belief about a camera under a light, or under one that nobody told.

    Raises:
        UsageError: no such light.
    """
    return camera_among(bodies(), light)


def camera_among(measured: Bodies, light: Light | None = None) -> CameraBelief:
    """Return what measured bodies let believe of one more, under a light or an unknown one.

    An unknown light is any of a few likely ones: mean and covariance are those of all of them.
    So few bodies tell their own spread only roughly: it is widened as that of Student's t.

    Raises:
        UsageError: no such light.
    """
    count = len(measured.number)
    wider = (1.0 + 1.0 / count) * (count - 1.0) / (count - 3.0)
    under = [measured.weights(each) for each in (LIKELY if light is None else (light,))]
    means = np.stack([_as_shown(seen.mean(axis=0)) for seen in under])
    weights = means.mean(axis=0)
    covariance = _alike(*(means - weights)) / len(under) + _unmeasured(weights)
    for seen in under:
        apart = seen - seen.mean(axis=0)
        covariance += wider * _alike(*apart) / (count - 1.0) / len(under)
    values, vectors = np.linalg.eigh(covariance)
    kept = values > KEPT_SHARE**2 * values[-1]
    ways = (vectors[:, kept] * np.sqrt(values[kept])).T.reshape(-1, BANDS, 3)
    return CameraBelief(weights, ways[::-1])


SAME = "same"
"""The light, and the camera, of the photo that a box was made from."""


def believed_camera(box: Box, light: Light | None) -> CameraBelief:
    """Return what is believed of the camera of a photo before it is looked at.

    ``light`` is the lamp's name or kelvins, None where nobody knows, or `SAME`.

    Raises:
        ValueError: `SAME`, of a box without a camera. UsageError: no such light.
    """
    if light != SAME:
        return generic_camera(light)
    if box.camera is None:
        raise ValueError("this box was not made from a photo")
    return box.camera


def _white_kept(way: Array, weights: Array) -> Array:
    """Take from a way, (..., 31, 3), what would tint white."""
    return way - way.sum(axis=-2, keepdims=True) * weights / weights.sum(axis=0)


def _alike(*ways: Array) -> Array:
    """Return the covariance, (93, 93), of ways (31, 3) each in an unknown amount of sd 1."""
    flat = np.stack([way.ravel() for way in ways])
    return flat.T @ flat


def _luma(weights: Array) -> Array:
    return (weights @ np.array([0.2126, 0.7152, 0.0722]))[..., None]


def _as_shown(weights: Array) -> Array:
    """Return weights with the chroma that a maker's look usually adds."""
    return weights + VIVID_USUAL * (weights - _luma(weights))


def _unmeasured(weights: Array) -> Array:
    """Return the covariance, (93, 93), of what the table of bodies does not hold."""
    return _matrix(weights) + _sensor(weights) + _tint(weights)


def _matrix(weights: Array) -> Array:
    """Return that of the maker's look, and of a 3 x 3 that is not the one fitted here."""
    ways: list[Array] = [VIVID_DOUBT * (weights - _luma(weights))]
    for into in range(3):
        for other in range(3):
            if other != into:
                way = np.zeros_like(weights)
                way[:, into] = MATRIX_DOUBT * (weights[:, other] - weights[:, into])
                ways.append(way)
    return _alike(*ways)


def _sensor(weights: Array) -> Array:
    """Return that of a sensor unlike all that were measured: bends in each channel by itself."""
    bends = SENSOR_DOUBT * np.abs(weights).mean(axis=1) * _bends(SENSOR_REACH_NM)
    apart = np.eye(3)[:, None, None, :] * bends[None, :, :, None]
    return _alike(*_white_kept(apart.reshape(-1, BANDS, 3), weights))


def _tint(weights: Array) -> Array:
    """Return that of a lamp of another spectrum: bends in all channels at once."""
    return _alike(*_white_kept(TINT_DOUBT * _bends(TINT_REACH_NM)[:, :, None] * weights, weights))


def _bends(reach_nm: float) -> Array:
    """Return independent ways, (31, 31), that make up smooth bends of standard deviation 1."""
    apart = WAVELENGTHS_NM[:, None] - WAVELENGTHS_NM[None, :]
    values, vectors = np.linalg.eigh(np.exp(-0.5 * (apart / reach_nm) ** 2))
    return (vectors * np.sqrt(np.maximum(values, 0.0))).T


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
        """Return the camera of the unknowns of one photo, (9,); all zero is a usual one."""
        gains = np.exp(EXPOSURE_DOUBT * own[0] + BALANCE_DOUBT * own[1:GLARE])
        tone = Tone.of(TONE_USUAL + TONE_DOUBT * own[TONE])
        return cls(weights, gains, float(GLARE_DOUBT * own[GLARE]), tone)

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
