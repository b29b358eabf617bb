"""Display P3: its matrix, published colours, and what becomes of colours beyond it."""

from __future__ import annotations

import re

import numpy as np
import pytest

from refmatch.colorimetry.display import (
    P3_TO_XYZ_D65,
    css_p3,
    css_srgb,
    fits_p3,
    lab_to_linear_p3,
    lab_to_p3,
    lab_to_srgb8,
    screens,
)
from refmatch.colorimetry.lab import hue_deg, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE
from tests.colorimetry.charts import colour

RGB = np.random.default_rng(8).uniform(0.0, 1.0, (200, 3))


def lab_of_p3(rgb):
    """Return D50 Lab of encoded Display P3 by colour-science alone."""
    space = colour.RGB_COLOURSPACES["Display P3"]
    white = colour.XYZ_to_xy(ICC_WHITE)
    xyz = colour.RGB_to_XYZ(
        rgb, space, white, chromatic_adaptation_transform="Bradford", apply_cctf_decoding=True
    )
    return colour.XYZ_to_Lab(xyz, white)


def test_the_matrix_is_that_of_colour_science():
    space = colour.RGB_COLOURSPACES["Display P3"]
    np.testing.assert_allclose(P3_TO_XYZ_D65 / 100.0, space.matrix_RGB_to_XYZ, atol=1e-8)


def test_the_matrix_is_that_of_css():
    """CSS Color Module Level 4, sample code, lin_P3_to_XYZ."""
    published = [
        [608311 / 1250200, 189793 / 714400, 198249 / 1000160],
        [35783 / 156275, 247089 / 357200, 198249 / 2500400],
        [0.0, 32229 / 714400, 5220557 / 5000800],
    ]
    np.testing.assert_allclose(P3_TO_XYZ_D65 / 100.0, published, atol=1e-8)


def test_lab_undoes_display_p3():
    np.testing.assert_allclose(lab_to_p3(lab_of_p3(RGB)), RGB, atol=0.0005)


def test_green_of_css_tests():
    """Web platform tests, css-color: display-p3-001 and display-p3-004 (from memory)."""
    np.testing.assert_allclose(
        lab_of_p3([0.26374, 0.59085, 0.16434]),
        colour.XYZ_to_Lab(
            colour.sRGB_to_XYZ(
                np.array([0.0, 0.6, 0.0]),
                illuminant=colour.XYZ_to_xy(ICC_WHITE),
                chromatic_adaptation_transform="Bradford",
            ),
            colour.XYZ_to_xy(ICC_WHITE),
        ),
        atol=0.05,
    )
    full_green = np.array([[86.61399, -106.539, 102.871]])
    np.testing.assert_allclose(lab_to_p3(full_green)[0], [0.0, 1.0, 0.0], atol=0.004)
    assert screens(full_green) == ["p3"]


def test_greys_are_neutral_and_the_same_on_both():
    greys = np.stack([np.linspace(0, 100, 21), np.zeros(21), np.zeros(21)], axis=-1)
    assert np.ptp(lab_to_p3(greys), axis=-1).max() < 1e-4
    np.testing.assert_allclose(lab_to_p3(greys), lab_to_srgb8(greys) / 255.0, atol=0.5 / 255 + 1e-4)


def test_every_colour_has_its_screen():
    """Cadmium-like orange lies between the two; cobalt blue from the tube (Okumura 2005)
    beyond both; sRGB lies within Display P3 as its primaries do (IEC 61966-2-1)."""
    corners = np.array([[r, g, b] for r in (0, 1) for g in (0, 1) for b in (0, 1)], dtype=float)
    white = colour.XYZ_to_xy(ICC_WHITE)
    srgb = colour.XYZ_to_Lab(
        colour.sRGB_to_XYZ(corners, illuminant=white, chromatic_adaptation_transform="Bradford"),
        white,
    )
    assert set(screens(srgb)) == {"srgb"}
    assert np.all(fits_p3(srgb))
    assert screens(lab_of_p3(np.array([[1.0, 0.5, 0.0]]))) == ["p3"]
    assert screens(np.array([[24.0, 20.0, -63.0]])) == ["none"]
    assert screens(np.array([xyz_to_lab(ICC_WHITE, ICC_WHITE)])) == ["srgb"]


