"""What a tutor would laugh at. All common practice, no source."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.plan.rules import (
    Look,
    allowed_for,
    apart,
    clashes,
    is_soup,
    keeps_dark,
    look_at,
    nature_of,
    near_enough,
)
from tests.plan.sets import table


def shares(**parts: float) -> np.ndarray:
    names = [tube.name for tube in table().box.tubes]
    row = np.zeros((1, len(names)))
    for name, part in parts.items():
        row[0, names.index(name.replace("_", " "))] = part
    return row / row.sum()


def soup(**parts: float) -> bool:
    return bool(is_soup(nature_of(table()), shares(**parts))[0])


def test_the_three_primaries_together_are_soup() -> None:
    assert soup(hansa_yellow=1, quinacridone_magenta=1, cerulean_blue=1)
    assert soup(hansa_yellow=2, pyrrole_red=1, ultramarine=1, titanium_white=2)


def test_a_touch_is_no_soup_nor_are_earths_nor_two_opposed_colours() -> None:
    assert not soup(hansa_yellow=12, quinacridone_magenta=4, cerulean_blue=1)
    assert not soup(burnt_sienna=1, ultramarine=1, burnt_umber=1, titanium_white=1)
    assert not soup(pyrrole_red=1, phthalo_green=1)
    assert not soup(hansa_yellow=1, phthalo_green=1, cerulean_blue=1)


def test_a_red_and_a_green_do_not_come_in_together_but_a_sienna_and_a_green_do() -> None:
    nature = nature_of(table())
    assert clashes(nature, shares(pyrrole_red=2, phthalo_green=1))[0]
    assert clashes(nature, shares(hansa_yellow=1, ultramarine=1))[0]
    assert not clashes(nature, shares(burnt_sienna=4, phthalo_green=1))[0]
    assert not clashes(nature, shares(yellow_ochre=4, ultramarine=1))[0]
    assert not clashes(nature, shares(cerulean_blue=4, ultramarine=1))[0]


def test_a_dark_takes_no_white_but_its_own() -> None:
    nature, dark = nature_of(table()), look_at(np.array([[25.0, 5.0, 5.0]])).of(0)
    whole = np.concatenate([shares(burnt_umber=9, titanium_white=w) for w in (0, 1, 3)])
    np.testing.assert_array_equal(keeps_dark(dark, nature, whole), [True, True, False])
    assert keeps_dark(dark, nature, whole, whole[2]).all()


def test_a_blue_is_greyed_by_much_orange_only_where_a_grey_is_wanted() -> None:
    nature, added = nature_of(table()), shares(hansa_yellow=3, titanium_white=7) * 0.9
    blue, grey = (look_at(np.array([lab])).of(0) for lab in ([45.0, 0.0, -35.0], [45.0, 0.0, -6.0]))
    assert not allowed_for(blue, nature, added, 76.0)[0]
    assert allowed_for(grey, nature, added, 76.0)[0]


def test_hues_are_told_apart_the_short_way_round() -> None:
    assert apart(95.0, 5.0) == pytest.approx(10.0)
    assert apart(10.0, 60.0) == pytest.approx(50.0)


def test_only_neighbours_in_value_hue_and_strength_are_drawn_from_one_another() -> None:
    dark, middle, light = [[20.0, 10.0, 10.0], [45.0, 11.0, 12.0], [85.0, 8.0, 9.0]]
    blue, bright = [45.0, 5.0, -30.0], [45.0, 50.0, 45.0]
    looks = look_at(np.array([dark, middle, light, blue, bright]))
    may = near_enough(looks, looks)  # may[mother, colour]
    assert may.diagonal().all()
    assert not may[0, 2], "a light from a dark"
    assert not may[2, 0], "a dark from a light"
    assert not may[1, 3], "a blue from a brown"
    assert not may[1, 4], "a bright red from a dull one"


def test_a_yellow_is_not_drawn_from_a_red_nor_a_green_from_a_yellow() -> None:
    """Between 5R, 5Y and 5GY lie 20 and 10 of the 100 steps of the Munsell circle (ASTM D1535);
    at most 15 may be turned (docs/model.md)."""
    hue = np.array([5.0, 15.0, 25.0, 35.0])
    looks = Look(np.full(4, 5.0), hue, np.full(4, 6.0))
    may = near_enough(looks, looks)
    steps = np.abs(hue[:, None] - hue)
    np.testing.assert_array_equal(may, steps < 20.0)


def test_each_bright_tube_of_a_usual_box_is_known_for_one() -> None:
    box, nature = table().box, nature_of(table())
    bright = {tube.name for tube, so in zip(box.tubes, nature.bright, strict=True) if so}
    assert {"hansa yellow", "pyrrole red", "ultramarine", "phthalo green"} <= bright
    assert not bright & {"titanium white", "burnt umber", "ivory black"}
