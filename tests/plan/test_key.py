"""The key: every value within the box's range, in the photo's own order."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.kubelka_munk import FINISHES, Surface
from refmatch.plan.key import END_SLOPE, LEAST_KEPT, key, unkeyed
from refmatch.recipe.mixture import Palette
from refmatch.recipe.reach import value_range
from refmatch.say.plan import key_words
from tests.recipe.boxes import garden_table

ORDER_SETS = 300
MATT = Surface(f=FINISHES["matt"])


def boxes() -> list[Box]:
    """From a whole palette to tubes that hardly differ in value."""
    names = (
        ["titanium-white", "yellow-ochre", "burnt-umber", "ultramarine-blue"],
        ["titanium-white", "ivory-black"],
        ["titanium-white", "cadmium-yellow-light"],
        ["burnt-umber", "ultramarine-blue", "phthalo-green"],
        ["yellow-ochre", "cerulean-blue", "cadmium-red-light"],
    )
    some = [Box(f"box {i}", tuple(map(built_in_tube, keys))) for i, keys in enumerate(names)]
    matt = Box("matt", some[0].tubes, surface=MATT)
    return [garden_table(), matt, *some]


def random_sets(count: int, seed: int) -> list[np.ndarray]:
    """Sets of 1 to 24 targets: over the whole range, all dark, all light, narrow."""
    draw = np.random.default_rng(seed)
    found = []
    for _ in range(count):
        ends = np.sort(draw.uniform(0.0, 100.0, 2))
        if draw.random() < 0.3:
            ends = np.array([[0.0, 100.0], [0.0, 8.0], [97.0, 100.0]])[draw.integers(3)]
        size = draw.integers(1, 25)
        lstar = draw.uniform(*ends, size)
        if size > 3:  # some nearly alike, some exactly
            lstar[1], lstar[2] = lstar[0], lstar[0] + 1e-3
        found.append(np.column_stack([lstar, draw.normal(0.0, 20.0, (size, 2))]))
    return found


@pytest.mark.parametrize("box", boxes(), ids=lambda box: box.name)
def test_all_keyed_targets_lie_within_the_box_and_keep_the_photos_order(box: Box) -> None:
    dark, light = value_range(box)
    for labs in random_sets(ORDER_SETS, 7):
        found = key(labs, np.ones(len(labs)), box)
        assert found.after[:, 0].min() >= dark
        assert found.after[:, 0].max() <= light
        order = np.sign(labs[:, None, 0] - labs[None, :, 0])
        keyed = np.sign(found.after[:, None, 0] - found.after[None, :, 0])
        np.testing.assert_array_equal(keyed, order)
        np.testing.assert_array_equal(found.after[:, 1:], labs[:, 1:])
        np.testing.assert_allclose(found.delta_e_00, delta_e_00(found.after, labs))


@pytest.mark.parametrize("box", boxes(), ids=lambda box: box.name)
def test_no_step_of_value_is_lost_or_widened(box: Box) -> None:
    """The steepest step is never steeper than the photo's, the flattest keeps its share."""
    dark, light = value_range(box)
    for labs in random_sets(60, 8):
        lstar = np.unique(labs[:, 0])
        if len(lstar) < 2 or lstar[-1] - lstar[0] < 0.5:
            continue
        found = key(labs, np.ones(len(labs)), box)
        slope = np.diff(found.curve.at(lstar)) / np.diff(lstar)
        overall = min(1.0, (light - dark) / (lstar[-1] - lstar[0]), LEAST_KEPT)
        assert slope.max() <= 1.0 + 1e-9
        assert slope.min() >= END_SLOPE * overall - 1e-9


def test_what_the_box_reaches_stays_as_it_is() -> None:
    labs = np.array([[20.0, 5.0, 5.0], [90.0, -3.0, 10.0], [55.0, 30.0, 20.0]])
    found = key(labs, np.ones(3), garden_table())
    np.testing.assert_array_equal(found.after, labs)
    assert found.curve.is_identity
    assert found.mean_delta_e_00 == 0.0
    assert "stays as it is" in key_words(found)


