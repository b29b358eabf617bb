"""A hole against analytic truth: areas, discs of known colour, mean light, each flag."""

from __future__ import annotations

import math

import numpy as np
import pytest

from refmatch.colorimetry.display import SRGB_TO_XYZ, decode_srgb, encode_srgb
from refmatch.colorimetry.lab import delta_e_00, lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.errors import HoleError
from refmatch.photo.hole import Hole, coverage, sample
from refmatch.photo.light.balance import Balance, as_shot
from tests.photo.pictures import photo_of
from tests.refusals import refused

OCHRE, LIGHTER_OCHRE, SLATE = (186, 132, 58), (192, 137, 62), (70, 82, 96)


def lab_of_srgb(colour) -> np.ndarray:
    """Lab under D50 of an sRGB colour, IEC 61966-2-1:1999 and Bradford."""
    return xyz_to_lab(decode_srgb(np.array(colour) / 255.0) @ SRGB_TO_XYZ.T, ICC_WHITE)


def plain(colour, rows=60, columns=60) -> np.ndarray:
    return np.full((rows, columns, 3), colour, np.uint8)


def measured(folder, samples, hole=None, balance=None):
    hole = hole or Hole(30, 30, 40, "pear")
    return sample(photo_of(folder, samples), balance or as_shot(), hole)


def names(found) -> set[str]:
    return {flag.name for flag in found.flags}


@pytest.mark.parametrize("diameter", [0.3, 1.0, 2.5, 9.0, 40.7, 333.3])
@pytest.mark.parametrize("centre", [(0.0, 0.0), (0.5, 0.5), (0.31, 0.87)])
def test_coverage_sums_to_the_area_of_the_circle(diameter, centre):
    radius = diameter / 2
    edges = np.arange(-200, 201)
    covered = coverage((edges - centre[0]) / radius, (edges - centre[1]) / radius) * radius**2
    assert covered.sum() == pytest.approx(math.pi * radius**2, rel=1e-12)
    assert covered.max() <= 1.0 + 1e-9


def test_coverage_of_single_pixels_against_fine_sampling():
    edges = np.linspace(-1.2, 1.3, 9)
    fine = np.linspace(-1.2, 1.3, 8 * 400 + 1)
    middle = (fine[:-1] + fine[1:]) / 2
    inside = (middle[None, :] ** 2 + middle[:, None] ** 2) <= 1.0
    cell = (edges[1] - edges[0]) ** 2
    counted = inside.reshape(8, 400, 8, 400).mean(axis=(1, 3)) * cell
    assert np.abs(coverage(edges, edges) - counted).max() < 2e-4 * cell


def test_a_quarter_and_a_corner_of_the_disc_in_closed_form():
    assert coverage(np.array([0.0, 2.0]), np.array([0.0, 2.0]))[0, 0] == pytest.approx(math.pi / 4)
    # the cap beyond a chord at half the radius: acos(1/2) - sqrt(3)/4
    cap = coverage(np.array([0.5, 2.0]), np.array([-2.0, 2.0]))[0, 0]
    assert cap == pytest.approx(math.acos(0.5) - math.sqrt(3) / 4)


def test_a_disc_of_one_colour_gives_its_lab_exactly(tmp_path):
    samples = plain(SLATE)
    rows, columns = np.indices((60, 60)) + 0.5
    samples[np.hypot(rows - 30, columns - 30) < 22] = OCHRE
    found = measured(tmp_path, samples)
    assert found.lab == pytest.approx(lab_of_srgb(OCHRE), abs=0.01)
    assert found.pixels == pytest.approx(math.pi * 20**2, rel=1e-9)
    assert found.spread_delta_e_00 == pytest.approx(0.0, abs=1e-4)
    assert np.abs(found.covariance).max() < 1e-6
    assert found.clipped_fraction == 0.0
    assert found.excluded_fraction == 0.0
    assert names(found) == set()


def test_the_mean_is_of_light(tmp_path):
    checker = (np.indices((60, 60)).sum(axis=0) % 2 * 255).astype(np.uint8)
    found = measured(tmp_path, np.dstack([checker] * 3))
    # half the light of white: 116 * 0.5 ** (1/3) - 16 (ISO/CIE 11664-4)
    assert found.lab == pytest.approx([116 * 0.5 ** (1 / 3) - 16, 0, 0], abs=0.02)
    assert {"two_colours", "clipped"} <= names(found)
    assert found.clipped_fraction == pytest.approx(1.0)


def test_pixels_at_the_rim_count_by_their_coverage(tmp_path):
    samples = plain((0, 0, 0))
    samples[:, 30:] = 255
    found = measured(tmp_path, samples, Hole(30.25, 30, 11, "edge"))
    strip = 2 * 0.25 * 5.5 * (1 - (0.25 / 5.5) ** 2 / 6)  # the half disc, and 0.25 px more
    share = 0.5 + strip / (math.pi * 5.5**2)
    y = lab_to_xyz(found.lab, ICC_WHITE)[1] / 100
    assert y == pytest.approx(share, abs=2e-4)


def test_a_balance_acts_on_the_light(tmp_path):
    half = Balance("grey-card", 0.5 * np.eye(3), exposure_factor=0.5)
    found = measured(tmp_path, plain((255, 255, 255)), balance=half)
    assert found.lab == pytest.approx([116 * 0.5 ** (1 / 3) - 16, 0, 0], abs=0.02)


