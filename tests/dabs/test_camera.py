"""The camera of a joint fit, against analytic truths."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from refmatch.colorimetry.display import SRGB_TO_XYZ
from refmatch.colorimetry.lab import reflectance_to_lab, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.calibrate import Photographed
from refmatch.dabs.camera import (
    PER_PHOTO,
    Tone,
    bodies,
    camera_among,
    generic_camera,
    lamp,
    lightness,
    lightness_slope,
    linear_of,
)
from refmatch.dabs.spot import Known, Spot
from refmatch.errors import UsageError
from tests.refusals import refused
from tests.virtual_studio.camera import bodies as measured_bodies
from tests.virtual_studio.camera import chart, illuminant, makers_matrix

DATA = Path(__file__).parents[1] / "data"

RNG = np.random.default_rng(3)
SURFACES = RNG.uniform(0.05, 0.8, (4, 31))
SIGMA = np.full(3, 1e-4)


def seen_by(weights, surfaces):
    """XYZ, D50, white 1, of surfaces by weights that give linear sRGB."""
    return surfaces @ weights @ SRGB_TO_XYZ.T / 100.0


def photo(surfaces, known=(), light=None, **clipping):
    xyz = seen_by(lamp("D50"), surfaces)
    dabs = [Spot(row, SIGMA, **clipping) for row in xyz]
    return Photographed(dabs, known, generic_camera(light))


def test_lightness_is_that_of_cielab():
    """ISO/CIE 11664-4: L* of a grey, and back."""
    grey = np.array([0.001, 0.008, 0.0089, 0.18, 0.5, 1.0, 1.3])
    expected = xyz_to_lab(grey[:, None] * ICC_WHITE, ICC_WHITE)[:, 0]
    assert np.allclose(100.0 * lightness(grey), expected, atol=1e-9)
    assert np.allclose(linear_of(lightness(grey)), grey, atol=1e-12)
    step = 1e-6
    slopes = (lightness(grey + step) - lightness(grey - step)) / (2.0 * step)
    assert np.allclose(slopes, lightness_slope(grey), rtol=1e-4)


def test_no_terms_are_no_tone_curve():
    value = np.linspace(-0.1, 1.2, 50)
    assert np.allclose(Tone.of(np.zeros(4))(value), value, atol=1e-12)


@pytest.mark.parametrize("terms", [[0.9, -1.2, 0.4, 0.3], [-0.5, 0.8, 0.0, -0.2]])
def test_a_tone_curve_rises_keeps_its_ends_and_can_be_undone(terms):
    tone, value = Tone.of(np.array(terms)), np.linspace(-0.1, 1.2, 200)
    curved = tone(value)
    assert np.all(np.diff(curved) > 0.0)
    assert tone(np.array([0.0, 1.0])) == pytest.approx([0.0, 1.0], abs=1e-12)
    assert np.allclose(tone.undone(curved), value, atol=1e-4)


def test_the_tone_curves_slopes_are_those_of_small_steps():
    terms, value, step = np.array([0.3, -0.6, 0.2, 0.1]), np.linspace(0.02, 0.98, 30), 1e-5
    found = Tone.of(terms).slopes(value)
    for place in range(4):
        moved = step * np.eye(4)[place]
        by_step = (Tone.of(terms + moved)(value) - Tone.of(terms - moved)(value)) / (2.0 * step)
        assert np.allclose(by_step, found[:, place], atol=1e-6)


@pytest.mark.parametrize("light", [None, "D50", "A", 3000.0, 5600.0])
def test_no_way_in_which_cameras_differ_tints_white(light):
    generic = generic_camera(light)
    assert np.allclose(generic.weights.sum(axis=0), 1.0, atol=1e-4)
    assert np.allclose(generic.ways.sum(axis=1), 0.0, atol=1e-9)


def test_the_eye_by_day_sees_a_photos_white_and_colours_as_they_are():
    lab = xyz_to_lab(100.0 * seen_by(lamp("D50"), SURFACES), ICC_WHITE)
    assert np.allclose(lab, reflectance_to_lab(SURFACES), atol=0.01), "whites by two tables"


def oil_paints():
    """Reflectance of 66 oil paints over white (Geldof et al. 2018, CC0)."""
    with (DATA / "oils.csv").open(newline="") as file:
        rows = [row for row in csv.reader(file) if row[2] == "white"]
    return np.array([row[3:] for row in rows], dtype=float)


def left_out(light, surfaces):
    """How far each body, left out, is from what the others let believe: (bodies, n)."""
    far = []
    for number, one in zip(bodies().number, bodies().weights(light), strict=True):
        belief = camera_among(bodies().but(number), light)
        off = surfaces @ (one - belief.weights)
        ways = np.einsum("nb,jbc->njc", surfaces, belief.ways)
        covariance = np.einsum("njc,njd->ncd", ways, ways)
        solved = np.linalg.solve(covariance, off[..., None])[..., 0]
        far.append(np.einsum("nc,nc->n", off, solved))
    return np.array(far)


@pytest.mark.parametrize("light", ["D50", "D65", "LED", "A"])
@pytest.mark.parametrize("surfaces", [oil_paints, chart])
def test_a_body_that_was_left_out_lies_within_what_the_others_let_believe(light, surfaces):
    """On real paints; 6.25 is the 90th percentile of chi-square with three degrees (any table)."""
    within = np.mean(left_out(light, surfaces()) < 6.25)
    assert 0.80 <= within <= 0.98


def test_so_do_the_bodies_that_nothing_was_made_from():
    spare = {number: one for number, one in measured_bodies().items() if number % 3 == 0}
    assert not set(spare) & set(bodies().number.tolist())
    belief, paints, far = camera_among(bodies(), "D50"), oil_paints(), []
    for seed, sensitivity in enumerate(spare.values()):
        rng = np.random.default_rng(seed)
        lit = sensitivity * illuminant("D50")[:, None]
        weights = lit / lit.sum(axis=0) @ makers_matrix(sensitivity, rng)
        off = paints @ (weights - belief.weights)
        ways = np.einsum("nb,jbc->njc", paints, belief.ways)
        solved = np.linalg.solve(np.einsum("njc,njd->ncd", ways, ways), off[..., None])
        far.append(np.einsum("nc,nc->n", off, solved[..., 0]))
    assert 0.80 <= np.mean(np.array(far) < 6.25) <= 0.99


def test_lights_of_a_temperature_are_the_cies_own():
    """CIE 015:2018: A is 2856 K; D50 and D65 are 5003 and 6504 K."""
    for kelvins, name in ((2856.0, "A"), (5003.0, "D50"), (6504.0, "D65")):
        assert np.allclose(lamp(kelvins), lamp(name), atol=1e-9)


def test_a_glowing_bodys_light_is_plancks():
    """Beside colour-science's blackbody of 3200 K, integrated band by band."""
    colour = pytest.importorskip("colour")
    from refmatch.colorimetry.lab import adaptation
    from refmatch.colorimetry.spectrum import WAVELENGTHS_NM

    power = colour.sd_blackbody(3200, colour.SpectralShape(400, 700, 10)).values
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    eye = np.stack([observer[at] for at in WAVELENGTHS_NM])
    weights = eye * power[:, None]
    weights *= 100.0 / weights[:, 1].sum()
    xyz = chart() @ weights @ adaptation(weights.sum(axis=0), ICC_WHITE).T
    own = chart() @ lamp(3200.0) @ SRGB_TO_XYZ.T
    away = np.abs(xyz_to_lab(own, ICC_WHITE) - xyz_to_lab(xyz, ICC_WHITE))
    assert away.max() < 0.6, "the ends are folded, and bands weighed by interpolation"


