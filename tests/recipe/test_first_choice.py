"""The first choice is what a tutor would lay. All common practice, no source."""

from __future__ import annotations

import functools
import re
from dataclasses import replace

import numpy as np
import pytest

from refmatch.paint.box import Box, built_in_tube
from refmatch.recipe.choice import promise, verdict
from refmatch.recipe.model import Answer, Recipe
from refmatch.recipe.solve import candidates, lay_out, solve
from refmatch.target import Target
from tests.recipe.boxes import garden_table, whole_part_targets
from tests.recipe.trade_mixes import MIXES, Mix, allowed, boxes, laughed_at

BOXES = boxes()

LAUGHED_AT = {("twelve usual", "blue-black"), ("primaries and earths", "blue-black")}
"""Read and left: an ochre in the place of a touch of white, too small for any hand to lay."""


@functools.cache
def answer_of(box: str, mix: Mix) -> Answer:
    return solve(lay_out(BOXES[box]), Target(mix.name, np.array(mix.lab, dtype=float)))


def pigments_of(box: Box, recipe: Recipe) -> set[str]:
    return {key for portion in recipe.portions for key in box.tube(portion.tube).keys}


@pytest.mark.parametrize("name", BOXES)
def test_first_choices_are_the_mixes_of_the_trade(name: str) -> None:
    box = BOXES[name]
    hits = [pigments_of(box, answer_of(name, mix).recipes[0]) <= allowed(mix, box) for mix in MIXES]
    assert np.mean(hits) >= 0.75


def test_of_all_boxes_together_most_are() -> None:
    hits = [
        pigments_of(box, answer_of(name, mix).recipes[0]) <= allowed(mix, box)
        for name, box in BOXES.items()
        for mix in MIXES
    ]
    assert np.mean(hits) >= 0.83


@pytest.mark.parametrize("name", BOXES)
@pytest.mark.parametrize("mix", MIXES, ids=[mix.name for mix in MIXES])
def test_no_first_choice_is_laughed_at(name: str, mix: Mix) -> None:
    box = BOXES[name]
    laughed = pigments_of(box, answer_of(name, mix).recipes[0]) & laughed_at(mix, box)
    assert bool(laughed) == ((name, mix.name) in LAUGHED_AT)


@pytest.mark.parametrize("name", BOXES)
def test_two_let_downs_only_where_nothing_else_comes_within_three(name: str) -> None:
    bench = lay_out(BOXES[name])
    for mix in MIXES:
        laid = answer_of(name, mix).recipes[0].laid_out
        if sum(item.let_down_white_parts > 0 for item in laid) < 2:
            continue
        found = candidates(bench, np.array(mix.lab, dtype=float)).found
        let_downs = (found.parts[:, bench.entries.is_let_down] > 0).sum(axis=1)
        assert found.distance[let_downs < 2].min() > 3.0


@pytest.mark.parametrize("name", BOXES)
def test_first_choices_are_short(name: str) -> None:
    firsts = [answer_of(name, mix).recipes[0] for mix in MIXES]
    assert np.mean([len(one.portions) <= 3 for one in firsts]) >= 0.6
    assert np.mean([sum(laid.parts for laid in one.laid_out) <= 12 for one in firsts]) >= 0.55
    assert np.mean([any(x.let_down_white_parts for x in one.laid_out) for one in firsts]) <= 0.3


def test_value_is_held_first() -> None:
    """Within 1 L* of the target wherever the box reaches it."""
    bench = lay_out(garden_table())
    for lab in whole_part_targets(garden_table(), 20, seed=31):
        if lab[0] < 20.0:
            continue
        answer = solve(bench, Target("1", lab))
        assert abs(answer.recipes[0].delta_lstar) <= 1.0


@pytest.mark.parametrize("name", BOXES)
def test_every_alternative_says_in_few_words_what_it_is_better_at_and_is(name: str) -> None:
    for mix in MIXES:
        first, *others = answer_of(name, mix).recipes
        assert first.better == ""
        for other in others:
            assert 0 < len(other.better.split()) <= 5
            figure = re.search(r"[\d.]+ nearer|by ([\d.]+)|(\d+) parts, not (\d+)", other.better)
            gains = (
                figure is not None,
                len(other.portions) < len(first.portions),
                other.better in ("no let-down to make", "steadier in the hand"),
            )
            assert any(gains)


def test_generic_curves_never_say_match() -> None:
    generic = built_in_tube("titanium-white")
    assert verdict(0.4) == "match"
    assert promise(0.4, [generic]) == "good"
    for name in BOXES:
        for mix in MIXES:
            assert all(each.verdict != "match" for each in answer_of(name, mix).recipes)


def test_a_measured_box_earns_finer_recipes() -> None:
    """The same curves, measured: the first choices come nearer on paper than generic ones do."""
    name = "twelve usual"
    tubes = tuple(replace(tube, source="measured", doubt=0.03) for tube in BOXES[name].tubes)
    bench = lay_out(replace(BOXES[name], tubes=tubes))
    by_generic = [answer_of(name, mix).recipes[0].delta_e_00 for mix in MIXES[::3]]
    by_measured = [
        solve(bench, Target(mix.name, np.array(mix.lab, dtype=float))).recipes[0].delta_e_00
        for mix in MIXES[::3]
    ]
    assert np.mean(by_measured) < np.mean(by_generic)
