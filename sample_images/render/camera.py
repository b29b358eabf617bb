"""From what a sensor counts to a JPEG file: the road that a real photo takes.

Sensor counts -> saturation and noise -> white balance to the camera's guess of the
light -> colour matrix -> sRGB curve -> JPEG with an sRGB profile. The guess is off by
as much as a camera's often is, and the sensor is no standard observer; those two
errors are what the photo has and the truth beside it has not.
"""

from __future__ import annotations

import functools
import io
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from PIL import Image, ImageCms

from refmatch.colorimetry.display import SRGB_TO_XYZ, SRGB_TO_XYZ_D65, SRGB_WHITE, encode_srgb
from refmatch.colorimetry.lab import adaptation

from .spectra import WAVELENGTHS_NM

SENSITIVITIES = "Nikon 5100 (NPL)"
"""The published data set's own name in colour-science; nothing of ours is named so."""

CHART_SPECTRA = "ISO 17321-1"
"""The data set's own name in colour-science: reflectances of a 24-patch chart."""


@dataclass(frozen=True, eq=False)
class Development:
    """How one photo was taken: the light the camera guessed, and its exposure.

    ``white_level``: the fullest channel of a perfect white under the scene's light,
    as a share of saturation.
    """

    guessed_light: np.ndarray
    white_level: float
    noise: float = 0.004
    seed: int = 7
    quality: int = 92
    orientation: int = 1


@functools.cache
def film_curves() -> np.ndarray:
    """Return the camera's sensitivities and the CIE 1931 functions on the grid, (n, 6)."""
    import colour

    sensor = colour.MSDS_CAMERA_SENSITIVITIES[SENSITIVITIES]
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    columns = [
        np.interp(WAVELENGTHS_NM, source.wavelengths, source.values[:, k], left=0.0, right=0.0)
        for source in (sensor, observer)
        for k in range(3)
    ]
    return np.maximum(np.stack(columns, axis=1), 0.0)


@functools.cache
def chart_spectra() -> np.ndarray:
    """Return the 24 reflectances of the published chart on the grid, (24, n)."""
    import colour

    patches = colour.SDS_COLOURCHECKERS[CHART_SPECTRA].values()
    return np.stack([np.interp(WAVELENGTHS_NM, sd.wavelengths, sd.values) for sd in patches])


def colour_matrix(light: np.ndarray) -> np.ndarray:
    """Return balanced sensor counts -> linear sRGB, by least squares on the chart, white kept."""
    counts = (chart_spectra() * light) @ film_curves() / (light @ film_curves())
    sensor, xyz = counts[:, :3], (counts * (light @ film_curves()))[:, 3:]
    white = light @ film_curves()[:, 3:]
    to_srgb = np.linalg.inv(SRGB_TO_XYZ_D65) @ adaptation(white, SRGB_WHITE)
    wanted = xyz @ to_srgb.T
    red, green, blue = sensor.T
    matrix = np.empty((3, 3))
    for row in range(3):  # rows sum to one, so that white stays white
        left = np.stack([red - green, blue - green], axis=1)
        a, c = np.linalg.lstsq(left, wanted[:, row] - green, rcond=None)[0]
        matrix[row] = (a, 1.0 - a - c, c)
    return matrix


def develop(counts: np.ndarray, white_counts: np.ndarray, how: Development) -> np.ndarray:
    """Turn sensor counts (h, w, 3) into sRGB bytes.

    ``white_counts``: the counts of a perfect white under the scene's light, shape (3,).
    """
    raw = counts * (how.white_level / white_counts.max())
    raw = np.minimum(raw + _noise(raw, how), 1.0)
    balanced = np.minimum(_balanced(raw, how), 1.0)
    linear = balanced @ colour_matrix(how.guessed_light).T
    return np.rint(encode_srgb(np.clip(linear, 0.0, 1.0)) * 255.0).astype(np.uint8)


def white_in_photo(white_counts: np.ndarray, how: Development) -> np.ndarray:
    """Return XYZ (D50, Y = 1 for the file's white) of a perfect white, unclipped, in the photo."""
    counts = white_counts * (how.white_level / white_counts.max())
    linear = _balanced(counts, how) @ colour_matrix(how.guessed_light).T
    return SRGB_TO_XYZ @ linear / 100.0


def _balanced(raw: np.ndarray, how: Development) -> np.ndarray:
    """Raise the weaker channels of the guessed light to its strongest."""
    guess = how.guessed_light @ film_curves()[:, :3]
    return raw * (guess.max() / guess)


def _noise(raw: np.ndarray, how: Development) -> np.ndarray:
    """Shot noise grows with the root of the light; a little of it is shared by neighbours."""
    draw = np.random.default_rng(how.seed).standard_normal(raw.shape)
    soft = cv2.GaussianBlur(draw, (0, 0), 0.7) * 2.0
    return soft * how.noise * np.sqrt(np.maximum(raw, 0.0) + 0.01)


def save_jpeg(srgb8: np.ndarray, path: Path, how: Development) -> None:
    """Write the photo with its profile; ``orientation`` as EXIF has it (1, or 6: turn right)."""
    stored = np.rot90(srgb8) if how.orientation == 6 else srgb8
    exif = Image.Exif()
    exif[0x0112] = how.orientation
    stream = io.BytesIO()
    Image.fromarray(np.ascontiguousarray(stored)).save(
        stream,
        "JPEG",
        quality=how.quality,
        subsampling="4:2:0",
        optimize=True,
        icc_profile=srgb_profile(),
        exif=exif.tobytes(),
    )
    path.write_bytes(stream.getvalue())


def srgb_profile() -> bytes:
    """Return littleCMS's sRGB profile with a fixed date, so that the bytes never change."""
    data = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    data[24:36] = bytes([7, 0xE8, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0])
    data[84:100] = bytes(16)
    return bytes(data)
