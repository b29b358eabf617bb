"""A 24-patch chart is found by itself wherever it lies, and nothing else is taken for one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.dabs.chart import find_chart, known_codes, likeness, read_chart
from refmatch.dabs.chart_colours import chart_patches
from refmatch.photo.load import load
from tests.dabs import studio as card_studio
from tests.dabs.studio import Shot
from tests.photo.made_photos import photo_of_srgb
from tests.virtual_studio.chart_photo import Made, Setting, any_setting, photographed

SAMPLES = Path(__file__).parents[2] / "sample_images"
SMALL = {"width_px": 1632, "height_px": 1224}


def corner_error(found, setting: Setting) -> float:
    """Return the largest miss of any patch's corner, as a share of the patch's side."""
    true = setting.outlines_px()
    side = np.sqrt(np.mean([cv2.contourArea(each.astype(np.float32)) for each in true]))
    return float(np.linalg.norm(found.outlines_px() - true, axis=-1).max() / side)


def test_the_patches_are_those_of_the_published_table():
    """Beside Lab under D50 of colour-science's data set after the same 30 charts (BabelColor)."""
    colour = pytest.importorskip("colour")
    table = colour.CCS_COLOURCHECKERS["BabelColor Average"]
    white = table.illuminant
    xyz = colour.xyY_to_XYZ(np.stack(list(table.data.values())))
    lab = colour.XYZ_to_Lab(xyz, white)
    own = reflectance_to_lab(chart_patches())
    assert colour.delta_E(lab, own, method="CIE 2000").max() < 0.35


@pytest.mark.parametrize("turn", [0.0, 45.0, 100.0, 180.0, -75.0])
def test_at_any_turn_each_patch_is_known_by_its_number(turn):
    setting = Setting(Shot(turn_deg=turn, tilt_deg=20.0, tilt_axis_deg=30.0, fill=0.6, **SMALL))
    assert corner_error(find_chart(photographed(setting)), setting) < 0.06


def test_in_a_mirror_too():
    setting = Setting(Shot(turn_deg=10.0, fill=0.5, **SMALL), Made(mirrored=True))
    found = find_chart(photographed(setting))
    true, seen = setting.outlines_px().mean(axis=1), found.outlines_px().mean(axis=1)
    assert np.abs(true - seen).max() < 2.0
    assert np.linalg.det(found.to_photo[:2, :2]) < 0.0


@pytest.mark.parametrize(("fill", "size"), [(0.97, (1632, 1224)), (0.125, (4000, 3000))])
def test_from_the_whole_frame_to_an_eighth_of_it(fill, size):
    shot = Shot(fill=fill, tilt_deg=35.0, turn_deg=30.0, width_px=size[0], height_px=size[1])
    setting = Setting(shot)
    assert corner_error(find_chart(photographed(setting)), setting) < 0.1


def test_in_any_light_at_any_size_amid_clutter():
    """120 photos of 8 to 48 megapixels stand in tests/benchmarks/chart_photos.py."""
    draw = np.random.default_rng(77)
    for _ in range(3):
        setting = any_setting(draw, (4.0,))
        assert corner_error(find_chart(photographed(setting)), setting) < 0.1, setting


@pytest.mark.parametrize("name", ["coffee", "chelsea", "astronaut", "rocket"])
def test_there_is_none_in_photographs(name):
    """scikit-image's bundled photographs."""
    data = pytest.importorskip("skimage.data")
    assert find_chart(photo_of_srgb(getattr(data, name)())) is None


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.jpg")), ids=lambda path: path.stem)
def test_there_is_none_in_the_sample_images(path):
    assert find_chart(load(path)) is None


def test_a_card_full_of_dabs_is_none():
    card = card_studio.garden_card()
    shot = Shot(width_px=2448, height_px=3264, tilt_deg=15.0)
    assert find_chart(card_studio.photographed(card_studio.drawn(card), card, shot)) is None


def test_twenty_four_other_colours_in_a_grid_are_none():
    """The chart's own colours, put in another order, are its nearest relations."""
    draw = np.random.default_rng(3)
    shares = [likeness(known_codes()[draw.permutation(24)]).share for _ in range(2000)]
    assert max(shares) < 0.7
    mixed = chart_patches()[draw.permutation(24)]
    setting = Setting(Shot(fill=0.6, **SMALL))
    assert find_chart(photographed(setting, reflectance=mixed)) is None
    assert read_chart(photographed(setting, reflectance=mixed)) is None


def test_a_lying_photo_and_a_dark_one():
    """Under-exposed by two stops, the black patch melts into its border."""
    setting = Setting(Shot(fill=0.4, exposure=0.25, turn_deg=200.0, **SMALL))
    assert corner_error(find_chart(photographed(setting)), setting) < 0.1
    standing = replace(setting, shot=Shot(fill=0.4, width_px=1224, height_px=1632))
    assert corner_error(find_chart(photographed(standing)), standing) < 0.1


def test_beside_a_card_and_on_a_plain_table_large_patches_are_found():
    """Of large patches a small window sees the rim alone, whose two edges must not count twice."""
    setting = Setting(Shot(fill=0.35, width_px=4000, height_px=3000), clutter=0, seed=201)
    assert corner_error(find_chart(photographed(setting)), setting) < 0.03
