"""What a slip of the page is told of a recipe."""

from __future__ import annotations

import json

import numpy as np
import pytest

from refmatch.colorimetry.display import css_srgb
from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.encode import encode
from refmatch.paint.box import Box, built_in_tube
from refmatch.painting.own_box import tubes_on_table
from refmatch.recipe.habits import Habits
from refmatch.recipe.mixture import predict
from refmatch.recipe.solve import Options, lay_out, solve
from refmatch.target import Target
from refmatch.web.colours import filled
from refmatch.web.recipes import recipe_shown
from tests.recipe.boxes import garden_table
from tests.recipe.test_lamps import by_colour_science

PEAR = Target("pear", np.array([70.0, -8.0, 50.0]))


def shown(recipes, box):
    table = tubes_on_table(box)
    return filled([recipe_shown(recipe, box, table) for recipe in recipes])


@pytest.fixture(scope="module")
def recipes():
    return solve(lay_out(garden_table()), PEAR).recipes


def test_it_holds_all_that_the_command_line_says(recipes):
    for recipe, told in zip(recipes, shown(recipes, garden_table()), strict=True):
        plain = encode(recipe)
        assert {**told, "steps": plain["steps"]} == {**told, **plain}
        assert [step["text"] for step in told["steps"]] == [step.text for step in recipe.steps]


def test_lines_are_what_is_laid_out_and_sum_to_one(recipes):
    (told,) = shown(recipes[:1], garden_table())
    assert [line["parts"] for line in told["lines"]] == [laid.parts for laid in recipes[0].laid_out]
    assert sum(line["share"] for line in told["lines"]) == pytest.approx(1.0, abs=0.001)
    total = sum(line["parts"] for line in told["lines"])
    assert told["total_words"] == f"{total} parts by volume"
    assert told["distance_words"].startswith(recipes[0].verdict)
    json.dumps(told, allow_nan=False)


def test_a_line_s_colour_is_the_tube_s_masstone_or_its_let_down():
    """Phthalo green 1:9 in white, Lab 75, -40, -5 (Okumura 2005), within the fit's 3 dE00."""
    sky = solve(lay_out(garden_table()), Target("leaf", np.array([84.0, -20.0, -3.0])))
    lines = [
        line
        for told in shown(sky.recipes, garden_table())
        for line in told["lines"]
        if line["words"].startswith("phthalo green")
    ]
    let_down = [line for line in lines if "white" in line["words"]]
    plain = [line for line in lines if line["words"] == "phthalo green"]
    assert let_down
    for line in let_down:
        assert delta_e_00(line["colour"]["lab"], [75.0, -40.0, -5.0]) < 3.0
    for line in plain:
        np.testing.assert_allclose(
            line["colour"]["lab"], predict([built_in_tube("PG7")], [1.0]), atol=1e-3
        )


def test_the_last_step_is_the_mix(recipes):
    for told in shown(recipes, garden_table()):
        np.testing.assert_allclose(
            told["steps"][-1]["colour"]["lab"], told["colour"]["lab"], atol=0.01
        )


def test_under_a_lamp_it_is_what_its_spectrum_says(recipes):
    """By colour-science, ASTM E308, from the portions alone."""
    box = garden_table()
    (told,) = shown(recipes[:1], box)
    tubes = [box.tube(portion.tube) for portion in recipes[0].portions]
    parts = np.array([portion.parts for portion in recipes[0].portions])
    k = sum(part * tube.absorption for part, tube in zip(parts, tubes, strict=True))
    s = sum(part * tube.scattering for part, tube in zip(parts, tubes, strict=True))
    q = k / s
    inner = 1.0 + q - np.sqrt(q**2 + 2.0 * q)
    k_1, k_2 = box.surface.k1, box.surface.k2
    seen = (1.0 - k_1) * (1.0 - k_2) * inner / (1.0 - k_2 * inner)
    np.testing.assert_allclose(told["colour"]["lab"], reflectance_to_lab(seen), atol=1e-3)
    for lamp in ("A", "LED-B3"):
        expected = by_colour_science(seen, lamp)
        np.testing.assert_allclose(told["under"][lamp]["lab"], expected, atol=0.05)


def test_with_the_box_s_white_held_out_the_next_makes_the_let_downs():
    names = ("titanium-white", "zinc-white", "phthalo-green", "hansa-yellow")
    box = Box("two whites", tuple(built_in_tube(name) for name in names))
    habits = Habits(without=("titanium-white",))
    answer = solve(lay_out(box, Options(habits=habits)), Target("mint", np.array([85, -25, 0.0])))
    told = shown(answer.recipes, box)
    let_downs = [
        line["colour"]["lab"] for one in told for line in one["lines"] if "9" in line["words"]
    ]
    assert let_downs
    zinc = predict([box.tubes[2], box.tubes[1]], [1.0, 9.0])
    np.testing.assert_allclose(let_downs, np.broadcast_to(zinc, np.shape(let_downs)), atol=1e-3)


def test_the_colours_of_a_whole_page_are_reckoned_in_one_go(recipes, monkeypatch):
    """One by one they would take longer than a click may (tests/benchmarks/studio_page.py)."""
    reckoned = []

    def counted(labs):
        reckoned.append(len(labs))
        return css_srgb(labs)

    monkeypatch.setattr("refmatch.web.colours.css_srgb", counted)
    shown(recipes[:1], garden_table())
    shown([*recipes, *recipes], garden_table())
    few, many = reckoned
    assert many > 2 * few > 10
