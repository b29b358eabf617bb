"""Why the first choice stands first though another is closer, in words."""

from __future__ import annotations

import numpy as np

from refmatch.recipe.choice import trade_words
from refmatch.recipe.solve import lay_out, solve
from refmatch.target import Target
from tests.recipe.boxes import garden_table, whole_part_targets


def test_a_trade_is_told_where_there_is_one_and_its_figures_are_true() -> None:
    box = garden_table()
    bench = lay_out(box)
    told = 0
    for lab in [np.array([62.0, 14.0, 38.0]), *whole_part_targets(box, 6, 12)]:
        answer = solve(bench, Target("1", lab))
        first = answer.recipes[0]
        assert all(recipe.trade == "" for recipe in answer.recipes[1:])
        if first.trade:
            told += 1
            farther = float(first.trade.split()[0])
            assert 0.0 < farther <= first.delta_e_00 + 0.05
            if "steadier in the hand" in first.trade:
                assert f"({first.delta_e_00_hand:.1f} against" in first.trade
    assert told


def test_a_recipe_gives_nothing_up_beside_itself() -> None:
    answer = solve(lay_out(garden_table()), Target("1", np.array([62.0, 14.0, 38.0])))
    assert trade_words(answer.recipes[0], answer.recipes[0], 0.0, 0.0) == ""


def test_a_lamp_is_named_first() -> None:
    answer = solve(lay_out(garden_table()), Target("1", np.array([62.0, 14.0, 38.0])))
    first, *others = answer.recipes
    nearest = min(others, key=lambda recipe: recipe.delta_e_00)
    if first.delta_e_00 - nearest.delta_e_00 < 0.05:
        first, nearest = nearest, first
    assert "but steadier under a lamp" in trade_words(first, nearest, 0.2, 1.5)
