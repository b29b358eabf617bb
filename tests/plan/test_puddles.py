"""A plan of puddles: complete, in order, true to its parts, and sound to a tutor."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.hues import munsell_value
from refmatch.colorimetry.lab import delta_e_00
from refmatch.paint.box import built_in_tube
from refmatch.plan.mothers import Draw, Mother, Plan, Set
from refmatch.plan.order import MOST_COST, dries, plan_puddles, written
from refmatch.plan.rules import DARK_BELOW, LITTLE_WHITE, MOST_STEPS
from refmatch.recipe.mixture import entries_of, predict
from refmatch.say.plan import puddle_words, work_words
from tests.plan.sets import random_set, set_of, table
from tests.recipe.boxes import garden_table

SEEDS = range(8)


@pytest.fixture(scope="module")
def plans() -> list[tuple[Set, Plan]]:
    entries = table()
    asked = [random_set(entries, seed) for seed in SEEDS]
    return [(each, plan_puddles(entries, each)) for each in asked]


def test_every_target_has_its_puddle_once_and_stands_after_what_it_is_drawn_from(plans) -> None:
    for asked, plan in plans:
        places = [p.target for p in plan.puddles if p.target is not None]
        assert sorted(places) == list(range(len(asked.labels)))
        seen: set[str] = set()
        for puddle in plan.puddles:
            assert puddle.drawn_from is None or puddle.drawn_from in seen
            assert puddle.label not in seen
            seen.add(puddle.label)


def test_each_puddle_is_as_true_as_was_asked(plans) -> None:
    for _, plan in plans:
        for puddle in plan.puddles:
            if puddle.target is not None:
                assert puddle.delta_e_00 <= puddle.alone_delta_e_00 + MOST_COST + 1e-6
        assert plan.mean_delta_e_00 <= plan.mean_alone_delta_e_00 + MOST_COST


def test_the_colour_told_is_that_of_its_parts_mixed_anew(plans) -> None:
    """By another way than the plan's own: parts of tubes, let-downs and mothers resolved."""
    box = garden_table()
    for asked, plan in plans:
        net: dict[str, np.ndarray] = {}
        for puddle in plan.puddles:
            parts = np.zeros(len(box.tubes))
            if puddle.drawn_from is not None:
                parts += puddle.of_it * net[puddle.drawn_from]
            for item in puddle.laid_out:
                of_white = item.let_down_white_parts / (1.0 + item.let_down_white_parts)
                parts[box.tubes.index(box.tube(item.tube))] += item.parts * (1.0 - of_white)
                parts[box.tubes.index(box.white)] += item.parts * of_white
            net[puddle.label] = parts / parts.sum()
            lab = predict(box.tubes, parts.tolist(), box.surface)
            assert delta_e_00(lab, puddle.lab) < 0.01
            if puddle.target is not None:
                off = delta_e_00(lab, asked.labs[puddle.target])
                assert puddle.delta_e_00 == pytest.approx(off, abs=0.01)


def test_all_the_paint_comes_from_somewhere(plans) -> None:
    """What is laid out from tubes for all puddles is as much as all targets need."""
    for asked, plan in plans:
        from_tubes = 0.0
        for puddle in plan.puddles:
            laid = sum(item.parts for item in puddle.laid_out)
            from_tubes += puddle.share * laid / (laid + puddle.of_it)
        assert from_tubes == pytest.approx(1.0)
        assert len(asked.labels) == plan.alone


def test_no_light_is_made_from_a_dark_and_no_white_carried_into_darks(plans) -> None:
    """Common practice, no source."""
    drawn = 0
    for asked, plan in plans:
        by_label = {puddle.label: puddle for puddle in plan.puddles}
        for puddle in plan.puddles:
            if puddle.drawn_from is None:
                continue
            drawn += 1
            mother = by_label[puddle.drawn_from]
            assert abs(munsell_value(puddle.lab) - munsell_value(mother.lab)) < MOST_STEPS + 0.3
            if munsell_value(puddle.lab) < DARK_BELOW - 0.3:
                own = asked.parts[puddle.target] @ table().net
                assert puddle.net[0] <= max(LITTLE_WHITE, own[0] / own.sum()) + 1e-9
    assert drawn > 10, "a plan without drawn puddles shows nothing"


def test_neighbours_in_one_colour_come_from_one_puddle() -> None:
    """A blue, its tint and its greyed half-tone: nobody mixes that three times."""
    recipes = [
        {"ultramarine": 4, "titanium white": 4},
        {"ultramarine": 4, "titanium white": 12},
        {"ultramarine": 4, "titanium white": 4, "burnt sienna": 1},
    ]
    entries = table()
    plan = plan_puddles(entries, set_of(entries, recipes))
    assert plan.from_tubes == 1
    assert plan.laid_out < plan.laid_out_alone
    assert plan.mean_delta_e_00 < 0.1


