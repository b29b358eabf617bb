"""What is believed of a pigment's curves before a colour of it is measured.

The unknowns are ln K and ln S on the 31 bands. Their prior is a Gaussian process:
its mean is the remembered sketch of the pigment, its covariance the ways in which a
sketch from memory goes wrong: too strong, shifted along the spectrum, too contrasty,
or bent smoothly, never finer than the narrowest band that pigments have.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.ndimage import gaussian_filter1d

from refmatch.colorimetry.spectrum import BANDS, WAVELENGTHS_NM, Array

DARKEST = 25.0
"""Usual K/S of a masstone where it absorbs most: about 1 % comes back (from memory)."""


@dataclass(frozen=True)
class Doubts:
    """Standard deviations of a sketch's errors, in ln K and ln S, and their reach in nm.

    Chosen by leaving out each mixture marked "fit" in turn (``pigment_report.py``); the
    left-out errors hardly change when any of these is halved or doubled, save for the
    reach of the bends of S.
    """

    k_level: float = 0.7
    k_bend: float = 0.5
    k_bend_nm: float = 90.0
    k_detail: float = 0.3
    k_detail_nm: float = 28.0
    k_detail_without_bands: float = 0.1
    k_shift_nm: float = 5.0
    k_contrast: float = 0.15
    s_level: float = 0.7
    s_bend: float = 0.55
    s_bend_nm: float = 60.0
    s_follows_k: float = 0.1


def sketch_curve(sketch: float | list[list[float]]) -> Array:
    """Return ln of a sketch on the 31 bands, its corners rounded over 8 nm.

    ``sketch`` is one level, or [nm, value] points; beyond its ends it goes on level.
    """
    if isinstance(sketch, float):
        return np.full(BANDS, np.log(sketch))
    nm, values = np.array(sketch).T
    fine_nm = np.arange(370.0, 731.0)
    inside = np.clip(fine_nm, nm[0], nm[-1])
    fine = PchipInterpolator(nm, np.log(values))(inside)
    return np.interp(WAVELENGTHS_NM, fine_nm, gaussian_filter1d(fine, 8.0))


def prior(pigment: dict[str, Any], doubts: Doubts) -> tuple[Array, Array]:
    """Return mean (62,) and covariance (62, 62) of ln K and ln S of one pigment."""
    ln_k = sketch_curve(pigment["sketch"])
    contrast = ln_k - ln_k.mean()
    has_bands = pigment.get("has_bands", True)
    detail = doubts.k_detail if has_bands else doubts.k_detail_without_bands
    cov_k = (
        doubts.k_level**2
        + bends(doubts.k_bend, doubts.k_bend_nm)
        + bends(detail, doubts.k_detail_nm)
        + alike(doubts.k_shift_nm * np.gradient(ln_k, WAVELENGTHS_NM))
        + alike(doubts.k_contrast * contrast)
    )
    cov_s = (
        doubts.s_level**2
        + bends(doubts.s_bend, doubts.s_bend_nm)
        + alike(doubts.s_follows_k * contrast)
    )
    ln_s = np.log(np.exp(sketch_curve(pigment["scattering"])) + np.exp(ln_k) / DARKEST)
    mean = np.concatenate([ln_k, ln_s])
    zero = np.zeros((BANDS, BANDS))
    return mean, np.block([[cov_k, zero], [zero, cov_s]])


def bends(deviation: float, reach_nm: float) -> Array:
    """Return the covariance (31, 31) of smooth bends of a reach (squared exponential)."""
    apart = WAVELENGTHS_NM[:, None] - WAVELENGTHS_NM[None, :]
    return deviation**2 * np.exp(-0.5 * (apart / reach_nm) ** 2)


def alike(shape: Array) -> Array:
    """Return the covariance (31, 31) of one shape added in an unknown amount of sd 1."""
    return np.outer(shape, shape)
