"""The camera of a joint fit, against analytic truths."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.display import SRGB_TO_XYZ
from refmatch.colorimetry.lab import reflectance_to_lab, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.calibrate import Photographed
from refmatch.dabs.camera import (
    PER_PHOTO,
    Tone,
    generic_camera,
    lamp,
    lightness,
    lightness_slope,
    linear_of,
)
from refmatch.dabs.spot import Known, Spot
from refmatch.errors import UsageError
from tests.refusals import refused
from tests.virtual_studio.camera import chart

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


def test_the_generic_camera_by_day_is_the_standard_observer():
    seen = photo(SURFACES)
    look = seen.look(np.cbrt(SURFACES), np.zeros(seen.size))
    assert np.allclose(look.miss, 0.0, atol=1e-6)
    lab = xyz_to_lab(100.0 * seen_by(lamp("D50"), SURFACES), ICC_WHITE)
    assert np.allclose(lab, reflectance_to_lab(SURFACES), atol=0.01), "whites by two tables"


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
