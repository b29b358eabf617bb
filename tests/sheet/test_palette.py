"""The palette and its cautions: the right tubes, in the trade's order, in the right amounts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.paint.box import Box, built_in_tube
from refmatch.painting.own_box import tubes_on_table
from refmatch.plan.amounts import PUDDLE_ML
from refmatch.recipe.model import Portion
from refmatch.say.plan import runs
from refmatch.sheet.squeeze import round_the_palette, squeezes
from tests.painting import example


def test_puddles_use_all_that_is_squeezed_out():
    painting = example.painting(8)
    assert sum(s.volume_ml for s in squeezes(painting)) == pytest.approx(8 * PUDDLE_ML)


def test_a_tube_is_owed_its_shares():
    painting = example.painting(1)
    portions = (Portion("titanium white", ("PW6",), 3.0), Portion("hansa yellow", ("PY74",), 1.0))
    recipe = replace(painting.recipes[0].recipes[0], portions=portions)
    answer = replace(painting.recipes[0], recipes=(recipe,))
    found = {s.tube: s for s in squeezes(replace(painting, recipes=(answer,)))}
    assert found["titanium white"].volume_ml == pytest.approx(0.75 * PUDDLE_ML)
    assert found["hansa yellow"].volume_ml == pytest.approx(0.25 * PUDDLE_ML)
    assert found["hansa yellow"].size == "a hazelnut"
    assert found["titanium white"].size == "a walnut"


def test_tubes_are_laid_out_white_to_black_round_the_hues():
    """Common practice, no source: white, yellows, reds, blues, greens, black."""
    keys = "ivory-black phthalo-green ultramarine-blue hansa-yellow pyrrole-red titanium-white"
    tubes = tubes_on_table(Box("six", tuple(built_in_tube(key) for key in keys.split())))
    order = [tube.name for tube in round_the_palette(tubes)]
    assert order == [
        "titanium-white",
        "hansa-yellow",
        "pyrrole-red",
        "ultramarine-blue",
        "phthalo-green",
        "ivory-black",
    ]


@pytest.mark.parametrize(
    ("numbers", "says"),
    [([], ""), ([3], "3"), ([1, 2], "1, 2"), ([1, 2, 3], "1–3"), ([1, 3, 4, 5, 9], "1, 3–5, 9")],
)
def test_numbers_run_together(numbers, says):
    assert runs(numbers) == says


def test_masstone_and_tint_are_those_of_the_paints():
    """Table values of artists' acrylics, Okumura 2005 (RIT thesis); 2 dE for the fitted curves."""
    box = Box("two", (built_in_tube("titanium-white"), built_in_tube("chromium-oxide-green")))
    green = tubes_on_table(box)[1]
    assert green.masstone == pytest.approx([40, -24, 25], abs=2.0)
    assert green.tint == pytest.approx([80, -10, 7], abs=2.0)


def test_a_box_without_white_has_masstones_for_tints():
    green = tubes_on_table(Box("one", (built_in_tube("chromium-oxide-green"),)))[0]
    assert np.array_equal(green.masstone, green.tint)
