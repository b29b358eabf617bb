"""A camera that was found with the paints is known in the next photo, in the virtual studio."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.dabs.calibrate import MOST_WAYS
from refmatch.dabs.camera import SAME, believed_camera
from refmatch.dabs.measured import measure
from refmatch.dabs.spot import Known, Spot
from refmatch.errors import BoxError
from refmatch.paint.box_file import box_from_toml, box_to_toml, built_in_box
from refmatch.recipe.doubt import uncertainty
from refmatch.recipe.mixture import Palette
from tests.benchmarks.box_from_photo import joint
from tests.refusals import refused
from tests.virtual_studio.camera import camera_of, grey, photographed
from tests.virtual_studio.instrument import random_mixes
from tests.virtual_studio.scene import scene_of


@pytest.fixture(scope="module")
def studios():
    scenes = [scene_of(seed, light) for seed, light in ((921, "LED-B3"), (922, "D50"), (923, "A"))]
    return [(scene, joint(scene)) for scene in scenes]


@pytest.fixture(scope="module")
def studio(studios):
    return studios[0]


def looked_at(scene, box, light):
    """Measure ten piles beside a grey card alone; return how far off, and how far as said (p90)."""
    parts = random_mixes(scene.studio, 10, 5)
    surfaces = np.concatenate([scene.studio.reflectance(parts), grey(50.0)[None]])
    shot = photographed(surfaces, camera_of(scene.light, scene.seed), 77)
    sigma = np.maximum(shot.spread / 4.0, 1e-4)
    spots = [Spot(xyz, s) for xyz, s in zip(shot.xyz, sigma, strict=True)]
    known = [Known("grey card", spots[-1], grey(50.0))]
    guesses = Palette.of(box.tubes, box.surface).reflectance(parts)
    found = measure(spots[:-1], guesses, known, believed_camera(box, light))
    off = delta_e_00(found.lab, reflectance_to_lab(surfaces[:-1]))
    said = [uncertainty(lab, found.covariance_of(dab))[1] for dab, lab in enumerate(found.lab)]
    return off, np.array(said)


def test_the_same_camera_in_the_same_light_sees_nearer_and_says_so(studios):
    any_off, any_said = np.hstack([looked_at(*studio, None) for studio in studios])
    own_off, own_said = np.hstack([looked_at(*studio, SAME) for studio in studios])
    assert np.median(own_off) < 1.05 * np.median(any_off), "2.1 for 2.5 among twelve scenes"
    assert np.median(own_said) < np.median(any_said)
    assert np.mean(own_off <= own_said) >= 0.8


def test_a_box_file_keeps_its_camera(studio):
    _, box = studio
    text = box_to_toml(box)
    again = box_from_toml(text)
    np.testing.assert_allclose(again.camera.weights, box.camera.weights, atol=1e-5)
    np.testing.assert_allclose(again.camera.ways, box.camera.ways, atol=1e-5)
    assert again.camera.ways.shape == (MOST_WAYS, 31, 3)
    assert box_to_toml(again) == text


def test_white_stays_white_in_each_way_it_may_be_off(studio):
    """Exposure and balance are each photo's own: no way of the camera's tints white."""
    _, box = studio
    np.testing.assert_allclose(box.camera.ways.sum(axis=1), 0.0, atol=1e-5)


def test_a_box_without_a_photo_has_no_camera(studio):
    assert built_in_box().camera is None
    with pytest.raises(ValueError, match="not made from a photo"):
        believed_camera(built_in_box(), SAME)


@pytest.mark.parametrize("damage", ["weights = [1.0]\nways = []", "ways = []", "weights = 3"])
def test_a_damaged_camera_is_told(damage, studio):
    text = box_to_toml(built_in_box()) + f"\n[camera]\n{damage}\n"
    with refused(BoxError, match="camera"):
        box_from_toml(text)
