"""Screen colours against colour-science's sRGB (IEC 61966-2-1:1999)."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.display import (
    SRGB_TO_XYZ_D65,
    decode_srgb,
    encode_srgb,
    fits_srgb,
    lab_to_linear_srgb,
    lab_to_srgb8,
)
from refmatch.colorimetry.lab import hue_deg, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE
from tests.colorimetry.charts import colour

RGB = np.random.default_rng(8).uniform(0.0, 1.0, (200, 3))


def lab_of_srgb(rgb):
    """Return D50 Lab of encoded sRGB by colour-science alone."""
    white = colour.XYZ_to_xy(ICC_WHITE)
    xyz = colour.sRGB_to_XYZ(rgb, illuminant=white, chromatic_adaptation_transform="Bradford")
    return colour.XYZ_to_Lab(xyz, white)


def test_the_transfer_curve_is_that_of_the_standard():
    levels = np.linspace(0.0, 1.0, 500)
    curve = colour.models.rgb.transfer_functions
    np.testing.assert_allclose(encode_srgb(levels), curve.eotf_inverse_sRGB(levels), atol=1e-12)
    np.testing.assert_allclose(decode_srgb(levels), curve.eotf_sRGB(levels), atol=1e-12)
    np.testing.assert_allclose(decode_srgb(encode_srgb(levels)), levels, atol=1e-12)


def test_the_matrix_is_that_of_the_primaries():
    space = colour.RGB_COLOURSPACES["sRGB"]
    derived = colour.normalised_primary_matrix(space.primaries, space.whitepoint)
    np.testing.assert_allclose(SRGB_TO_XYZ_D65 / 100.0, derived, atol=1e-6)


def test_lab_to_screen_undoes_screen_to_lab():
    """The standard's matrices, rounded to four decimals, are within 0.001 of the primaries'."""
    linear = lab_to_linear_srgb(lab_of_srgb(RGB))
    np.testing.assert_allclose(encode_srgb(np.maximum(linear, 0.0)), RGB, atol=0.004)
    bytes_off = lab_to_srgb8(lab_of_srgb(RGB)).astype(int) - np.rint(RGB * 255.0)
    assert np.abs(bytes_off).max() <= 1


def test_greys_are_neutral_on_screen():
    greys = np.stack([np.linspace(0, 100, 21), np.zeros(21), np.zeros(21)], axis=-1)
    shown = lab_to_srgb8(greys)
    assert np.ptp(shown, axis=-1).max() == 0
    assert tuple(shown[0]) == (0, 0, 0)
    assert tuple(shown[-1]) == (255, 255, 255)


def test_what_a_screen_cannot_show_keeps_its_lightness_and_hue():
    """Cobalt blue straight from the tube, Lab 24, 20, -63, lies beyond sRGB (Okumura 2005)."""
    cobalt = np.array([24.0, 20.0, -63.0])
    assert not fits_srgb(cobalt)
    shown = lab_of_srgb(lab_to_srgb8(cobalt) / 255.0)
    assert shown[0] == pytest.approx(24.0, abs=0.5)
    assert hue_deg(shown) == pytest.approx(float(hue_deg(cobalt)), abs=1.5)
    assert np.hypot(*shown[1:]) < np.hypot(*cobalt[1:])


def test_all_of_srgb_fits():
    corners = np.array([[r, g, b] for r in (0, 1) for g in (0, 1) for b in (0, 1)], dtype=float)
    assert np.all(fits_srgb(lab_of_srgb(np.concatenate([RGB, corners]))))
    assert np.all(fits_srgb(xyz_to_lab(ICC_WHITE, ICC_WHITE)))
