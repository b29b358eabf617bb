"""Strings: from light to shadow, each step from the last, turning as the photo's colour turns."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.hues import munsell_hue
from refmatch.colorimetry.lab import delta_e_00, lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.plan.order import plan_puddles
from refmatch.plan.rules import local_colours
from refmatch.plan.strings import FEWEST, LEAST_STEP, MOST, STILL_CLOSE, ColourString, strings
from refmatch.recipe.mixture import predict
from refmatch.say.plan import string_words
from tests.plan.sets import random_set, set_of, table
from tests.recipe.boxes import garden_table

TURNING_GREEN = [
    {"hansa yellow": 6, "titanium white": 4, "cerulean blue": 1},
    {"hansa yellow": 5, "titanium white": 1, "cerulean blue": 3},
    {"hansa yellow": 3, "burnt umber": 2, "phthalo green": 1},
]
"""A leaf: yellower in the light, bluer in the shadow."""

TURNING_BRICK = [
    {"burnt sienna": 2, "titanium white": 6, "yellow ochre": 4},
    {"burnt sienna": 4, "titanium white": 2, "yellow ochre": 3},
]
"""A wall: yellower in the light, redder in the shadow."""

PLAIN_BROWN = [
    {"burnt umber": 2, "titanium white": 9, "yellow ochre": 2},
    {"burnt umber": 3, "titanium white": 3, "yellow ochre": 2},
    {"burnt umber": 6, "yellow ochre": 1},
]

GREYS = [{"ivory black": 1, "titanium white": white} for white in (1, 4, 12)]


def laid_out(recipes) -> tuple[ColourString, ...]:
    entries = table()
    asked = set_of(entries, recipes)
    return strings(entries, asked, plan_puddles(entries, asked))


@pytest.fixture(scope="module")
def found() -> list[ColourString]:
    entries, every = table(), [*laid_out(TURNING_GREEN), *laid_out(PLAIN_BROWN)]
    for seed in range(6):
        asked = random_set(entries, seed, 16)
        every += strings(entries, asked, plan_puddles(entries, asked))
    return every


def test_each_string_falls_in_value_from_step_to_step(found) -> None:
    assert len(found) > 5
    for each in found:
        lstar = np.array([step.lab[0] for step in each.steps])
        assert FEWEST <= len(lstar) <= MOST
        assert np.all(np.diff(lstar) <= -LEAST_STEP + 1e-9)


def test_each_step_is_drawn_from_its_neighbour_towards_the_start(found) -> None:
    for each in found:
        seen: set[int] = set()
        for place in each.in_work_order:
            step = each.steps[place]
            if step.drawn_from is None:
                assert place == each.start
            else:
                assert step.drawn_from in seen
                assert abs(step.drawn_from - place) == 1
                assert 1 <= len(step.laid_out) <= 2
                assert step.delta_e_00 <= STILL_CLOSE
            seen.add(place)
        assert seen == set(range(len(each.steps)))


def test_the_colour_of_each_step_is_that_of_its_parts_mixed_anew(found) -> None:
    box = garden_table()
    for each in found:
        for step in each.steps:
            if step.drawn_from is None:
                continue
            parts = step.of_it * each.steps[step.drawn_from].net
            for item in step.laid_out:
                of_white = item.let_down_white_parts / (1.0 + item.let_down_white_parts)
                parts[box.tubes.index(box.tube(item.tube))] += item.parts * (1.0 - of_white)
                parts[box.tubes.index(box.white)] += item.parts * of_white
            lab = predict(box.tubes, parts.tolist(), box.surface)
            assert delta_e_00(lab, step.lab) < 0.01
            assert step.delta_e_00 == pytest.approx(delta_e_00(lab, step.wanted), abs=0.01)


@pytest.mark.parametrize(("recipes", "way"), [(TURNING_GREEN, 1.0), (TURNING_BRICK, -1.0)])
def test_a_string_turns_in_hue_as_the_photos_colour_does(recipes, way: float) -> None:
    (string,) = laid_out(recipes)
    hues = munsell_hue(np.array([step.lab for step in string.steps]))
    wanted = munsell_hue(np.array([step.wanted for step in string.steps]))
    np.testing.assert_allclose(hues, wanted, atol=3.0)
    assert way * (wanted[-1] - wanted[0]) > 2.0
    assert way * (hues[-1] - hues[0]) > 1.5
    added = {item.tube for step in string.steps for item in step.laid_out}
    assert added - {"titanium white", "ivory black"}, "not by black and white alone"


def test_a_thing_in_less_light_is_one_local_colour() -> None:
    """In less of one light a surface keeps its chromaticity: its XYZ is only scaled."""
    leaf, brick = np.array([70.0, -18.0, 45.0]), np.array([65.0, 28.0, 24.0])
    light = np.array([1.0, 0.5, 0.25, 0.12])
    labs = np.concatenate(
        [
            xyz_to_lab(light[:, None] * lab_to_xyz(lab, ICC_WHITE), ICC_WHITE)
            for lab in (leaf, brick)
        ]
    )
    colours = local_colours(labs, np.array([2.0] * 4 + [1.0] * 4))
    assert [colour.places for colour in colours] == [(0, 1, 2, 3), (4, 5, 6, 7)]
    np.testing.assert_allclose(colours[0].at(float(labs[1, 0])), labs[1])


def test_a_white_and_a_dark_of_one_hue_with_nothing_between_are_no_run() -> None:
    labs = np.array([[95.0, 1.0, 4.0], [12.0, 1.5, 5.0], [90.0, 1.0, 4.5]])
    assert local_colours(labs, np.ones(3)) == ()


def test_greys_have_no_string() -> None:
    assert laid_out(GREYS) == ()


def test_each_end_is_told_against_the_puddle_it_starts_from(found) -> None:
    for each in found:
        assert ("Towards the light:" in string_words(each)) == (each.start > 0)
        assert ("Towards the shadow:" in string_words(each)) == (each.start < len(each.steps) - 1)