@pytest.mark.parametrize("light", ["moonlight", 900.0])
def test_a_light_that_is_not_offered_is_told(light):
    with refused(UsageError, match="light"):
        lamp(light)


def test_the_slopes_are_those_of_small_steps():
    """Central differences (textbook) of every kind of unknown."""
    card = Known("card", Spot(np.array([0.2, 0.21, 0.16]), SIGMA, photo=1), np.full(31, 0.2))
    seen = photo(SURFACES, [card])
    own, root, step = RNG.normal(0.0, 0.5, seen.size), np.cbrt(SURFACES), 1e-5
    found = seen.look(root, own)
    every = [*range(2 * PER_PHOTO + 4), seen.at_shade, seen.at_shade + 4]
    for place in every:
        move = step * np.eye(seen.size)[place]
        high, low = seen.look(root, own + move), seen.look(root, own - move)
        by_step = -(high.miss - low.miss) / (2.0 * step)
        assert np.allclose(by_step, found.by_own[:, :, place], atol=2e-3, rtol=1e-3), place
        aside = -(high.aside - low.aside) / (2.0 * step)
        assert np.allclose(aside, found.aside_by_own[:, place], atol=2e-3, rtol=1e-3), place
    for band in (0, 12, 30):
        move = step * np.eye(31)[band]
        by_step = -(seen.look(root + move, own).miss - seen.look(root - move, own).miss) / step / 2
        assert np.allclose(by_step, found.by_root[:, :, band], atol=2e-3, rtol=1e-3)


@pytest.mark.parametrize(("end", "lighter"), [("high", 1.2), ("low", 0.8)])
def test_a_clipped_channel_is_a_bound(end, lighter):
    """Beyond the bound nothing pulls; on the wrong side of it the channel counts as any other."""
    seen = photo(SURFACES, **{end: (True, False, False)})
    own = np.zeros(seen.size)
    beyond = seen.look(np.cbrt(lighter * SURFACES), own)
    assert np.all(beyond.miss[:, 0] == 0.0)
    assert np.all(beyond.by_root[:, 0] == 0.0)
    assert np.all(beyond.by_own[:, 0] == 0.0)
    assert np.all(beyond.miss[:, 1:] != 0.0)
    short = seen.look(np.cbrt(SURFACES / lighter), own)
    plain = photo(SURFACES).look(np.cbrt(SURFACES / lighter), own)
    assert np.array_equal(short.miss, plain.miss)


def test_what_a_camera_made_of_light_can_be_undone():
    seen = photo(SURFACES)
    (camera,) = seen.cameras(RNG.normal(0.0, 0.7, seen.size))
    light = SURFACES @ camera.weights * camera.gains
    made = linear_of(camera.tone(lightness(light + camera.glare))) @ SRGB_TO_XYZ.T / 100.0
    assert np.allclose(camera.undone(made), SURFACES @ camera.weights, atol=1e-4)


def test_an_uneven_dab_counts_less():
    dabs = [Spot(np.full(3, 0.3), s * SIGMA) for s in (1.0, 200.0)]
    uneven = Photographed(dabs, (), generic_camera())
    assert uneven.sigma[1].min() > 2.0 * uneven.sigma[0].max()
