"""The words for a distance, and for what is wrong."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.hues import lstar_from_value, munsell_value
from refmatch.colorimetry.lab import delta_e_00
from refmatch.recipe.choice import (
    CHROMA_ENDS,
    MEANINGS,
    TURN_ENDS,
    VALUE_ENDS,
    VERDICTS,
    miss_words,
    verdict,
)

BROWN = np.array([45.0, 16.0, 22.0])


@pytest.mark.parametrize(
    ("distance", "word"),
    [
        (0.0, "match"),
        (1.0, "match"),
        (1.01, "good"),
        (2.0, "good"),
        (4.0, "near"),
        (8.0, "far"),
        (8.1, "another colour"),
    ],
)
def test_the_words_end_where_the_table_says(distance, word):
    """1, 2, 4, 8: our own choice."""
    assert verdict(distance) == word
    assert [name for _, name in VERDICTS] == list(MEANINGS)


def test_acceptable_lies_in_good():
    """Paravina et al. 2015: 0.8 perceptible, 1.8 acceptable, for half of all observers."""
    assert verdict(0.8) == "match"
    assert verdict(1.8) == "good"


@pytest.mark.parametrize(
    ("lab", "words"),
    [
        (BROWN, ""),
        (BROWN + np.array([4.0, 0.0, 0.0]), "too light"),
        (BROWN - np.array([1.5, 0.0, 0.0]), "a touch too dark"),
        (BROWN * [1.0, 1.6, 1.6], "much too strong"),
        (BROWN * [1.0, 0.8, 0.8], "too dull"),
        (np.array([49.0, 18.8, 19.4]), "too light, too cold"),
    ],
)
def test_misses_are_told_value_first(lab, words):
    assert miss_words(lab, BROWN) == words


def test_blues_miss_towards_red_or_green_and_not_by_temperature():
    """Painters dispute which blue is warm (common practice)."""
    blue = np.array([50.0, 3.0, -40.0])
    assert miss_words(np.array([50.0, 9.0, -39.0]), blue) == "too red"
    assert miss_words(np.array([50.0, -8.0, -39.0]), blue) == "much too green"


@pytest.mark.parametrize(("which", "distance"), [(0, 1.0), (1, 2.0), (2, 5.0)])
def test_the_three_scales_agree_in_ciede2000(which, distance):
    """At middle value and chroma, "a touch", plain and "much" begin alike on all three."""
    for hue in np.radians(np.arange(0.0, 360.0, 30.0)):
        lab = np.array([50.0, 30.0 * np.cos(hue), 30.0 * np.sin(hue)])
        lighter = lab.copy()
        lighter[0] = lstar_from_value(munsell_value(lab) + VALUE_ENDS[which])
        angle = hue + TURN_ENDS[which] * 1.45 / 30.0
        turned = np.array([50.0, 30.0 * np.cos(angle), 30.0 * np.sin(angle)])
        stronger = lab * [1.0, *2 * [1.0 + 5.4 * CHROMA_ENDS[which] / 30.0]]
        for other in (lighter, turned, stronger):
            assert distance / 2.2 < delta_e_00(lab, other) < distance * 1.6
