"""The palette and its cautions: the right tubes, in the trade's order, in the right amounts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.paint.box import Box, built_in_tube
from refmatch.painting.table import tubes_on_table
from refmatch.recipe.amounts import PUDDLE_ML, SIZES
from refmatch.recipe.model import Portion
from refmatch.sheet.cautions import GENERAL, HANDLING, cautions
from refmatch.sheet.squeeze import round_the_palette, runs, squeezes
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


def test_sizes_are_spheres_of_their_fruit():
    """Common practice, no source: a pea is 10 mm across, a hazelnut 17, a walnut 27."""
    ends = {word: end for end, word in SIZES}
    for word, across_mm in (("a pea", 10), ("a hazelnut", 17), ("a walnut", 27)):
        volume_ml = np.pi / 6.0 * across_mm**3 / 1000.0
        assert volume_ml == pytest.approx(ends[word], rel=0.2)
    assert ends["two walnuts"] == 2 * ends["a walnut"]


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


@pytest.mark.parametrize(
    ("pigment", "metal"),
    [
        ("cadmium-red-light", "Cadmium"),
        ("cobalt-blue", "Cobalt"),
        ("lead-white", "Lead"),
        ("burnt-umber", "Manganese"),
    ],
)
def test_harmful_metals_are_named_with_their_handling(pigment, metal):
    """Facts of the trade, labelled by ASTM D4236: common practice, no source."""
    tube = built_in_tube(pigment, "my tube")
    told = " ".join(cautions(tubes_on_table(Box("one", (tube,)))))
    assert metal in told
    assert "my tube" in told
    assert HANDLING in told


def test_harmless_tubes_are_not_slandered():
    told = cautions(tubes_on_table(Box("one", (built_in_tube("yellow-ochre"),))))
    assert told == GENERAL


def test_what_holds_for_all_is_always_said():
    told = " ".join(cautions(()))
    for words in ("Oily rags", "under water", "fresh air", "own label and local rules come first"):
        assert words in told


def test_tubes_of_one_metal_share_a_sentence():
    tubes = [
        replace(tube, cautions=("cobalt",), name=name)
        for tube, name in zip(example.table(), ("first blue", "second blue"), strict=False)
    ]
    assert cautions(tubes)[0].startswith("Cobalt in first blue and second blue.")


def test_an_unknown_caution_is_printed_as_it_stands():
    tube = replace(example.table()[0], cautions=("sticks to cats",))
    assert "Titanium white: sticks to cats." in cautions([tube])
