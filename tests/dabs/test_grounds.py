"""Verdicts on dabs beside a chart, whatever their recipes say: in the virtual studio."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.dabs.beside import GREY, PATCH, Beside, DabPhoto
from refmatch.dabs.checked import ALONE, Checked, Job, judged
from refmatch.dabs.spot import WET, Spot
from refmatch.dabs.verdict import OFF, WITHIN
from refmatch.paint.box_file import built_in_box
from refmatch.recipe.mixture import Palette
from tests.virtual_studio.camera import camera_of, chart, grey, photographed

BOX = built_in_box()
PALETTE = Palette.of(BOX.tubes, BOX.surface)
MEANT = (("ultramarine", 2.0), ("burnt sienna", 1.0), ("titanium white", 6.0))
OTHER_SLIP = (("hansa yellow", 3.0), ("titanium white", 6.0))


def row(parts):
    held = dict(parts)
    return np.array([[held.get(tube.name, 0.0) for tube in BOX.tubes]])


def lab_of(parts):
    return PALETTE.lab(row(parts))[0]


def checked(laid, target, seed) -> Checked:
    """What a check says of a pile that was to be `MEANT`, a chart and a grey card beside it."""
    surfaces = np.concatenate([PALETTE.reflectance(row(laid)), grey(50.0)[None], chart()])
    shot = photographed(surfaces, camera_of("D50", seed), seed)
    sigma = np.maximum(shot.spread / 4.0, 1e-4)
    dab, card, *patches = [Spot(xyz=x, sigma=s) for x, s in zip(shot.xyz, sigma, strict=True)]
    beside = [Beside(GREY, card, lab=np.array([50.0, 0.0, 0.0]))]
    beside += [
        Beside(PATCH, spot, number=number, at=(0.0, 0.0))
        for number, spot in enumerate(patches, start=1)
    ]
    photo = DabPhoto({ALONE: dab}, tuple(beside), (), {})
    dabs, _ = judged(BOX, [Job(ALONE, target, MEANT)], photo, {}, light=None, state=WET)
    return dabs[0]


@pytest.mark.parametrize("seed", [31, 32, 33])
def test_a_dab_far_off_beside_a_chart_is_never_left(seed):
    """Its recipe is right on target, the puddle is not: 14 dE00, seen across the room."""
    target = lab_of(MEANT)
    for tube, more in (("ultramarine", 3.0), ("titanium white", 4.0), ("burnt sienna", 4.0)):
        laid = [(name, share * (more if name == tube else 1.0)) for name, share in MEANT]
        off = float(delta_e_00(lab_of(laid), target))
        assert off > 8.0
        found = checked(laid, target, seed)
        assert found.verdict.name == OFF
        assert "Leave it" not in found.advice.words
        assert found.advice.delta_e_00 == pytest.approx(off, abs=4.0)


@pytest.mark.parametrize("seed", [31, 32, 33])
def test_the_dab_of_another_slip_is_told_of_and_the_photo_believed(seed):
    target = lab_of(MEANT)
    found = checked(OTHER_SLIP, target, seed)
    assert "recipe_doubted" in {flag.name for flag in found.flags}
    assert (found.verdict.name, found.advice.corrections) == (OFF, ())
    true = reflectance_to_lab(PALETTE.reflectance(row(OTHER_SLIP)))[0]
    of_photo = float(delta_e_00(found.measured_lab, true))
    assert float(delta_e_00(found.lab, true)) <= of_photo + 0.5


@pytest.mark.parametrize("seed", [31, 32, 33])
def test_a_puddle_on_its_target_beside_a_chart_is_left(seed):
    found = checked(MEANT, lab_of(MEANT), seed)
    assert found.verdict.name == WITHIN
    assert found.advice.words.startswith("Leave it")
