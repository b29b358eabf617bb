"""When a mix is said to take a detour."""

from __future__ import annotations

import numpy as np

from refmatch.recipe.steps import stray_hue
from refmatch.say.sentence import sentence_of


def lch(lightness, chroma, hue_deg):
    angle = np.radians(hue_deg)
    return np.array([lightness, chroma * np.cos(angle), chroma * np.sin(angle)])


YELLOW, ORANGE, RED = lch(70, 60, 88), lch(60, 60, 60), lch(50, 50, 28)
GREEN, BROWN, GREY = lch(60, 40, 145), lch(40, 25, 50), lch(50, 1, 0)


def test_green_between_yellow_and_brown_is_stray():
    flag = stray_hue(np.stack([GREEN]), YELLOW, [BROWN])
    assert flag.name == "stray_hue"
    assert sentence_of(flag) == "Goes green here."


def test_what_lies_between_is_on_the_way():
    assert stray_hue(np.stack([ORANGE]), YELLOW, [RED]) is None
    assert stray_hue(np.stack([ORANGE]), RED, [YELLOW]) is None


def test_a_detour_that_comes_back_is_on_the_way_only():
    flag = stray_hue(np.stack([GREEN, BROWN]), YELLOW, [BROWN])
    assert sentence_of(flag) == "Goes green on the way."


def test_what_has_no_hue_to_speak_of_is_not_stray():
    assert stray_hue(np.stack([lch(60, 5, 145)]), YELLOW, [BROWN]) is None
    assert stray_hue(np.stack([lch(12, 40, 145)]), YELLOW, [BROWN]) is None


def test_on_the_way_to_grey_only_the_start_counts():
    assert stray_hue(np.stack([BROWN]), ORANGE, [GREY]) is None
    assert stray_hue(np.stack([GREEN]), ORANGE, [GREY]) is not None
    assert stray_hue(np.stack([GREEN]), GREY, [GREY]) is not None


def test_any_goal_excuses():
    assert stray_hue(np.stack([GREEN]), YELLOW, [BROWN, lch(50, 40, 170)]) is None
