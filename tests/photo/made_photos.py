"""Photos made from known light, without a file between, for tests."""

from __future__ import annotations

import functools
import warnings
from pathlib import Path

import numpy as np

from refmatch.colorimetry.display import SRGB_TO_XYZ, decode_srgb
from refmatch.photo.photo import Photo
from refmatch.photo.profile import ColourTransform

BRIGHTEST = 2.0


def photo_of_xyz(xyz: np.ndarray) -> Photo:
    """Return a 16-bit photo whose channels are X, Y and Z themselves, 0 to 2."""
    codes = np.clip(np.rint(xyz / BRIGHTEST * 65535.0), 0, 65535).astype(np.uint16)
    curve = np.linspace(0.0, BRIGHTEST, 65536, dtype=np.float32)
    transform = ColourTransform("XYZ", b"", "rgb", np.repeat(curve[:, None], 3, axis=1), np.eye(3))
    return Photo(Path("made-up"), codes, transform, 16, "")


def photo_of_srgb(samples: np.ndarray) -> Photo:
    """Return an 8-bit sRGB photo of samples (rows, columns, 3), uint8."""
    curve = decode_srgb(np.arange(256) / 255.0).astype(np.float32)
    curves = np.repeat(curve[:, None], 3, axis=1)
    transform = ColourTransform("sRGB", b"", "rgb", curves, SRGB_TO_XYZ / 100.0)
    return Photo(Path("made-up"), samples, transform, 8, "")


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
