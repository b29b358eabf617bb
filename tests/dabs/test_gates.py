"""Photos that a box may not learn from, in the virtual studio; seeds that no figure was chosen by.

What is wrong with each wrong photo is made on purpose: shade, another light, another puddle.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.dabs.gates import ALONE, MOST_ALONE, STRAIN, SURPRISE, SURPRISING, gate, heard, voices
from refmatch.dabs.learn import learn
from refmatch.dabs.spot import DRY, STATES
from refmatch.recipe.mixture import Palette
from refmatch.say.sentence import sentence_of
from tests.virtual_studio.piles import (
    CHART,
    CHART_IN_SHADE,
    DAB_IN_SHADE,
    GREY,
    GREY_AND_PAINT,
    GREY_IN_SHADE,
    MIXED_LIGHT,
    WAYS,
    WRONG_PUDDLE,
    pile_photo,
    random_piles,
    table_of,
)

COUNT, BAD = 8, 3
KINDS = [
    (CHART, CHART_IN_SHADE),
    (GREY_AND_PAINT, MIXED_LIGHT),
    (GREY_AND_PAINT, GREY_IN_SHADE),
    (GREY_AND_PAINT, DAB_IN_SHADE),
    (GREY_AND_PAINT, WRONG_PUDDLE),
    (GREY, GREY_IN_SHADE),
]


@pytest.fixture(scope="module")
def table():
    return table_of(911)


@pytest.fixture(scope="module")
def piles():
    return random_piles(911, COUNT)


@pytest.fixture(scope="module")
def good(table, piles):
    """Photos as they should be, in each way to look."""
    return {
        way: tuple(pile_photo(table, way, row, 9110 + n) for n, row in enumerate(piles))
        for way in WAYS
    }


@pytest.fixture(params=WAYS)
def photos(request, good):
    return good[request.param]


def test_photos_that_agree_are_taken_in(table, photos):
    """By a grey card alone so little is known of the camera that it takes more of them."""
    taken, left_out = gate(table.box, photos)
    beside = len(photos[0].known) + len(photos[0].dabs) - 1
    assert len(taken) >= (COUNT - 2 if beside > 1 else 2)
    assert sum(not each.is_held_back for each in left_out) <= 1


def test_the_first_photo_is_held_back_and_says_until_when(table, photos):
    taken, left_out = gate(table.box, photos[:1])
    assert taken == ()
    assert [each.why.name for each in left_out] == [ALONE]
    assert left_out[0].is_held_back
    assert "another day, agrees" in sentence_of(left_out[0].why)


def test_another_day_the_same_pile_lets_the_first_in_but_not_at_once(table, piles):
    twice = [pile_photo(table, CHART, piles[0], seed) for seed in (1, 2)]
    assert gate(table.box, twice)[0] == (0, 1)
    at_once = [replace(each, sitting="today") for each in twice]
    taken, left_out = gate(table.box, at_once)
    assert taken == ()
    assert [each.photo for each in left_out] == [0, 1]


def test_a_box_that_has_learnt_takes_in_a_photo_by_itself(table, piles, photos):
    """What one photo adds to a box that knows its tubes harms nothing."""
    taught = learn(table.box, photos[:-1])
    assert gate(taught, photos[-1:])[0] == (0,)


@pytest.mark.parametrize(("way", "wrong"), KINDS)
def test_one_wrong_photo_moves_mixes_by_less_than_1(table, piles, good, way, wrong):
    told = piles[(BAD + 3) % COUNT] if wrong == WRONG_PUDDLE else None
    photos = list(good[way])
    photos[BAD] = pile_photo(table, way, piles[BAD], 9110 + BAD, wrong=wrong, told=told)
    taken = gate(table.box, photos)[0]
    others = [n for n in taken if n != BAD]
    assert len(others) >= 3
    if BAD not in taken:
        return
    mixes = random_piles(77, 40)
    with_it, without = (
        Palette.of(learn(table.box, [photos[n] for n in group]).tubes).lab(mixes)
        for group in (taken, others)
    )
    assert np.median(delta_e_00(with_it, without)) < 1.0


def test_each_reason_is_told_apart(table, piles, good):
    photos = list(good[CHART])
    photos[2] = pile_photo(table, CHART, piles[2], 9112, wrong=GREY_IN_SHADE)
    photos[5] = pile_photo(table, CHART, piles[5], 9115, wrong=DAB_IN_SHADE)
    reasons = {each.photo: each for each in gate(table.box, photos)[1]}
    assert reasons[2].why.name == STRAIN
    assert "in the shade" in sentence_of(reasons[2].why)
    assert reasons[5].why.name == SURPRISE
    assert "'pile'" in sentence_of(reasons[5].why)


def test_what_a_photo_pulls_is_what_leaving_it_out_gives(table, good):
    """The straightened model against two whole fits, of four photos."""
    photos = good[GREY][:4]
    told = voices(heard(table.box, photos))
    assert all(each.surprise < SURPRISING for each in told.values())
    mixes = random_piles(78, 60)
    whole = Palette.of(learn(table.box, photos).tubes).lab(mixes)
    for number, voice in told.items():
        others = photos[:number] + photos[number + 1 :]
        without = Palette.of(learn(table.box, others).tubes).lab(mixes)
        moved = float(np.median(delta_e_00(whole, without)))
        assert moved / 3.0 < voice.moves < 3.0 * moved + MOST_ALONE


def test_a_dry_dab_shines_less_and_is_known_to(table, piles):
    """Photos of satin paint teach the tubes only where they are told to be dry."""
    satin = [pile_photo(table, CHART, row, n, f=STATES[DRY].f) for n, row in enumerate(piles[:5])]
    dry = [replace(each, dabs=(replace(each.dabs[0], state=DRY),)) for each in satin]
    mixes = random_piles(79, 60)
    true = table.lab(mixes)
    told, untold = (
        np.median(delta_e_00(Palette.of(learn(table.box, each).tubes).lab(mixes), true))
        for each in (dry, satin)
    )
    assert told < untold


def test_a_photo_in_another_light_has_a_camera_of_its_own(table, piles, photos):
    """Photos told to be under two lights are never taken for one camera's."""
    two = [replace(each, light="A" if n % 2 else None) for n, each in enumerate(photos)]
    said = heard(table.box, two)
    apart = [said.covariance[3 * m : 3 * m + 3, 3 * n : 3 * n + 3] for m, n in _pairs(said)]
    assert apart
    assert all(np.all(block == 0.0) for block in apart)


def _pairs(said):
    rows = range(len(said.dabs))
    return [(m, n) for m in rows for n in rows if (said.sitting[m] + said.sitting[n]) % 2]
