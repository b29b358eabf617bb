"""CIELAB, CIEDE2000, adaptation and the screen's colours, against what is published."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from refmatch.colorimetry.lab import (
    BRADFORD,
    EPSILON,
    KAPPA,
    adaptation,
    chroma,
    delta_e_00,
    hue_deg,
    lab_to_xyz,
    lch_differences,
    reflectance_to_lab,
    xyz_to_lab,
)
from refmatch.colorimetry.viewing import ICC_WHITE, viewing
from tests.colorimetry.charts import colour

PAIRS = np.loadtxt(
    Path(__file__).parents[1] / "data" / "ciede2000_sharma_2005.csv", delimiter=",", skiprows=2
)
"""Sharma, Wu & Dalal 2005, table 1: Lab, Lab, dE00 to four decimals."""

LABS = np.random.default_rng(2005).uniform([0, -100, -100], [100, 100, 100], (200, 3))


@pytest.mark.parametrize("pair", range(34))
def test_ciede2000_on_each_pair_of_sharma_wu_and_dalal(pair):
    lab_1, lab_2, expected = PAIRS[pair, :3], PAIRS[pair, 3:6], PAIRS[pair, 6]
    assert len(PAIRS) == 34
    assert delta_e_00(lab_1, lab_2) == pytest.approx(expected, abs=1e-4)
    assert delta_e_00(lab_2, lab_1) == pytest.approx(expected, abs=1e-4)


def test_the_typed_table_is_the_published_one():
    """A slip in typing would show against colour-science, which is tested on the same pairs."""
    theirs = colour.delta_E(PAIRS[:, :3], PAIRS[:, 3:6], method="CIE 2000")
    np.testing.assert_allclose(theirs, PAIRS[:, 6], atol=1e-4)


def test_ciede2000_is_that_of_colour_science_far_and_near():
    near = LABS + np.random.default_rng(1).normal(0.0, 3.0, LABS.shape)
    for other in (LABS[::-1], near):
        theirs = colour.delta_E(LABS, other, method="CIE 2000")
        np.testing.assert_allclose(delta_e_00(LABS, other), theirs, atol=1e-8)


def test_constants_are_the_exact_fractions():
    """ISO/CIE 11664-4:2019: (6/29)^3 and (29/3)^3, as 216/24389 and 24389/27."""
    assert pytest.approx((6.0 / 29.0) ** 3, rel=1e-15) == EPSILON
    assert pytest.approx((29.0 / 3.0) ** 3, rel=1e-15) == KAPPA
    assert pytest.approx(8.0, rel=1e-15) == EPSILON * KAPPA  # where the two branches meet


def test_cielab_is_that_of_colour_science():
    xyz = np.random.default_rng(4).uniform(0.0, 100.0, (100, 3))
    xyz[:20] *= 0.005  # the straight part near black
    theirs = colour.XYZ_to_Lab(xyz / 100.0, colour.XYZ_to_xy(ICC_WHITE))
    np.testing.assert_allclose(xyz_to_lab(xyz, ICC_WHITE), theirs, atol=1e-9)


def test_cielab_round_trip():
    there = lab_to_xyz(LABS, ICC_WHITE)
    np.testing.assert_allclose(xyz_to_lab(there, ICC_WHITE), LABS, atol=1e-10)


@pytest.mark.parametrize("illuminant", ["D50", "D65", "A", "LED-B3"])
def test_a_perfect_reflector_is_100_0_0_and_a_perfect_absorber_0_0_0(illuminant):
    seen = viewing(illuminant)
    np.testing.assert_allclose(reflectance_to_lab(np.ones(31), seen), [100.0, 0.0, 0.0], atol=1e-12)
    np.testing.assert_allclose(reflectance_to_lab(np.zeros(31), seen), 0.0, atol=1e-12)


def test_luminance_18_4_percent_is_the_middle():
    """L* 50 is Y 18.42: ((50 + 16) / 116)^3 (CIE 015:2018)."""
    assert reflectance_to_lab(np.full(31, 0.184187))[0] == pytest.approx(50.0, abs=1e-3)


def test_differences_add_up_to_the_euclidean_one():
    """dE*ab^2 = dL*^2 + dC*^2 + dH*^2 (ISO/CIE 11664-4:2019)."""
    other = LABS[::-1]
    total = sum(part**2 for part in lch_differences(LABS, other))
    np.testing.assert_allclose(total, np.sum((LABS - other) ** 2, axis=1), rtol=1e-9)


@pytest.mark.parametrize("start", [0.0, 90.0, 179.0, 269.0, 359.0])
def test_dh_is_positive_from_red_to_yellow_even_across_zero(start):
    def at(degrees):
        return np.array([50.0, 30 * np.cos(np.radians(degrees)), 30 * np.sin(np.radians(degrees))])

    forward = lch_differences(at(start + 5.0), at(start))[2]
    assert forward == pytest.approx(60.0 * np.sin(np.radians(2.5)))
    assert lch_differences(at(start), at(start + 5.0))[2] == pytest.approx(-forward)


def test_chroma_and_hue_of_one_lab():
    lab = np.array([50.0, -3.0, 4.0])
    assert chroma(lab) == 5.0
    assert hue_deg(lab) == pytest.approx(126.8699, abs=1e-4)


def test_bradford_is_that_of_colour_science():
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
    d65, a = (100.0 * colour.xy_to_XYZ(white[name]) for name in ("D65", "A"))
    theirs = colour.adaptation.matrix_chromatic_adaptation_VonKries(d65, a, transform="Bradford")
    np.testing.assert_allclose(BRADFORD, colour.adaptation.CAT_BRADFORD, atol=1e-12)
    np.testing.assert_allclose(adaptation(d65, a), theirs, atol=1e-9)
    np.testing.assert_allclose(adaptation(d65, a) @ d65, a, atol=1e-9)
    np.testing.assert_allclose(adaptation(a, d65) @ adaptation(d65, a), np.eye(3), atol=1e-9)
