"""Mixes that part under a lamp."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.flag import Flag
from refmatch.paint.box import built_in_tube
from refmatch.recipe.lamps import LAMPS, SPOKEN_FROM, labs_under_lamps, lamp_change, under_lamps
from refmatch.recipe.mixture import Palette
from refmatch.recipe.together import UNDER_LAMP
from refmatch.say.sentence import sentence_of
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
    (change,) = under_lamps(cobalt(), {"the ultramarine mix": match})
    assert change.lamp == "A"
    assert change.turns[-1].endswith("redder")
    sentence = sentence_of(Flag(UNDER_LAMP, **change._asdict()))
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


def test_a_mix_under_a_lamp_is_seen_beside_the_lamp_s_own_white():
    """Against colour-science by ASTM E308; a perfect white stays white (ISO/CIE 11664-4)."""
    seen = labs_under_lamps(np.stack([cobalt(), np.ones(31)]))
    assert set(seen) == {"A", "LED-B3"}
    for lamp, (mix, white) in seen.items():
        np.testing.assert_allclose(mix, by_colour_science(cobalt(), lamp), atol=0.02)
        np.testing.assert_allclose(white, [100.0, 0.0, 0.0], atol=1e-9)


def test_what_differs_by_day_does_not_count():
    """The additive correction of CIE 015:2018: greys of two values move alike."""
    light_grey, dark_grey = np.full(31, 0.5), np.full(31, 0.1)
    for lamp in LAMPS:
        assert lamp_change(light_grey, dark_grey, lamp) == pytest.approx(0.0, abs=0.01)


def test_colours_far_apart_by_day_are_not_compared():
    """Red and blue part under every lamp, whatever they are mixed from."""
    red = Palette.of([built_in_tube("pyrrole-red")]).reflectance(np.array([1.0]))
    assert lamp_change(red, cobalt(), "A") > SPOKEN_FROM
    assert under_lamps(red, {"the sky": cobalt()}) == ()


def test_only_the_one_that_moves_farthest_is_named():
    match = nearest(
        ("ultramarine-blue", "phthalo-blue", "titanium-white"), reflectance_to_lab(cobalt())
    )
    (change,) = under_lamps(cobalt(), {"its twin": cobalt(), "the other": match})
    assert change.other == "the other"