@pytest.mark.parametrize("speck", [(255, 255, 255), (0, 0, 0), (40, 160, 60)])
def test_specks_and_glare_are_left_out(speck, tmp_path):
    rng = np.random.default_rng(4)
    samples = np.clip(plain(OCHRE) + rng.normal(0, 3, (60, 60, 3)), 1, 254)
    clean = measured(tmp_path, samples.astype(np.uint8))
    samples[25:35, 22:38] = speck
    found = measured(tmp_path, samples.astype(np.uint8))
    assert found.excluded_fraction == pytest.approx(160 / (math.pi * 400), abs=0.01)
    assert delta_e_00(found.lab, clean.lab) < 0.15
    assert delta_e_00(found.lab, lab_of_srgb(OCHRE)) < 0.3
    assert "two_colours" not in names(found)
    assert "specks_left_out" in names(found)
    assert "specks_left_out" not in names(clean)


def test_a_fifth_of_a_hole_is_no_speck(tmp_path):
    """Lit ridges of wood: what is too much for a speck belongs to the mean of the light."""
    samples = plain(OCHRE)
    samples[::5] = (238, 205, 150)
    found = measured(tmp_path, samples)
    light = decode_srgb(np.array([OCHRE, (238, 205, 150)]) / 255.0) @ SRGB_TO_XYZ.T
    expected = xyz_to_lab(0.8 * light[0] + 0.2 * light[1], ICC_WHITE)
    assert found.excluded_fraction == 0.0
    assert delta_e_00(found.lab, expected) < 0.3


def test_noise_of_a_camera_is_not_taken_for_specks(tmp_path):
    rng = np.random.default_rng(5)
    light = decode_srgb(plain(OCHRE) / 255.0) * (1 + rng.normal(0, 0.1, (60, 60, 3)))
    found = measured(tmp_path, np.rint(encode_srgb(light) * 255).astype(np.uint8))
    assert found.excluded_fraction < 0.01
    assert delta_e_00(found.lab, lab_of_srgb(OCHRE)) < 0.5
    assert 1.0 < found.spread_delta_e_00 < 8.0


def test_covariance_is_that_of_the_pixels(tmp_path):
    samples = plain(OCHRE)
    samples[:, ::2] = LIGHTER_OCHRE
    found = measured(tmp_path, samples)
    labs = np.array([lab_of_srgb(OCHRE), lab_of_srgb(LIGHTER_OCHRE)])
    assert found.covariance == pytest.approx(np.cov(labs.T, bias=True), abs=0.03)


def test_flag_two_colours(tmp_path):
    samples = plain(OCHRE)
    samples[:, 34:] = SLATE
    assert "two_colours" in names(measured(tmp_path, samples))


def test_flag_uneven_for_a_gradient_that_is_no_two_colours(tmp_path):
    ramp = np.linspace(60, 200, 60)[None, :, None] * np.array([1.0, 0.8, 0.5])
    found = measured(tmp_path, np.broadcast_to(ramp, (60, 60, 3)).astype(np.uint8))
    assert names(found) == {"uneven"}


def test_flag_too_few_pixels(tmp_path):
    found = measured(tmp_path, plain(OCHRE), Hole(30, 30, 4, "dot"))
    assert names(found) == {"too_few_pixels"}
    assert found.pixels == pytest.approx(math.pi * 4, rel=1e-9)


def test_flag_partly_outside(tmp_path):
    found = measured(tmp_path, plain(OCHRE), Hole(0, 30, 40, "edge"))
    assert names(found) == {"partly_outside"}
    assert found.pixels == pytest.approx(math.pi * 200, rel=1e-9)
    assert found.lab == pytest.approx(lab_of_srgb(OCHRE), abs=0.01)


@pytest.mark.parametrize("end", [255, 0])
def test_flag_clipped(end, tmp_path):
    samples = plain(OCHRE)
    samples[:20, :, 0] = end
    found = measured(tmp_path, samples)
    assert "clipped" in names(found)
    assert 0.15 < found.clipped_fraction < 0.25


@pytest.mark.parametrize("place", [(-20.5, 30), (30, 81), (700, 700), (-15, -15)])
def test_a_hole_outside_names_the_size_of_the_photo(place, tmp_path):
    with refused(HoleError, match=r"'pear'.*outside the photo, which is 60 x 60 pixels"):
        measured(tmp_path, plain(OCHRE), Hole(*place, 40, "pear"))


def test_a_very_wide_hole_keeps_its_area_and_its_mean(tmp_path):
    rng = np.random.default_rng(6)
    samples = rng.integers(100, 140, (1300, 1500, 3)).astype(np.uint8)
    photo = photo_of(tmp_path, samples)
    found = sample(photo, as_shot(), Hole(700.3, 611.8, 1180.6, "table"))
    assert found.pixels == pytest.approx(math.pi * 590.3**2, rel=1e-9)
    rows, columns = np.indices((1300, 1500)) + 0.5
    inside = np.hypot(columns - 700.3, rows - 611.8) < 590.3
    mean = photo.linear(0, 0, 1300, 1500)[inside].mean(axis=0, dtype=float)
    assert found.lab == pytest.approx(xyz_to_lab(mean, ICC_WHITE / 100), abs=0.01)
