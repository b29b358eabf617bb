"""The order of mixing. What a painter does is common practice; no source is claimed."""

from __future__ import annotations

import collections

import numpy as np
import pytest

from refmatch.paint.box import Box, built_in_tube
from refmatch.recipe.mixture import predict
from refmatch.recipe.model import Laid
from refmatch.recipe.steps import in_order, mixing_steps, white_share
from refmatch.say.sentence import sentence_of

NAMES = ("PW6", "PW4", "PY74", "PY83", "PY43", "PR254", "PR122", "PB29", "PB36", "PB15:3")
NAMES += ("PG7", "PV23", "PBk7", "burnt-sienna", "burnt-umber")
BOX = Box("garden table", tuple(built_in_tube(name) for name in NAMES))


def recipe_lab(laid):
    """Return the colour of the exact parts, let-downs resolved, by the mixture model."""
    net = collections.Counter()
    for item in laid:
        net[item.tube] += item.parts / (1 + item.let_down_white_parts)
        net[BOX.white.name] += (
            item.parts * item.let_down_white_parts / (1 + item.let_down_white_parts)
        )
    return predict([BOX.tube(name) for name in net], list(net.values()))


def steps_of(*laid):
    return mixing_steps(laid, BOX, recipe_lab(laid))


def random_recipes(count):
    rng = np.random.default_rng(5)
    for _ in range(count):
        size = int(rng.integers(1, 5))
        tubes = rng.choice(NAMES, size, replace=False)
        yield tuple(
            Laid(
                str(tube),
                int(rng.integers(1, 13)),
                9 if tube in ("PG7", "PB15:3", "PV23") and rng.random() < 0.5 else 0,
            )
            for tube in tubes
        )


RANDOM = list(random_recipes(60))


@pytest.mark.parametrize("laid", RANDOM)
def test_what_goes_in_sums_to_the_recipe(laid):
    went_in = collections.Counter()
    for step in steps_of(*laid):
        if step.parts is not None:
            went_in[step.tube] += step.parts
    assert went_in == collections.Counter({item.tube: item.parts for item in laid})


@pytest.mark.parametrize("laid", RANDOM)
def test_the_last_colour_is_the_recipe_s(laid):
    np.testing.assert_allclose(steps_of(*laid)[-1].lab, recipe_lab(laid), atol=1e-9)


@pytest.mark.parametrize("laid", RANDOM)
def test_white_comes_after_colours_and_let_downs_before_all(laid):
    steps = steps_of(*laid)
    white = [i for i, step in enumerate(steps) if step.parts and BOX.tube(step.tube).is_white]
    colour = [i for i, step in enumerate(steps) if step.parts and not BOX.tube(step.tube).is_white]
    let_down = [i for i, step in enumerate(steps) if step.action == "let down"]
    if white and colour:
        assert max(colour) < min(white)
        assert steps[max(colour) + 1].action == "keep back"
    assert let_down == list(range(len(let_down)))
    assert len(let_down) == sum(item.let_down_white_parts > 0 for item in laid)


@pytest.mark.parametrize("laid", RANDOM)
def test_more_than_half_white_is_laid_out_and_the_core_drawn_into_it(laid):
    actions = [step.action for step in steps_of(*laid)]
    whites = [item for item in laid if BOX.tube(item.tube).is_white]
    if whites and len(whites) < len(laid):
        assert ("draw into white" in actions) == (white_share(laid, BOX) > 0.5)
        assert ("white last" in actions) == (white_share(laid, BOX) <= 0.5)


def test_a_recipe_reads_like_a_hand_at_work():
    texts = [step.text for step in steps_of(Laid("PW6", 4), Laid("PG7", 1), Laid("PY74", 7))]
    assert texts == [
        "Lay out 7 parts of PY74.",
        "Add 1 part of PG7, in touches.",
        "Keep a third of this core back.",
        "White last: 4 parts of PW6, a little at a time.",
        "Work in the kept third until it matches.",
    ]


def test_a_let_down_is_made_first():
    steps = steps_of(Laid("PW6", 20), Laid("PY74", 3), Laid("PG7", 2, 9))
    assert [step.text for step in steps] == [
        "Make a let-down: work 1 part of PG7 into 9 parts of PW6; 2 parts of it go in.",
        "Lay out 3 parts of PY74.",
        "Add 2 parts of PG7 let-down (1 : 9 white).",
        "Keep a third of this core back.",
        "Lay out 20 parts of PW6 beside it.",
        "Draw the core into the white, a touch at a time.",
        "Draw in the kept third too, by touches, until it matches.",
    ]
    np.testing.assert_allclose(steps[0].lab, predict([BOX.tube("PG7"), BOX.white], [1, 9]))


@pytest.mark.parametrize(
    ("parts", "text"),
    [
        (1, "Make a let-down: work 1 part of PG7 into 9 parts of PW6; 1 part of it goes in."),
        (10, "Make a let-down: work 1 part of PG7 into 9 parts of PW6; all of it goes in."),
        (12, "Make a let-down: work 2 parts of PG7 into 18 parts of PW6; 12 parts of it go in."),
    ],
)
def test_enough_is_let_down(parts, text):
    assert steps_of(Laid("PY74", 3), Laid("PG7", parts, 9))[0].text == text


def test_mixing_starts_from_the_tube_nearest_the_target_s_hue():
    greenish = np.array([50.0, -45.0, 5.0])
    yellowish = np.array([75.0, -10.0, 70.0])
    laid = [Laid("PY74", 4), Laid("PG7", 3)]
    assert in_order(laid, BOX, greenish)[0].tube == "PG7"
    assert in_order(laid, BOX, yellowish)[0].tube == "PY74"


def test_strong_goes_into_weak():
    """Phthalo green is never laid out first for a little yellow-green: one touch turns all."""
    order = in_order([Laid("PG7", 1), Laid("PY74", 8)], BOX, np.array([50.0, -45.0, 5.0]))
    assert [item.tube for item in order] == ["PY74", "PG7"]
    order = in_order(
        [Laid("PBk7", 1), Laid("PB15:3", 1), Laid("PY43", 6)], BOX, np.array([50.0, 0.0, 30.0])
    )
    assert [item.tube for item in order] == ["PY43", "PB15:3", "PBk7"]


def test_a_dark_transparent_tube_is_known_by_its_tint():
    """Dioxazine looks black from the tube; its tint is the nearest to a violet."""
    laid = [Laid("PB29", 3), Laid("PV23", 3), Laid("PR122", 3)]
    assert in_order(laid, BOX, np.array([45.0, 25.0, -35.0]))[0].tube == "PV23"


def test_a_greenish_blue_in_a_yellowish_orange_strays_and_a_brown_does_not():
    """A greenish blue takes a yellow through green on its way to brown; a brown does not."""
    through_green = steps_of(Laid("PY74", 6), Laid("PB36", 6), Laid("PR254", 3))
    by_brown = steps_of(Laid("PY83", 6), Laid("burnt-umber", 3))
    assert not any(step.flags for step in by_brown)
    flagged = {step.tube: sentence_of(flag) for step in through_green for flag in step.flags}
    assert flagged == {"PB36": "Goes yellow-green here."}


def test_only_white_is_laid_out():
    (step,) = steps_of(Laid("PW6", 3))
    assert (step.action, step.text) == ("lay out", "Lay out 3 parts of PW6.")
