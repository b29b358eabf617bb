"""A painting planned as one: its key, its palette and its mixes belong together."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.errors import UsageError
from refmatch.paint.box import Box, built_in_tube
from refmatch.plan.advise import only
from refmatch.plan.amounts import Canvas
from refmatch.plan.whole import BY_MASS, WholePlan, Wish, whole_plan
from refmatch.recipe.habits import Habits
from refmatch.recipe.mixture import predict
from refmatch.recipe.reach import value_range
from refmatch.recipe.solve import Options
from refmatch.target import Target
from tests.refusals import refused

LABS = (
    ("light", [97.0, 0.0, 3.0], 0.2),
    ("leaf", [45.0, -18.0, 30.0], 0.3),
    ("wood", [40.0, 10.0, 22.0], 0.4),
    ("dark", [3.0, 1.0, 1.0], 0.1),
)


def six_tubes() -> Box:
    names = ("PW6", "PY74", "burnt-sienna", "burnt-umber", "PB29", "phthalo-green")
    return Box("six", tuple(built_in_tube(name) for name in names))


def wish(**more: object) -> Wish:
    targets = tuple(Target(label, np.array(lab)) for label, lab, _ in LABS)
    return Wish(targets, np.array([share for *_, share in LABS]), six_tubes(), **more)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def planned() -> WholePlan:
    return whole_plan(wish(count=4, canvas=Canvas(40.0, 30.0)))


def test_every_mix_is_made_of_the_palette_alone(planned: WholePlan) -> None:
    palette = set(planned.advice.chosen.tubes)
    assert len(palette) == 4
    for answer in planned.answers:
        assert {portion.tube for portion in answer.recipes[0].portions} <= palette
    for puddle in planned.puddles.puddles:
        assert {laid.tube for laid in puddle.laid_out} <= palette


def test_targets_are_keyed_to_the_palette_on_the_table(planned: WholePlan) -> None:
    """Not to the whole box: whatever is left out may have been its darkest tube."""
    low, high = value_range(only(six_tubes(), planned.advice.chosen.tubes))
    lstar = [float(target.lab[0]) for target in planned.targets]
    assert low - 1e-9 <= min(lstar) <= max(lstar) <= high + 1e-9
    assert np.argsort(lstar).tolist() == [3, 2, 1, 0]


def test_without_the_key_the_photo_stays(planned: WholePlan) -> None:
    found = whole_plan(wish(count=4, keyed=False))
    for target, (_, lab, _) in zip(found.targets, LABS, strict=True):
        np.testing.assert_array_equal(target.lab, lab)
    assert found.amounts is None
    assert planned.key.mean_delta_e_00 > 0.0


def test_the_nearest_that_is_told_is_as_near_as_the_mixes(planned: WholePlan) -> None:
    """Whole parts come no nearer than any shares, but for what a fourth colour gains."""
    for answer, nearest in zip(planned.answers, planned.on_table.distance, strict=True):
        closest = min(recipe.delta_e_00 for recipe in answer.recipes)
        assert closest >= nearest - 0.3


def test_a_box_by_mass_says_that_amounts_are_rough() -> None:
    box = six_tubes()
    by_mass = Box(box.name, box.tubes, parts="mass")
    asked = wish(count=3, canvas=Canvas(40.0, 30.0))
    found = whole_plan(Wish(asked.targets, asked.shares, by_mass, 3, canvas=asked.canvas))
    assert BY_MASS in found.flags


@pytest.mark.parametrize("count", [1, 7])
def test_a_palette_must_be_of_a_size_that_the_box_has(count: int) -> None:
    with refused(UsageError, match="2 to 6"):
        whole_plan(wish(count=count))


def test_the_palette_is_as_easy_on_black_as_its_recipes() -> None:
    """A grey of white and black alone is what such a painter never mixes: it takes more tubes."""
    names = ("PW6", "carbon-black", "burnt-umber", "PB29")
    box = Box("greys", tuple(built_in_tube(name) for name in names))
    lab = predict([box.tube("PW6"), box.tube("carbon-black")], [4.0, 1.0])
    grey = (Target("grey", lab),)
    free = whole_plan(Wish(grey, np.ones(1), box, keyed=False))
    assert free.advice.chosen.tubes == ("PW6", "carbon-black")
    easy = Options(habits=Habits(easy_on_black=True))
    held = whole_plan(Wish(grey, np.ones(1), box, keyed=False, options=easy))
    assert held.advice.chosen.tubes == ("PW6", "burnt-umber", "PB29")
    assert held.recipes[0].delta_e_00 < 2.0
