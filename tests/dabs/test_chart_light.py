"""A chart lies beside the dabs, in a light of its own."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from refmatch.colorimetry.display import SRGB_TO_XYZ
from refmatch.colorimetry.lab import delta_e_00
from refmatch.dabs.calibrate import Photographed, calibrate
from refmatch.dabs.camera import generic_camera, lamp
from refmatch.dabs.chart_colours import chart_patches
from refmatch.dabs.spot import Known, PhotoDab, Spot
from refmatch.recipe.mixture import Palette
from tests.virtual_studio.instrument import random_mixes
from tests.virtual_studio.scene import scene_of

SIGMA = np.full(3, 0.002)
AT = [((n % 6 - 2.5) / 2.5, (n // 6 - 1.5) / 2.5) for n in range(24)]


def seen_in(light: np.ndarray) -> list[Known]:
    xyz = (chart_patches() @ lamp("D50") * light[:, None]) @ SRGB_TO_XYZ.T / 100.0
    rows = zip(chart_patches(), xyz, AT, strict=True)
    return [Known("", Spot(row, SIGMA), r, on_chart=at) for r, row, at in rows]


def dab() -> PhotoDab:
    xyz = 0.2 * lamp("D50").sum(axis=0) @ SRGB_TO_XYZ.T / 100.0
    return PhotoDab("grey", Spot(xyz, SIGMA), (0,), (1.0,))


def test_the_slopes_are_those_of_small_steps():
    """Central differences (textbook) of the three unknowns of a chart's light."""
    seen = Photographed([dab().spot], seen_in(np.ones(24)), generic_camera("D50"))
    assert seen.size - seen.at_charts == 3
    own, root = np.random.default_rng(2).normal(0.0, 0.4, seen.size), np.full((1, 31), 0.6)
    found = seen.look(root, own)
    for place in range(seen.at_charts, seen.size):
        move = 1e-5 * np.eye(seen.size)[place]
        high, low = seen.look(root, own + move).aside, seen.look(root, own - move).aside
        assert np.allclose(-(high - low) / 2e-5, found.aside_by_own[:, place], rtol=3e-3, atol=2e-3)
        assert np.all(found.by_own[:, :, place] == 0.0), "the dabs' light is not the chart's"


def test_charts_of_two_photos_lie_in_two_lights():
    other = [replace(each, spot=replace(each.spot, photo=1)) for each in seen_in(np.ones(24))]
    first, second = dab().spot, replace(dab().spot, photo=1)
    seen = Photographed([first, second], [*seen_in(np.ones(24)), *other], generic_camera("D50"))
    assert seen.size - seen.at_charts == 6


def as_if_lit(known: Known, number: int, level: float) -> Known:
    """Return a patch as a chart in other light shows it, where the camera's curve is straight."""
    light = level * np.exp(0.1 * AT[number][0])
    return replace(known, spot=replace(known.spot, xyz=known.spot.xyz * light), on_chart=AT[number])


def test_a_chart_in_shade_does_not_darken_the_dabs():
    """A chart in three quarters of the light, falling off, leads to as true a box as before."""
    scene = scene_of(301, "D50")
    shaded = [as_if_lit(patch, n, 0.75) for n, patch in enumerate(scene.chart)]
    parts = random_mixes(scene.studio, 100, 5)
    true = scene.studio.lab(parts)

    def off(chart: list[Known]) -> float:
        made = calibrate(scene.named, scene.white, scene.dabs, [scene.card], chart=chart)
        return float(np.median(delta_e_00(Palette.of(made.box.tubes).lab(parts), true)))

    plain, told = off(list(scene.chart)), off(shaded)
    ignorant = off([replace(each, on_chart=None) for each in shaded])
    assert told < plain + 0.2
    assert told < ignorant
