"""Two colours side by side, on published colours; the judgements are common practice."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from refmatch.colorimetry.hues import lstar_from_value
from refmatch.colorimetry.words import (
    compare,
    compare_labelled,
    compare_neighbours,
    neighbours,
    turn,
    value_difference,
)
from tests.colorimetry.charts import paint, patch


def grey(value):
    return np.array([float(lstar_from_value(value)), 0.0, 0.0])


@pytest.mark.parametrize(
    ("difference", "words"),
    [
        (0.05, ""),
        (0.2, "a touch lighter"),
        (-0.5, "half a value darker"),
        (1.0, "one value lighter"),
        (-1.5, "one and a half values darker"),
        (2.0, "two values lighter"),
        (-2.5, "two and a half values darker"),
        (4.0, "four values lighter"),
    ],
)
def test_value_is_counted_in_halves(difference, words):
    assert value_difference(grey(5.0 + difference), grey(5.0)) == words


@pytest.mark.parametrize(
    ("warmer", "cooler"),
    [
        ("pyrrole red", "quinacridone crimson 1:1"),
        ("diarylide yellow", "Hansa yellow"),
        ("yellow ochre", "azo green gold"),
        ("Hansa yellow", "ultramarine blue 1:1"),
    ],
)
def test_temperature_is_said_of_two_colours(warmer, cooler):
    """Common practice, no source."""
    assert turn(paint(warmer), paint(cooler)).warmer > 3.0
    assert turn(paint(cooler), paint(warmer)).warmer < -3.0


def test_one_grey_is_cool_beside_orange_and_warm_beside_blue():
    """The lesson of every colour class: no colour is warm by itself (common practice)."""
    middle = patch("neutral 5 (.70 D)")
    assert any("cooler" in words for words in compare(middle, patch("orange")))
    assert any("warmer" in words for words in compare(middle, patch("blue")))


def test_of_two_blues_redder_or_greener_is_said_and_never_a_temperature():
    words = compare(paint("ultramarine blue 1:1"), paint("cerulean blue 1:1"))
    assert "redder" in " ".join(words)
    assert "greener" in " ".join(compare(paint("cerulean blue 1:1"), paint("ultramarine blue 1:1")))
    assert not any("warm" in word or "cool" in word for word in words)


def test_losing_chroma_alone_is_no_change_of_temperature():
    orange = patch("orange")
    duller = orange * [1.0, 0.5, 0.5]
    assert compare(duller, orange) == ("much duller",)


def test_value_comes_first_and_the_sentence_reads_aloud():
    sentence = compare_labelled(
        "2", np.array([45.0, 16.0, 22.0]), "1", np.array([60.0, 37.0, 34.0])
    )
    assert sentence == "2 is one and a half values darker, warmer, much duller than 1."
    assert compare_labelled("b", grey(5.0), "a", grey(5.02)) == "b looks like a."


def test_along_the_wheel_from_blue_to_orange_each_colour_is_warmer_than_the_last():
    """Common practice, no source: blue, green, yellow, orange and blue, purple, red, orange."""
    names = ("cyan", "bluish green", "green", "yellow", "orange yellow", "orange")
    other_way = ("blue", "purple", "magenta", "moderate red", "red", "orange")
    for path in (names, other_way):
        for cooler, warmer in itertools.pairwise(path):
            assert turn(patch(warmer), patch(cooler)).warmer > 3.0, (cooler, warmer)


def test_comparison_is_its_own_mirror():
    words = {"lighter": "darker", "warmer": "cooler", "stronger": "duller"}
    there = " ".join(compare(patch("orange"), patch("dark skin")))
    back = " ".join(compare(patch("dark skin"), patch("orange")))
    for one, other in words.items():
        assert there.count(one) == back.count(other)
        assert there.count(other) == back.count(one)


def test_neighbours_join_every_hole_to_its_nearest():
    points = np.random.default_rng(7).uniform(0.0, 1000.0, (9, 2))
    pairs = neighbours(9, points)
    distance = np.linalg.norm(points[:, None] - points[None], axis=-1)
    np.fill_diagonal(distance, np.inf)
    assert len(pairs) == 8
    for hole, nearest in enumerate(distance.argmin(axis=1)):
        assert tuple(sorted((hole, int(nearest)))) in pairs


def test_neighbours_are_the_minimum_spanning_tree_of_scipy():
    from scipy.sparse.csgraph import minimum_spanning_tree

    points = np.random.default_rng(11).uniform(0.0, 1000.0, (12, 2))
    distance = np.linalg.norm(points[:, None] - points[None], axis=-1)
    ours = sum(distance[pair] for pair in neighbours(12, points))
    assert ours == pytest.approx(minimum_spanning_tree(distance).sum())


def test_without_places_the_order_of_numbers_rules():
    assert neighbours(3) == ((0, 1), (1, 2))
    assert neighbours(1) == ()
    sentences = compare_neighbours(["1", "2"], np.stack([grey(5.0), grey(6.0)]))
    assert sentences == ("2 is one value lighter than 1.",)
