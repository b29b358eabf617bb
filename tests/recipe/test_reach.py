"""Out of reach: what is held, what is said, what would help."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.paint.box import Box, built_in_tube
from refmatch.recipe.mixture import Palette
from refmatch.recipe.reach import (
    K_CHROMA,
    K_HUE,
    K_LIGHTNESS,
    KEY,
    WITHIN_REACH,
    Helper,
    Nearest,
    explain,
    held_distance,
    help_words,
    helper_pigment,
)
from tests.colorimetry.charts import colour

VIOLET = np.array([45.0, 35.0, -45.0])
ONE_VALUE = np.array([10.0, 0.0, 0.0])


def turned(lab, degrees):
    angle = np.radians(degrees)
    a, b = lab[1], lab[2]
    return np.array(
        [lab[0], a * np.cos(angle) - b * np.sin(angle), a * np.sin(angle) + b * np.cos(angle)]
    )


def test_with_equal_factors_it_is_cie94_of_colour_science(monkeypatch):
    """CIE 116-1995, graphic arts; the first colour is the standard."""
    for factor in ("K_LIGHTNESS", "K_CHROMA", "K_HUE"):
        monkeypatch.setattr(f"refmatch.recipe.reach.{factor}", 1.0)
    labs = np.random.default_rng(3).uniform([20, -60, -60], [90, 60, 60], (40, 3))
    expected = colour.delta_E(np.broadcast_to(VIOLET, labs.shape), labs, method="CIE 1994")
    np.testing.assert_allclose(held_distance(labs, VIOLET), expected, rtol=1e-9)


def test_value_is_held_before_hue_and_hue_before_chroma():
    assert K_LIGHTNESS < K_HUE < K_CHROMA
    duller = VIOLET * [1.0, 0.6, 0.6]
    other_hue = turned(VIOLET, 25.0)
    lighter = VIOLET + np.array([12.0, 0.0, 0.0])
    far = held_distance(np.stack([duller, other_hue, lighter]), VIOLET)
    near = delta_e_00(np.stack([duller, other_hue, lighter]), VIOLET)
    assert np.ptp(near) < 6.0  # nearly alike to the eye, yet
    assert far[0] < far[1] < far[2]


@pytest.mark.parametrize(
    ("best", "words"),
    [
        (VIOLET * [1.0, 0.8, 0.8], "Too dull: your nearest violet is duller"),
        (VIOLET * [1.0, 1.2, 1.2], "Not dull enough: your nearest violet is stronger"),
        (
            VIOLET + ONE_VALUE,
            "Not dark enough: your nearest violet is one value too light",
        ),
        (
            VIOLET - ONE_VALUE,
            "Not light enough: your nearest violet is one value too dark",
        ),
        (turned(VIOLET, -20.0), "Not red enough: your nearest violet leans too far to blue"),
        (turned(VIOLET, 20.0), "Not blue enough: your nearest violet leans too far to purple-red"),
    ],
)
def test_the_direction_is_said(best, words):
    sentence = explain(VIOLET, best)
    assert sentence.startswith("Out of reach. ")
    assert not any(figure in sentence for figure in ("ΔE", "*", "0")), (
        "figures have their own place"
    )
    assert words in sentence


def rough_solver(box, target):
    """Solve for a box with a tube of each of some pigments.

    Look at every pair of tubes with white on a coarse grid: enough to judge a helper."""
    grid = np.array([(i, j, 12 - i - j) for i in range(13) for j in range(13 - i)], dtype=float)

    def solve(box):
        tubes = [tube for tube in box.tubes if not tube.is_white]
        best = (np.zeros(3), np.inf)
        for i, one in enumerate(tubes):
            for other in tubes[i + 1 :]:
                labs = Palette.of([one, other, box.white], box.surface).lab(grid)
                far = delta_e_00(labs, target)
                if far.min() < best[1]:
                    best = (labs[far.argmin()], float(far.min()))
        return Nearest(*best)

    def solve_with(keys):
        return [solve(replace(box, tubes=(*box.tubes, built_in_tube(key)))) for key in keys]

    return solve(box).delta_e_00, solve_with


def test_a_violet_is_helped_by_a_violet_or_magenta():
    """Common practice, no source: no violet of strength from a warm red and ultramarine."""
    names = ("PW6", "PY74", "PR254", "PB29", "burnt-sienna")
    box = Box("garden table", tuple(built_in_tube(name) for name in names))
    now, solve_with = rough_solver(box, VIOLET)
    helper = helper_pigment(box, VIOLET, now, solve_with)
    assert helper is not None
    assert helper.key in {"dioxazine-violet", "quinacridone-magenta", "cobalt-violet"}
    assert helper.delta_e_00 < now - 1.0


def test_no_helper_is_named_for_what_the_box_can_do():
    names = ("PW6", "PY74", "PR254", "PB29", "burnt-sienna")
    box = Box("garden table", tuple(built_in_tube(name) for name in names))
    target = Palette.of([box.tubes[4], box.tubes[3], box.white]).lab(np.array([5.0, 3.0, 4.0]))
    assert helper_pigment(box, target, *rough_solver(box, target)) is None


def test_help_words_promise_no_more_than_was_found():
    near = Helper("dioxazine-violet", "dioxazine violet", VIOLET, WITHIN_REACH - 0.1)
    assert (
        help_words(near)
        == "The tube to buy is dioxazine violet, which brings it within reach; or " + KEY + "."
    )
    nearer = near._replace(delta_e_00=2.34)
    assert help_words(nearer) == (
        "The tube to buy is dioxazine violet, which brings it nearer; or " + KEY + "."
    )
    assert help_words(None) == f"No one tube brings it much nearer: {KEY}."
    # who aims at what others aim at does not key the picture alone
    assert help_words(None, can_key=False) == "No one tube brings it much nearer."
    assert "key" not in help_words(nearer, can_key=False)


def test_a_mix_of_quite_another_hue_is_called_by_its_own_name():
    """No green "leans too far to orange" from a brown."""
    sentence = explain(np.array([30.0, 22.0, 12.0]), np.array([31.8, -6.5, 11.5]))
    assert sentence.endswith("Not red enough: the nearest to this red is yellow-green.")