def test_colours_from_round_the_circle_are_each_mixed_from_tubes() -> None:
    recipes = [
        {"pyrrole red": 5, "titanium white": 1},
        {"hansa yellow": 5, "titanium white": 1},
        {"cerulean blue": 5, "titanium white": 1},
        {"phthalo green": 2, "hansa yellow": 3},
    ]
    entries = table()
    plan = plan_puddles(entries, set_of(entries, recipes))
    assert plan.from_tubes == 4
    assert "none is near enough" in work_words(plan)[0]


def test_two_of_one_colour_share_one_puddle() -> None:
    entries = table()
    plan = plan_puddles(entries, set_of(entries, [{"yellow ochre": 3, "titanium white": 1}] * 2))
    assert plan.from_tubes == 1
    assert "one puddle does for both" in puddle_words(plan.puddles[1], plan)
    assert work_words(plan)[0].startswith("1 puddle for 2 colours")
    assert (plan.laid_out, plan.laid_out_alone) == (2, 4)


def test_lights_are_mixed_before_darks() -> None:
    """So that knife and palette stay clean; common practice, no source."""
    for seed in SEEDS:
        plan = plan_puddles(table(), random_set(table(), seed))
        lstar = [puddle.lab[0] for puddle in plan.puddles if puddle.drawn_from is None]
        assert lstar == sorted(lstar, reverse=True)


def test_another_recipe_of_a_target_may_be_the_mother() -> None:
    """From umber alone nothing is drawn; from umber with a touch of sienna its tint is."""
    entries = table()
    asked = set_of(
        entries,
        [{"burnt umber": 1}, {"burnt umber": 19, "burnt sienna": 1, "titanium white": 2}],
    )
    assert plan_puddles(entries, asked).from_tubes == 2
    other = set_of(entries, [{"burnt umber": 19, "burnt sienna": 1}]).parts[0]
    both = Set(asked.labels, asked.labs, asked.shares, asked.parts, [(0, other)])
    plan = plan_puddles(entries, both)
    assert plan.from_tubes == 1
    assert plan.puddles[0].delta_e_00 < MOST_COST


def test_nothing_is_drawn_from_paint_as_it_comes_out_of_one_tube() -> None:
    entries = table()
    recipes = [{"titanium white": 1}, {"titanium white": 5, "yellow ochre": 1}]
    plan = plan_puddles(entries, set_of(entries, recipes))
    assert plan.from_tubes == 2


def test_a_core_that_does_for_a_target_as_it_is_is_that_targets_puddle() -> None:
    entries = table()
    asked = set_of(entries, [{"ultramarine": 16, "titanium white": 1, "burnt umber": 5}])
    core = set_of(entries, [{"ultramarine": 16, "burnt umber": 5}])
    net = core.parts[0] @ entries.net / core.parts[0].sum()
    mother = Mother("", None, core.parts[0], net, core.labs[0])
    as_it_is = Draw(1, np.zeros_like(core.parts[0]), net, core.labs[0], 0.3)
    (puddle,) = written(entries, asked, [(mother, {0: as_it_is})]).puddles
    assert (puddle.label, puddle.target, puddle.drawn_from) == ("a", 0, None)
    assert puddle.delta_e_00 == pytest.approx(delta_e_00(core.labs[0], asked.labs[0]))


def test_a_mother_that_is_no_target_has_a_name_of_its_own() -> None:
    """Two tints of one core, whose targets have taken the first name."""
    entries = table()
    core = {"hansa yellow": 3, "quinacridone magenta": 2}
    recipes = [{**core, "titanium white": 1}, {**core, "titanium white": 3}]
    recipes.append({**core, "burnt sienna": 3})
    asked = set_of(entries, recipes)
    named = Set(["mother A", "b", "c"], asked.labs, asked.shares, asked.parts)
    labels = [puddle.label for puddle in plan_puddles(entries, named).puddles]
    assert len(labels) == len(set(labels))
    assert set(named.labels) <= set(labels)


def test_umber_hurries_a_puddle_and_titanium_and_ivory_black_do_not() -> None:
    """Siccative manganese in umbers; common practice, no source."""
    tubes = [built_in_tube(name) for name in ("titanium-white", "burnt-umber", "ivory-black")]
    assert dries(tubes, np.array([3.0, 1.0, 0.0])) == "fast"
    assert dries(tubes, np.array([3.0, 0.0, 1.0])) == "slow"
    assert dries([built_in_tube("ultramarine-blue")], np.array([1.0])) == "middle"


def test_a_box_without_let_downs_is_planned_too() -> None:
    entries = entries_of(garden_table(), let_downs=False)
    recipes = [{"burnt umber": 2, "titanium white": 3}, {"burnt umber": 2, "titanium white": 6}]
    assert plan_puddles(entries, set_of(entries, recipes)).from_tubes == 1
