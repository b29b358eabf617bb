"""Recipes beside each other under a lamp."""

from __future__ import annotations

import numpy as np

from refmatch.recipe.solve import lay_out, solve
from refmatch.recipe.together import UNDER_LAMP, side_by_side, spectrum
from refmatch.say.sentence import sentence_of
from refmatch.target import Target
from tests.recipe.boxes import garden_table


def test_alternatives_that_part_under_a_lamp_say_so_and_others_do_not() -> None:
    """Two ways to one green or one violet are metamers: common practice, no source."""
    box = garden_table()
    bench = lay_out(box)
    answers = [
        solve(bench, Target(str(i), np.array(lab)))
        for i, lab in enumerate([(45.0, 7.0, -19.0), (50.0, -19.0, 29.0), (35.0, 2.0, -18.0)])
    ]
    together = side_by_side(answers, box)
    assert [len(a.recipes) for a in together] == [len(a.recipes) for a in answers]
    told = [f for a in together for r in a.recipes for f in r.flags if f.name == UNDER_LAMP]
    assert told
    others = [f for a in together for r in a.recipes[1:] for f in r.flags if f.name == UNDER_LAMP]
    assert others
    assert all(sentence_of(flag).endswith("than the first choice.") for flag in others)
    assert len(told) < 2 * sum(len(a.recipes) for a in together)


def test_the_spectrum_of_a_recipe_is_that_of_its_parts() -> None:
    box = garden_table()
    recipe = solve(lay_out(box), Target("1", np.array([62.0, 14.0, 38.0]))).recipes[0]
    from refmatch.colorimetry.lab import reflectance_to_lab

    np.testing.assert_allclose(reflectance_to_lab(spectrum(recipe, box)), recipe.lab, atol=1e-4)
