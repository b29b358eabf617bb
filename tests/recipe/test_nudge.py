"""Nudges: what a tutor would reach for. Facts of the trade are common practice, no source."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.hues import hue_name
from refmatch.colorimetry.lab import chroma, delta_e_00, lch_differences
from refmatch.paint.box import Box, built_in_tube
from refmatch.recipe.mixture import predict
from refmatch.recipe.moves import (
    DIRECTIONS,
    along_and_astray,
    directions_of,
    goes_green,
    spoilt,
    warmth,
)
from refmatch.recipe.nudge import STEP_DELTA_E_00, Lesson, Nudge, amounts, teach
from refmatch.say.nudges import alone_words, nudge_words
from tests.recipe.boxes import eight_tubes, garden_table

WHITE = "titanium-white"


def box_of(*pigments: str) -> Box:
    return Box("few", tuple(built_in_tube(pigment) for pigment in pigments))


def lesson(box: Box, **puddle: float) -> Lesson:
    tubes = [(built_in_tube(name.replace("_", "-")), parts) for name, parts in puddle.items()]
    return teach(box, tubes)


def to(found: Lesson, direction: str) -> Nudge:
    return next(nudge for nudge in found.nudges if nudge.direction == direction)


def alone(found: Lesson, direction: str) -> Nudge:
    return next(nudge for nudge in found.instead if nudge.direction == direction)


def alone_said(found: Lesson, direction: str) -> str:
    return alone_words(found, alone(found, direction))


PUDDLES = (
    {"ultramarine_blue": 3.0, "burnt_sienna": 2.0, "titanium_white": 5.0},
    {"pyrrole_red": 3.0, "hansa_yellow": 6.0, "titanium_white": 1.0},
    {"cobalt_blue": 6.0, "titanium_white": 4.0},
    {"titanium_white": 20.0, "burnt_umber": 1.0},
    {"phthalo_green": 1.0, "yellow_ochre": 1.0},
    {"ultramarine_blue": 1.0},
)


@pytest.mark.parametrize("puddle", PUDDLES, ids=lambda puddle: "-".join(puddle))
def test_a_nudge_is_what_its_figures_say(puddle: dict[str, float]) -> None:
    """Mixed anew by the model, each nudge goes where it says, as far as it says."""
    box = garden_table()
    found = lesson(box, **puddle)
    tubes = [built_in_tube(name.replace("_", "-")) for name in puddle]
    for nudge in (*found.nudges, *found.instead):
        if nudge.tube is None or nudge.parts is None:
            continue
        after = predict([*tubes, box.tube(nudge.tube)], [*puddle.values(), nudge.parts])
        assert np.allclose(after, nudge.lab)
        d_l, d_c, _ = lch_differences(after, found.lab)
        assert nudge.delta_lstar == pytest.approx(float(d_l))
        assert nudge.delta_cstar == pytest.approx(float(d_c))
        moved = {"lighter": d_l, "darker": -d_l, "stronger": d_c, "duller": -d_c}
        assert moved.get(nudge.direction, 1.0) > 0.0
        said = nudge_words if nudge in found.nudges else alone_words
        assert f"{nudge.tube}" in said(found, nudge)
        assert said(found, nudge).startswith("Add ")
        assert f"it turns {nudge.direction}" in said(found, nudge)


WARM_TUBES = ("hansa yellow", "yellow ochre", "pyrrole red", "burnt sienna", "burnt umber")
COOL_TUBES = (
    "quinacridone magenta", "ultramarine", "cerulean blue", "phthalo blue", "phthalo green"
)  # fmt: skip
"""Common practice, no source: crimsons and magentas are the cool reds."""


@pytest.mark.parametrize("puddle", PUDDLES, ids=lambda puddle: "-".join(puddle))
def test_no_warm_tube_warms_and_no_cool_one_cools_with_less_besides(
    puddle: dict[str, float],
) -> None:
    """Against every warm, or cool, tube in every amount, one mixture at a time."""
    box = garden_table()
    found = lesson(box, **puddle)
    tubes = [built_in_tube(name.replace("_", "-")) for name in puddle]
    whole = sum(puddle.values())
    for nudge in (to(found, "warmer"), to(found, "cooler")):
        ratios = []
        for name in WARM_TUBES if nudge.direction == "warmer" else COOL_TUBES:
            tube = box.tube(name)
            labs = np.stack(
                [predict([*tubes, tube], [*puddle.values(), each]) for each in amounts(whole)]
            )
            along, astray = along_and_astray(labs, found.lab, DIRECTIONS[nudge.direction])
            at = int(np.abs(along - STEP_DELTA_E_00).argmin())
            if 1.0 <= along[at] <= 4.0 and astray[at] <= 2.0 * along[at]:
                ratios.append(astray[at] / along[at])
        if ratios and nudge.tube is not None:  # none where all lead through green
            assert nudge.side_effect_delta_e_00 / nudge.step_delta_e_00 <= min(ratios) + 1e-6


def test_a_move_along_one_axis_goes_nowhere_else() -> None:
    lab = np.array([50.0, 20.0, 30.0])
    lighter = np.array([55.0, 20.0, 30.0])
    along, astray = along_and_astray(lighter[None], lab, DIRECTIONS["lighter"])
    assert along[0] == pytest.approx(delta_e_00(lighter, lab))
    assert astray[0] == pytest.approx(0.0, abs=1e-9)
    turned = np.array([50.0, 30.0, 20.0])  # of the same chroma
    for name, sign in (("redder", 1.0), ("yellower", -1.0), ("greener", -1.0)):
        along, astray = along_and_astray(turned[None], lab, DIRECTIONS[name])
        assert along[0] == pytest.approx(sign * delta_e_00(turned, lab))
        assert astray[0] == pytest.approx(0.0, abs=1e-9)
    stronger = lab * [1.0, 1.2, 1.2]
    along, astray = along_and_astray(stronger[None], lab, DIRECTIONS["duller"])
    assert along[0] == pytest.approx(-delta_e_00(stronger, lab))
    assert astray[0] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("parts", [1.0, 4.0, 5.0, 10.0, 32.0])
def test_amounts_are_touches_and_half_parts_up_to_a_quarter_of_the_puddle(parts: float) -> None:
    found = amounts(parts)
    assert np.all(np.diff(found) > 0.0)
    assert found[0] <= 0.006 * parts
    assert 0.2 * parts <= found[-1] <= 0.25 * parts + 1e-9
    if parts >= 5.0:
        coarse = found[found >= 0.5]
        assert np.array_equal(2.0 * coarse, np.round(2.0 * coarse))


def test_a_complement_neutralises() -> None:
    """A green is dulled by its red, not by a yellow, a blue or white."""
    box = box_of("chromium-oxide-green", "quinacridone-magenta", "hansa-yellow", "phthalo-blue")
    assert to(lesson(box, chromium_oxide_green=9.0), "duller").tube == "quinacridone-magenta"


@pytest.mark.parametrize("warm", ["cadmium_red_light", "cadmium_orange", "pyrrole_red"])
def test_white_alone_cools_and_dulls_what_is_warm(warm: str) -> None:
    box = box_of(WHITE, "hansa-yellow", "diarylide-yellow", "ivory-black")
    found = lesson(box, **{warm: 8.0})
    assert alone(found, "lighter").tube == WHITE
    assert alone(found, "lighter").delta_cstar < -1.0
    assert "chalky" in alone_said(found, "lighter")


def test_white_alone_turns_a_red_bluish_and_an_orange_in_it_does_not() -> None:
    box = box_of(WHITE, "cadmium-orange")
    found = lesson(box, pyrrole_red=6.0, titanium_white=3.0)
    assert alone(found, "lighter").delta_hue_deg < 0.0
    assert to(found, "warmer").tube == "cadmium-orange"
    assert to(found, "warmer").delta_hue_deg > 0.0


@pytest.mark.parametrize("yellow", ["hansa_yellow", "cadmium_yellow", "hansa_yellow_light"])
def test_black_takes_a_yellow_to_olive(yellow: str) -> None:
    found = lesson(garden_table(), **{yellow: 10.0})
    black = alone(found, "darker")
    assert black.tube == "ivory black"
    assert black.delta_hue_deg > 0.5
    assert "flat" in alone_said(found, "darker")
    assert "olive" in alone_said(found, "darker")


def test_a_blue_keeps_its_depth_with_a_darker_blue_rather_than_with_black() -> None:
    box = box_of(WHITE, "ivory-black", "indanthrone-blue", "hansa-yellow")
    found = lesson(box, cobalt_blue=6.0, titanium_white=3.0)
    darker, black = to(found, "darker"), alone(found, "darker")
    assert darker.tube == "indanthrone-blue"
    assert black.delta_cstar < darker.delta_cstar - 1.0
    assert "indanthrone-blue keeps it truer" in alone_said(found, "darker")


def test_a_flesh_tint_lightens_a_dark_blue_and_greys_it_less_coldly_than_white() -> None:
    flesh = lesson(box_of("flesh-tint"), ultramarine_blue=10.0, titanium_white=1.0)
    white = lesson(box_of(WHITE), ultramarine_blue=10.0, titanium_white=1.0)
    by_flesh, by_white = to(flesh, "lighter"), alone(white, "lighter")
    assert by_flesh.delta_lstar > 1.0
    assert by_flesh.delta_cstar < by_white.delta_cstar
    assert by_flesh.lab[2] > by_white.lab[2]


def test_a_brown_neutralises_an_orange_without_green() -> None:
    brown = lesson(box_of("burnt-umber"), hansa_yellow=9.0, pyrrole_red=1.0)
    blue = lesson(box_of("phthalo-blue"), hansa_yellow=9.0, pyrrole_red=1.0)
    by_brown, by_blue = to(brown, "duller"), to(blue, "duller")
    assert by_brown.delta_cstar < 0.0
    assert "green" not in hue_name(by_brown.lab)
    assert by_blue.tube is None or by_blue.delta_hue_deg > by_brown.delta_hue_deg + 2.0


def test_white_opens_a_dark_transparent_paint() -> None:
    """It gains chroma before it loses any."""
    found = lesson(garden_table(), ultramarine_blue=10.0)
    assert alone(found, "lighter").delta_cstar > 1.0
    assert "gains" in alone_said(found, "lighter")
    assert "chalky" not in alone_said(found, "lighter")


def test_what_cannot_be_is_said() -> None:
    found = lesson(eight_tubes(), titanium_white=10.0)
    for name in ("lighter", "duller"):
        nudge = to(found, name)
        assert (nudge.tube, nudge.parts, nudge.lab) == (None, None, None)
    assert nudge_words(found, to(found, "lighter")).startswith("No single tube")
    assert nudge_words(found, to(found, "duller")).startswith("It is a grey")
    assert alone(found, "lighter").lab is None
    assert alone_said(found, "lighter") == (
        "PW6 alone makes it no lighter within a quarter of the puddle."
    )
    assert alone_said(found, "darker") == "There is no black among these tubes."


def test_only_the_tubes_asked_for_are_tried() -> None:
    box = garden_table()
    puddle = [(box.tube("ultramarine"), 3.0), (box.tube("titanium white"), 5.0)]
    found = teach(box, puddle, [box.tube("burnt umber")])
    assert {nudge.tube for nudge in found.nudges} <= {None, "burnt umber"}
    assert alone(found, "lighter").tube == "titanium white"


def test_a_grey_has_no_hue_to_turn() -> None:
    found = lesson(garden_table(), titanium_white=10.0)
    assert chroma(found.lab) < 1.5
    known = [nudge for nudge in found.nudges if nudge.tube]
    assert all(
        nudge.delta_hue_deg is None
        for nudge in known
        if min(chroma(found.lab), chroma(nudge.lab)) < 1.0
    )


def test_blues_are_also_turned_and_so_are_oranges() -> None:
    usual = ("lighter", "darker", "warmer", "cooler", "duller", "stronger")
    assert directions_of(np.array([60.0, 5.0, -40.0])) == (*usual, "redder", "greener")
    assert directions_of(np.array([60.0, 20.0, 30.0])) == (*usual, "redder", "yellower")
    assert directions_of(np.array([60.0, -30.0, 20.0])) == usual
    assert directions_of(np.array([60.0, 0.0, 0.1])) == usual


def test_temperature_is_towards_orange_or_blue_and_hue_and_chroma_must_agree() -> None:
    """Of two colours the one nearer to orange is warm (common practice, no source)."""
    terracotta = np.array([50.0, 22.0, 25.0])
    assert warmth(terracotta * [1.0, 1.2, 1.2], terracotta) > 1.0
    assert warmth(terracotta * [1.0, 0.8, 0.8], terracotta) < -1.0
    grey = np.array([50.0, 0.0, 0.0])
    assert warmth(np.array([50.0, 3.0, 4.0]), grey) > 1.0
    assert warmth(np.array([50.0, -3.0, -4.0]), grey) < -1.0
    assert warmth(np.array([50.0, 0.3, 0.4]), grey) == 0.0
    yellow = np.array([80.0, 0.0, 60.0])
    redder_but_weaker = np.array([80.0, 6.0, 48.0])
    assert warmth(redder_but_weaker, yellow) == 0.0
    assert warmth(np.array([80.0, 12.0, 58.8]), yellow) > 1.0
    shadow = terracotta * 0.9
    assert warmth(shadow, terracotta) == 0.0


def test_four_ways_to_spoil_a_colour() -> None:
    """Chalky, flat, muddy and green (common practice, no source)."""
    red = np.array([45.0, 50.0, 25.0])
    assert spoilt(np.array([50.0, 42.0, 20.0]), red, coloured=False) == ("chalky",)
    assert spoilt(np.array([40.0, 35.0, 17.0]), red, coloured=False) == ("flat",)
    assert spoilt(np.array([36.0, 38.0, 19.0]), red, coloured=True) == ("muddy",)
    assert spoilt(np.array([45.0, 40.0, 20.0]), red, coloured=True) == ()
    assert spoilt(0.9 * red, red, coloured=False) == ()
    orange = np.array([60.0, 40.0, 60.0])
    olive = np.array([[50.0, 5.0, 40.0], [45.0, -8.0, 30.0]])
    assert goes_green(olive, orange)
    assert not goes_green(olive[:1], orange)