@pytest.mark.parametrize(("name", "screen"), [("sRGB", css_srgb), ("Display P3", css_p3)])
def test_what_is_said_to_fit_is_shown_as_it_is(name, screen):
    """By colour-science's own spaces: what is not marked is shown to less than 1 dE00, which
    is about what can be seen. Darks are half of it: there a little light is a large step."""
    rng = np.random.default_rng(1)
    lightness = np.concatenate([rng.uniform(0.0, 20.0, 2000), rng.uniform(0.0, 100.0, 2000)])
    spread = np.repeat([12.0, 30.0], 2000)[:, None]
    labs = np.column_stack([lightness, rng.normal(0.0, 1.0, (4000, 2)) * spread])
    fits = np.array(screens(labs))
    labs = labs[fits == "srgb" if name == "sRGB" else fits != "none"]
    assert len(labs) > 1000
    shown = colour.RGB_to_XYZ(
        read_css(screen(labs)),
        colour.RGB_COLOURSPACES[name],
        illuminant=colour.XYZ_to_xy(ICC_WHITE),
        chromatic_adaptation_transform="Bradford",
        apply_cctf_decoding=True,
    )
    apart = colour.delta_E(labs, colour.XYZ_to_Lab(shown, colour.XYZ_to_xy(ICC_WHITE)))
    assert apart.max() < 1.0


def read_css(written):
    """Return CSS colours as RGB, 0 to 1."""
    if written[0].startswith("#"):
        return np.array([list(bytes.fromhex(css[1:])) for css in written]) / 255.0
    return np.array([[float(part) for part in css[:-1].split()[1:]] for css in written])


def test_what_no_screen_shows_keeps_its_lightness_and_hue():
    """Diarylide yellow from the tube, Lab 77, 29, 105 (Okumura 2005), and a stronger blue."""
    strong = np.array([[77.0, 29.0, 125.0], [24.0, 20.0, -63.0]])
    shown = lab_of_p3(lab_to_p3(strong))
    np.testing.assert_allclose(shown[:, 0], strong[:, 0], atol=0.5)
    np.testing.assert_allclose(hue_deg(shown), hue_deg(strong), atol=1.5)
    assert np.all(np.hypot(*shown[:, 1:].T) < np.hypot(*strong[:, 1:].T))
    assert np.all(np.hypot(*shown[:, 1:].T) > 0.8 * np.hypot(*strong[:, 1:].T))


def test_css_is_written_as_the_standard_writes_it():
    """CSS Color 4: "#rrggbb", and "color(display-p3 r g b)" of three numbers."""
    labs = lab_of_p3(RGB)
    written = [re.fullmatch(r"color\(display-p3 (\S+) (\S+) (\S+)\)", css) for css in css_p3(labs)]
    read = np.array([[float(number) for number in match.groups()] for match in written])
    np.testing.assert_allclose(read, RGB, atol=0.001)
    assert all(re.fullmatch(r"#[0-9a-f]{6}", css) for css in css_srgb(labs))
    assert css_srgb(np.array([[100.0, 0.0, 0.0]])) == ["#ffffff"]


@pytest.mark.parametrize("lstar", [-3.0, 104.0])
def test_beyond_black_and_white_is_black_and_white(lstar: float):
    (shown,) = lab_to_p3(np.array([[lstar, 5.0, 5.0]]))
    assert np.ptp(shown) < 0.02
    assert abs(shown[0] - (lstar > 50.0)) < 0.02


def test_linear_white_is_one():
    np.testing.assert_allclose(lab_to_linear_p3(np.array([100.0, 0.0, 0.0])), 1.0, atol=1e-9)
