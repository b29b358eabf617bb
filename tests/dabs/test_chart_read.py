"""The patches of a chart are read truly, and what spoils one leaves it out."""

from __future__ import annotations

import functools

import cv2
import numpy as np

from refmatch.colorimetry.display import SRGB_TO_XYZ, decode_srgb
from refmatch.colorimetry.lab import delta_e_00, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.chart import read_chart
from tests.dabs.studio import Shot
from tests.virtual_studio.camera import chart
from tests.virtual_studio.chart_photo import PITCH_MM, Laid, Setting, photographed

SMALL = {"width_px": 2040, "height_px": 1530}


def falling(x_mm: np.ndarray, y_mm: np.ndarray) -> np.ndarray:
    """Half as much light at the right edge as at the left."""
    return 1.0 - 0.5 * x_mm / 120.0 - 0.05 * y_mm / 80.0


def with_shine(setting: Setting, light: np.ndarray) -> np.ndarray:
    """Return the Lab, (24, 3), that a decoded photo without noise holds of the patches."""
    camera, shot = setting.seen_by, setting.shot
    linear = chart() @ camera.weights * np.reshape(light, (-1, 1)) * shot.exposure + camera.glare
    return lab_of(decode_srgb(np.clip(camera.develop(linear), 0.0, 1.0)) @ SRGB_TO_XYZ.T / 100.0)


def lab_of(xyz: np.ndarray) -> np.ndarray:
    return xyz_to_lab(100.0 * xyz, ICC_WHITE)


def lights(setting: Setting) -> tuple[np.ndarray, float]:
    """Return the true light on every patch, and at the chart's middle."""
    middles = setting.made.corners_mm().mean(axis=1)
    half_x, half_y = np.array([setting.made.width_mm / 2.0]), np.array([setting.made.height_mm / 2])
    return setting.lamp(*middles.T), float(setting.lamp(half_x, half_y)[0])


def test_patches_are_read_to_a_fraction_of_a_step():
    setting = Setting(Shot(turn_deg=160.0, tilt_deg=30.0, fill=0.5, **SMALL), seed=5)
    read = read_chart(photographed(setting))
    assert read.left_out == ()
    seen = lab_of(np.stack([each.patch.xyz * each.patch.shading for each in read.patches]))
    assert delta_e_00(seen, with_shine(setting, np.ones(24))).max() < 0.85


def test_uneven_light_is_divided_out_by_the_known_colours():
    setting = Setting(Shot(fill=0.6, **SMALL), lamp=falling, seed=9)
    read = read_chart(photographed(setting))
    on_patches, in_middle = lights(setting)
    even = with_shine(setting, np.full(24, in_middle))
    found = lab_of(np.stack([each.patch.xyz for each in read.patches]))
    numbers = [each.number for each in read.patches]
    left = delta_e_00(found, even[numbers])
    before = delta_e_00(with_shine(setting, on_patches), even)
    assert np.median(before) > 2.0
    assert np.median(left) < 1.0


@functools.cache
def plain() -> Setting:
    return Setting(Shot(fill=0.6, turn_deg=20.0, **SMALL), clutter=0)


def covering(first: int, count: int, colour: float) -> Laid:
    """Lay a strip over patches of the third row; it is laid first and so needs its own photo."""
    made = plain().made
    x, y = made.corners_mm()[12 + first][0]
    picture = np.full((20, 20, 3), colour, np.float32)
    width, height = count * PITCH_MM / 20.0, PITCH_MM / 20.0
    return Laid(picture, np.array([[width, 0.0, x], [0.0, height, y], [0.0, 0.0, 1.0]]))


def test_covered_patches_are_left_out_and_said():
    read = read_chart(photographed(plain(), above=(covering(1, 3, 0.5),)))
    assert set(read.left_out) >= {13, 14, 15}
    assert len(read.left_out) <= 4
    assert "chart_patches_left_out" in {flag.name for flag in read.flags}


def test_a_chart_that_is_half_covered_is_not_used():
    read = read_chart(photographed(plain(), above=(covering(-13 + 1, 1, 0.5), covering(0, 6, 0.5))))
    assert read is None or len(read.left_out) >= 6


def test_blown_out_patches_are_bounds():
    setting = Setting(Shot(fill=0.6, exposure=1.6, **SMALL), seed=4)
    read = read_chart(photographed(setting))
    high = {each.number for each in read.patches if each.patch.clipped_high.max() > 0.5}
    assert 18 in high, "the white patch"
    assert "chart_clipped" in {flag.name for flag in read.flags}


def test_part_of_it_outside_the_photo():
    setting = Setting(Shot(fill=0.6, offset=(0.28, 0.0), **SMALL), clutter=3)
    outlines = setting.outlines_px()
    outside = {n for n, each in enumerate(outlines) if (each[:, 0] > 2040.0).any()}
    assert outside
    read = read_chart(photographed(setting))
    assert set(read.left_out) == outside
    numbers = [each.number for each in read.patches]
    true = outlines[numbers]
    seen = np.stack([each.outline_px for each in read.patches])
    side = np.sqrt(cv2.contourArea(true[0].astype(np.float32)))
    assert np.abs(seen - true).max() < 0.06 * side
