"""Mixes that part under a lamp."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.paint.box import Box, built_in_tube
from refmatch.recipe.lamps import LAMPS, SPOKEN_FROM, lamp_change, under_lamps, with_lamps
from refmatch.recipe.mixture import Palette
from refmatch.recipe.model import Answer, Portion, Recipe
from tests.colorimetry.charts import colour, xyz_by_colour_science


def nearest(names, target_lab):
    """Return the reflectance of the mix of three tubes nearest to a colour by day."""
    palette = Palette.of([built_in_tube(name) for name in names])
    steps = np.linspace(0.0, 1.0, 81) ** 2
    grid = np.stack(np.meshgrid(steps, steps, [1.0]), axis=-1).reshape(-1, 3)
    far = delta_e_00(palette.lab(grid), target_lab)
    assert far.min() < 1.5
    return palette.reflectance(grid[far.argmin()])


def cobalt():
    palette = Palette.of([built_in_tube("cobalt-blue"), built_in_tube("titanium-white")])
    return palette.reflectance(np.array([1.0, 0.3]))


def by_colour_science(values, illuminant):
    """Return Lab against the light's own white, by ASTM E308."""
    seen, white = (xyz_by_colour_science(each, illuminant) for each in (values, np.ones(31)))
    return colour.XYZ_to_Lab(seen / 100.0, colour.XYZ_to_xy(white))


def test_cobalt_blue_turns_redder_under_tungsten_than_its_match():
    """Staniforth 1985, Studies in Conservation 30, 101-111: cobalt blue reflects the far
    red, so a retouching matched to it by day parts from it by lamplight."""
    match = nearest(
        ("ultramarine-blue", "phthalo-blue", "titanium-white"), reflectance_to_lab(cobalt())
    )
    assert lamp_change(cobalt(), match, "A") > SPOKEN_FROM
    (sentence,) = under_lamps(cobalt(), {"the ultramarine mix": match})
    assert sentence.startswith("Under a tungsten lamp it turns")
    assert "redder than the ultramarine mix." in sentence


def test_one_pigment_is_never_parted_from_itself():
    palette = Palette.of([built_in_tube("cobalt-blue"), built_in_tube("titanium-white")])
    same = palette.reflectance(np.array([10.0, 3.0]))
    assert under_lamps(cobalt(), {"its twin": same}) == ()
    assert under_lamps(cobalt(), {}) == ()


def test_the_index_is_that_of_cie_015():
    """With the day's difference taken off, the pair under A by colour-science's own Lab."""
    match = nearest(
        ("ultramarine-blue", "phthalo-blue", "titanium-white"), reflectance_to_lab(cobalt())
    )
    labs = {
        (light, which): by_colour_science(values, light)
        for light in ("D50", "A")
        for which, values in (("cobalt", cobalt()), ("match", match))
    }
    by_day = labs["D50", "match"] - labs["D50", "cobalt"]
    expected = colour.delta_E(labs["A", "cobalt"], labs["A", "match"] - by_day, method="CIE 2000")
    assert lamp_change(cobalt(), match, "A") == pytest.approx(expected, abs=0.01)


def test_what_differs_by_day_does_not_count():
    """The additive correction of CIE 015:2018: greys of two values move alike."""
    light_grey, dark_grey = np.full(31, 0.5), np.full(31, 0.1)
    for lamp in LAMPS:
        assert lamp_change(light_grey, dark_grey, lamp) == pytest.approx(0.0, abs=0.01)


def recipe(**parts):
    """Return a recipe of built-in tubes; only its portions are looked at."""
    portions = tuple(Portion(name, (name,), float(share)) for name, share in parts.items())
    lab = Palette.of([BOX.tube(name) for name in parts]).lab(np.array(list(parts.values()), float))
    nothing = dict.fromkeys(
        ("delta_e_00", "delta_e_00_hand", "delta_e_00_p90", "objective"), 0.0
    ) | dict.fromkeys(("d_lightness", "d_chroma", "d_hue"), 0.0)
    return Recipe("", (), portions, lab, **nothing, verdict="match", words="")


BOX = Box(
    "garden table",
    tuple(built_in_tube(name) for name in ("PW6", "PB28", "PB29", "PB15:3", "PR254")),
)
COBALT = recipe(PB28=10, PW6=3)
ULTRAMARINE = recipe(PB29=29, PW6=29, **{"PB15:3": 2})
RED = recipe(PR254=4, PW6=1)


def answer(label, *recipes):
    return Answer(label, recipes[0].lab, True, None, recipes)


def test_alternatives_are_held_against_the_first_recipe():
    (told,) = with_lamps([answer("sky", COBALT, COBALT, ULTRAMARINE)], BOX)
    assert [len(r.flags) > 0 for r in told.recipes] == [False, False, True]
    assert {flag.name for flag in told.recipes[2].flags} == {"under_a_lamp"}
    assert all(flag.text.endswith("than the first recipe.") for flag in told.recipes[2].flags)


def test_neighbours_far_apart_by_day_are_not_compared():
    """Red and blue part under every lamp, whatever they are mixed from."""
    palette = Palette.of(BOX.tubes)
    red, blue = palette.reflectance(np.array([[1, 0, 0, 0, 4], [3, 10, 0, 0, 0]], float))
    assert lamp_change(red, blue, "A") > SPOKEN_FROM
    told = with_lamps([answer("apple", RED), answer("sky", COBALT)], BOX)
    assert not any(r.flags for each in told for r in each.recipes)


def test_near_neighbours_are_compared_both_ways():
    one, other = with_lamps([answer("sky", COBALT), answer("pond", ULTRAMARINE)], BOX)
    assert one.recipes[0].flags[0].text.endswith("than pond.")
    assert other.recipes[0].flags[0].text.endswith("than sky.")
