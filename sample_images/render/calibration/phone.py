"""The phone: held a little aslant over the card; its lens, its noise, its tone curve, its file."""

from __future__ import annotations

import io
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.card import Frame, Rectangle
from tests.dabs.studio import Shot, to_photo
from tests.virtual_studio.camera import Camera

from ..camera import srgb_profile
from .raster import PX_PER_MM, Raster

SHOT = Shot(
    turn_deg=2.5,
    tilt_deg=17.0,
    tilt_axis_deg=12.0,
    width_px=2736,
    height_px=3648,
    fill=0.90,
    offset=(0.008, -0.006),
)
BLUR_PX, VIGNETTE, QUALITY, SEED = 0.7, 0.10, 88, 53


def matrix_of(card: Frame, shot: Shot = SHOT) -> Array:
    """Return the homography, (3, 3), from millimetres on the page to pixels of the photo."""
    return to_photo(shot, card)


def field_of_view(card: Frame, shot: Shot = SHOT) -> Rectangle:
    """Return the part of the table, in the page's millimetres, that is in the picture."""
    width, height = shot.width_px, shot.height_px
    corners = np.array([[[0, 0], [width, 0], [width, height], [0, height]]], float)
    seen = cv2.perspectiveTransform(corners, np.linalg.inv(matrix_of(card, shot)))[0]
    low, high = np.floor(seen.min(axis=0)) - 2.0, np.ceil(seen.max(axis=0)) + 2.0
    return Rectangle(*low, *(high - low))


def taken(raster: Raster, card: Frame, camera: Camera, shot: Shot = SHOT) -> Array:
    """Return the photo's 8-bit sRGB codes of the scene from above."""
    above = raster.surface * raster.lit[..., None]
    to_mm = np.array(
        [[1 / PX_PER_MM, 0, raster.left_mm], [0, 1 / PX_PER_MM, raster.top_mm], [0, 0, 1.0]]
    )
    half, back = np.eye(3), np.eye(3)
    half[:2, 2], back[:2, 2] = 0.5, -0.5
    warp = back @ matrix_of(card, shot) @ to_mm @ half
    size = (shot.width_px, shot.height_px)
    light = cv2.warpPerspective(cv2.GaussianBlur(above, (0, 0), 0.5), warp, size)
    light = cv2.GaussianBlur(light, (0, 0), BLUR_PX) * _vignette(shot)[..., None] + camera.glare
    codes = camera.develop(light + _noise(light, camera))
    return np.rint(255.0 * np.clip(codes, 0.0, 1.0)).astype(np.uint8)


def save(codes: Array, path: Path) -> None:
    """Write the photo with its profile."""
    stream = io.BytesIO()
    Image.fromarray(codes).save(
        stream,
        "JPEG",
        quality=QUALITY,
        subsampling="4:2:0",
        optimize=True,
        icc_profile=srgb_profile(),
    )
    path.write_bytes(stream.getvalue())


def _vignette(shot: Shot) -> Array:
    """Return the lens's own falling off, to the corners."""
    y, x = np.mgrid[-1 : 1 : shot.height_px * 1j, -1 : 1 : shot.width_px * 1j].astype(np.float32)
    return 1.0 - VIGNETTE * (x**2 + y**2) / 2.0


def _noise(light: Array, camera: Camera) -> Array:
    """Shot and read noise, a little of it shared by neighbours."""
    draw = np.random.default_rng(SEED).standard_normal(light.shape, np.float32)
    soft = 2.0 * cv2.GaussianBlur(draw, (0, 0), 0.7)
    shot, read = camera.noise
    return soft * np.sqrt(shot**2 * np.maximum(light, 0.0) + read**2)
