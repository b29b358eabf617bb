"""Photos of known light, by way of a file like any other photo, for tests."""

from __future__ import annotations

import functools
import tempfile
import warnings
from collections.abc import Callable
from pathlib import Path

import imagecodecs
import numpy as np
import tifffile

from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.photo.load import load
from refmatch.photo.photo import Photo

WIDE = ((0.85, 0.15), (0.05, 0.94), (0.03, 0.01))
"""Chromaticities of primaries that hold every colour under every light of these tests."""


def photo_of_xyz(xyz: np.ndarray) -> Photo:
    """Return the photo of XYZ (rows, columns, 3), white Y = 1: a tagged 16-bit TIFF."""
    linear = xyz @ np.linalg.inv(_wide_to_xyz()).T
    assert linear.min() > -1e-6
    assert linear.max() < 1.0 + 1e-6
    codes = np.rint(np.clip(linear, 0.0, 1.0) * 65535.0).astype(np.uint16)
    return _loaded(lambda path: tifffile.imwrite(path, codes, iccprofile=_wide_profile(), **RGB))


def photo_of_srgb(samples: np.ndarray) -> Photo:
    """Return the photo of 8-bit samples (rows, columns, 3) without a profile."""
    return _loaded(lambda path: path.write_bytes(imagecodecs.png_encode(samples)))


RGB = {"photometric": "rgb", "metadata": None}


def _loaded(write: Callable[[Path], object]) -> Photo:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "photo"
        write(path)
        return load(path)


def _wide_to_xyz() -> np.ndarray:
    """Return the matrix of the wide primaries: their sum is the ICC's white."""
    columns = np.array([[x / y, 1.0, (1.0 - x - y) / y] for x, y in WIDE]).T
    white = ICC_WHITE / 100.0
    return columns * np.linalg.solve(columns, white)


@functools.cache
def _wide_profile() -> bytes:
    x, y, _ = ICC_WHITE / ICC_WHITE.sum()
    primaries = [number for chromaticity in WIDE for number in (*chromaticity, 1.0)]
    line = np.linspace(0.0, 1.0, 2, dtype=np.float32)
    return imagecodecs.cms_profile(
        "rgb", whitepoint=(x, y, 1.0), primaries=primaries, transferfunction=line
    )


def patches(colours: np.ndarray, columns: int, side: int = 40) -> np.ndarray:
    """Lay colours (n, 3) out as squares, row by row; returns (rows, columns, 3)."""
    return np.kron(colours.reshape(-1, columns, 3), np.ones((side, side, 1)))


def photograph(name: str) -> np.ndarray:
    """Return one of scikit-image's bundled photographs, uint8 sRGB."""
    import skimage.data

    return getattr(skimage.data, name)()


def colour_science():  # type: ignore[no-untyped-def]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns of plotting libraries that are not there
        import colour
    return colour


@functools.cache
def chart_under(illuminant: str) -> tuple[np.ndarray, np.ndarray]:
    """Return XYZ (24, 3) of the 24-patch chart in a light, and of that light, its Y = 1.

    Reflectances of ISO 17321-1:2006 and the CIE's illuminants, from colour-science;
    CIE 1931 observer. An ideal camera set to D50 sees exactly this.
    """
    colour = colour_science()
    shape = colour.SpectralShape(400, 700, 5)
    spectra = colour.SDS_COLOURCHECKERS["ISO 17321-1"].values()
    reflectance = np.array([sd.copy().align(shape).values for sd in spectra])
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape).values
    light = colour.SDS_ILLUMINANTS[illuminant].copy().align(shape).values
    weights = light[:, None] * observer / (light @ observer[:, 1])
    return reflectance @ weights, weights.sum(axis=0)
