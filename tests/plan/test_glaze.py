"""A glaze beside the limits of Kubelka's film over a ground, and what painters know of it.

Source of the limits: Kubelka 1948, JOSA 38, 448-457, doi:10.1364/JOSA.38.000448.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.lab import chroma, delta_e_00, reflectance_to_lab
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.kubelka_munk import opaque_reflectance, to_inner, to_measured
from refmatch.plan.glaze import (
    GAINS,
    LIGHT_FROM,
    Layer,
    glaze_for,
    glazes_of,
    grounds_of,
    is_transparent,
    seen_over,
)
from refmatch.recipe.mixture import Palette
from refmatch.say.plan import glaze_words
from tests.recipe.boxes import garden_table

BOX = garden_table()
VIOLET = np.array([60.0, 60.0, 0.0])
"""A pink stronger than any opaque mix of the box with white."""


def every_pair() -> list[tuple[Layer, Layer]]:
    return [(glaze, ground) for glaze in glazes_of(BOX) for ground in grounds_of(BOX)[::7]]


def test_a_glaze_of_no_thickness_is_its_ground() -> None:
    for glaze, ground in every_pair():
        own = to_measured(opaque_reflectance(ground.absorption / ground.scattering), BOX.surface)
        np.testing.assert_allclose(seen_over(glaze, ground, 0.0, BOX), own, atol=1e-9)


def test_a_glaze_without_end_is_its_masstone() -> None:
    for glaze, ground in every_pair():
        own = to_measured(opaque_reflectance(glaze.absorption / glaze.scattering), BOX.surface)
        np.testing.assert_allclose(seen_over(glaze, ground, 1e4, BOX), own, atol=1e-9)


def test_a_glaze_that_scatters_nothing_follows_lambert() -> None:
    """Where S goes to 0, light only passes twice: R = Rg exp(-2 K X)."""
    for glaze, ground in every_pair():
        clear = glaze._replace(scattering=np.full(31, 1e-9))
        under = opaque_reflectance(ground.absorption / ground.scattering)
        found = to_inner(seen_over(clear, ground, 0.05, BOX), BOX.surface, floor=0.0)
        np.testing.assert_allclose(found, under * np.exp(-2.0 * glaze.absorption * 0.05), atol=1e-6)


def test_two_coats_are_one_of_both_thicknesses() -> None:
    """A film over the same film: thicknesses add up, whatever the ground."""
    for glaze, ground in every_pair()[::5]:
        under = to_inner(seen_over(glaze, ground, 0.02, BOX), BOX.surface, floor=0.0)
        ratio = (1.0 - under) ** 2 / (2.0 * under)
        coated = Layer(ratio, np.ones(31), ground.laid_out, ground.tubes)
        np.testing.assert_allclose(
            seen_over(glaze, coated, 0.03, BOX), seen_over(glaze, ground, 0.05, BOX), atol=1e-7
        )


@pytest.mark.parametrize("name", ["quinacridone magenta", "phthalo green", "phthalo blue"])
def test_a_glaze_over_white_is_stronger_than_the_tint_of_the_same_value(name: str) -> None:
    """Why painters glaze; common practice, no source."""
    (glaze,) = [each for each in glazes_of(BOX) if [item.tube for item in each.laid_out] == [name]]
    white = next(ground for ground in grounds_of(BOX) if ground.tubes == (BOX.white,))
    films = reflectance_to_lab(seen_over(glaze, white, np.geomspace(1e-4, 0.3, 60), BOX))
    palette = Palette.of([BOX.tube(name), BOX.white], BOX.surface)
    parts = np.column_stack([np.geomspace(1e-4, 10.0, 400), np.ones(400)])
    tints = palette.lab(parts)
    for film in films[(films[:, 0] > 40.0) & (films[:, 0] < 75.0)]:
        tint = tints[np.argmin(np.abs(tints[:, 0] - film[0]))]
        assert chroma(film) > chroma(tint)


def test_only_transparent_tubes_are_glazed_with_and_only_over_lights() -> None:
    assert {tube.name for tube in BOX.tubes if is_transparent(tube)} >= {"phthalo blue"}
    for name in ("titanium-white", "cadmium-red-light", "chromium-oxide-green"):
        assert not is_transparent(built_in_tube(name))
    unknown = replace(BOX.tubes[0], keys=("no-such-pigment",))
    assert not is_transparent(unknown)
    assert LIGHT_FROM > 5.0
    assert len(grounds_of(BOX)) > 10


def test_a_pink_out_of_reach_opaque_is_reached_by_a_glaze_with_its_doubt() -> None:
    found = glaze_for(BOX, VIOLET, opaque_delta_e_00=3.3)
    assert found is not None
    assert found.delta_e_00 <= 3.3 - GAINS
    assert found.delta_e_00 < found.p50 < found.p90
    assert delta_e_00(found.lab, VIOLET) == pytest.approx(found.delta_e_00)
    assert 0.0 < found.hides < 0.3
    assert "in medium" in glaze_words(found)


def test_a_blue_is_not_glazed_over_a_yellow() -> None:
    """Common practice, no source: a yellow shows through wherever the glaze is thin, and turns
    it green. On paper this blue would come nearer so than over a pink."""
    found = glaze_for(BOX, np.array([33.0, 9.0, -36.0]), opaque_delta_e_00=12.0)
    assert found is not None
    assert "hansa yellow" not in {laid.tube for laid in found.ground}


def test_no_glaze_is_told_where_opaque_paint_does_as_well() -> None:
    assert glaze_for(BOX, VIOLET, opaque_delta_e_00=1.0) is None


def test_a_box_of_opaque_tubes_has_none() -> None:
    tubes = [built_in_tube(name) for name in ("titanium-white", "cadmium-red-light")]
    assert glaze_for(Box("opaque", tuple(tubes)), VIOLET, 20.0) is None
