"""Pictures for wide screens: Display P3, tagged, as littleCMS reads them."""

from __future__ import annotations

import io

import numpy as np
from PIL import Image, ImageCms

from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.photo.picture import as_wide_jpeg, p3_profile, to_p3

LABS = np.array(
    [[50, 0, 0], [95, 0, 0], [20, 5, -5], [56, 90, 90], [80, -95, 80], [60, 40, 60], [35, 20, -60]],
    dtype=float,
)
"""The fourth and fifth lie outside sRGB and within Display P3."""


def read_by_littlecms(picture: np.ndarray, profile: bytes) -> np.ndarray:
    """Return D50 Lab by littleCMS (ICC.1), to its 8-bit rounding."""
    transform = ImageCms.buildTransform(
        ImageCms.ImageCmsProfile(io.BytesIO(profile)),
        ImageCms.createProfile("LAB"),
        "RGB",
        "LAB",
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
    )
    shown = ImageCms.applyTransform(Image.fromarray(picture), transform)
    found = np.asarray(shown, dtype=float)
    found[..., 0] *= 100.0 / 255.0
    found[..., 1:] = (found[..., 1:] + 128.0) % 256.0 - 128.0
    return found


def test_a_tagged_picture_has_the_colours_it_was_made_of():
    picture = to_p3(lab_to_xyz(LABS, PHOTO_WHITE)[None])
    found = read_by_littlecms(picture, p3_profile())[0]
    assert np.abs(found - LABS).max() < 1.2


def test_the_profile_is_one_of_display_p3():
    """Red, green and blue adapted to D50, as profiles of Display P3 have them (from memory)."""
    profile = ImageCms.ImageCmsProfile(io.BytesIO(p3_profile())).profile
    assert profile.profile_description.strip() == "Display P3"
    red, green, blue = (profile.red_colorant, profile.green_colorant, profile.blue_colorant)
    assert np.allclose(red[0], [0.5151, 0.2412, -0.0011], atol=2e-4)
    assert np.allclose(green[0], [0.2920, 0.6922, 0.0419], atol=2e-4)
    assert np.allclose(blue[0], [0.1571, 0.0666, 0.7841], atol=2e-4)


def test_the_picture_carries_its_profile():
    picture = to_p3(lab_to_xyz(np.full((16, 16, 3), [56.0, 90.0, 90.0]), PHOTO_WHITE))
    image = Image.open(io.BytesIO(as_wide_jpeg(picture)))
    assert image.info["icc_profile"] == p3_profile()
    found = read_by_littlecms(np.asarray(image), image.info["icc_profile"])
    assert np.abs(found[8, 8] - [56.0, 90.0, 90.0]).max() < 2.0


def test_greys_stay_grey():
    labs = np.stack([np.linspace(0.0, 100.0, 64), np.zeros(64), np.zeros(64)], axis=1)
    picture = to_p3(lab_to_xyz(labs, PHOTO_WHITE)[None])
    assert np.ptp(picture.astype(int), axis=-1).max() <= 1