def test_the_middle_stays_where_only_the_ends_lie_outside() -> None:
    lstar = np.array([0.0, 3.0, 40.0, 50.0, 70.0, 99.0, 100.0])
    labs = np.column_stack([lstar, np.zeros((7, 2))])
    found = key(labs, np.ones(7), garden_table())
    np.testing.assert_allclose(found.after[2:5], labs[2:5])
    assert np.all(found.after[:2, 0] > lstar[:2])
    assert np.all(found.after[5:, 0] < lstar[5:])
    assert "drawn in, the rest stays" in key_words(found)


def test_the_curve_has_no_kink() -> None:
    """Its slope, felt out on a fine grid, never jumps: the eye would see a band."""
    labs = np.array([[0.0, 0.0, 0.0], [50.0, 0.0, 0.0], [100.0, 0.0, 0.0]])
    for box in boxes():
        curve = key(labs, np.ones(3), box).curve
        fine = np.linspace(0.0, 100.0, 2001)
        slope = np.diff(curve.at(fine)) / np.diff(fine)
        assert np.abs(np.diff(slope)).max() < 0.01


def test_one_target_alone_is_brought_to_the_nearest_value() -> None:
    box = garden_table()
    found = key(np.array([[1.0, 0.0, 0.0]]), np.ones(1), box)
    assert found.after[0, 0] == pytest.approx(value_range(box).dark_lstar)


def test_the_key_can_be_switched_off() -> None:
    labs = np.array([[0.0, 0.0, 0.0], [100.0, 0.0, 0.0]])
    found = unkeyed(labs, np.ones(2), garden_table())
    np.testing.assert_array_equal(found.after, labs)
    assert "the key is off" in key_words(found)


def test_shares_weigh_what_the_key_costs() -> None:
    labs = np.array([[0.0, 0.0, 0.0], [60.0, 0.0, 0.0]])
    found = key(labs, np.array([1.0, 3.0]), garden_table())
    assert found.mean_delta_e_00 == pytest.approx(found.delta_e_00[0] / 4.0)


def test_where_the_camera_clipped_the_photo_knows_nothing() -> None:
    labs = np.array([[2.0, 0, 0], [50.0, 0, 0], [50.0, 75.0, 60.0], [99.0, 0, 0]])
    found = key(labs, np.ones(4), garden_table(), clipped=(True, False, True, True))
    names = [[flag.name for flag in each] for each in found.of_each]
    assert names == [["photo_lost_in_black"], [], ["photo_too_strong"], ["photo_burnt_out"]]


def test_a_box_of_one_value_says_so() -> None:
    box = Box("white", (built_in_tube("titanium-white"),))
    found = key(np.array([[10.0, 0.0, 0.0], [90.0, 0.0, 0.0]]), np.ones(2), box)
    assert [flag.name for flag in found.flags] == ["box_has_one_value"]


def test_the_range_is_what_every_mix_of_three_tubes_reaches() -> None:
    """Beside brute force: all triples of the box in steps of a twentieth."""
    box = garden_table()
    steps = [row for row in itertools.product(range(21), repeat=3) if sum(row) == 20]
    shares = np.array(steps) / 20.0
    lstar = []
    for triple in itertools.combinations(box.tubes, 3):
        lstar.append(Palette.of(triple, box.surface).lab(shares)[:, 0])
    dark, light = value_range(box)
    assert dark <= np.min(lstar) + 0.05
    assert light >= np.max(lstar) - 0.05


def test_darks_of_two_transparent_tubes_go_deeper_than_either() -> None:
    """Common practice, no source: phthalo green and a quinacridone red make a black."""
    tubes = [built_in_tube("phthalo-green"), built_in_tube("quinacridone-rose")]
    alone = [Palette.of([tube]).lab(np.ones(1))[0] for tube in tubes]
    assert value_range(Box("two", tuple(tubes))).dark_lstar < min(alone) - 1.0


def test_matt_paint_keys_higher() -> None:
    """A sunken film turns back more light, so that its darks are lighter (Saunderson 1942)."""
    gloss = garden_table()
    matt = Box("matt", gloss.tubes, surface=MATT)
    assert value_range(matt).dark_lstar > value_range(gloss).dark_lstar + 5.0
