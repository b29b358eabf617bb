"""A puddle mixed again is the one that was kept, in as much as is wanted."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.dabs.belief import pile_of_colour
from refmatch.errors import PaintingError, UsageError
from refmatch.painting.again import ANEW, BEST, LAST, RECIPE, TUBES_SEEN, ended, mixed_again
from refmatch.painting.again import BOX as BY_BOX
from refmatch.painting.model import Added, Done
from refmatch.painting.own_box import box_of
from refmatch.painting.record import counted, figure, pile_now, with_done, with_round
from refmatch.plan.amounts import millilitres
from tests.painting.example import asking
from tests.painting.rounds_example import boxed, look, round_of
from tests.refusals import refused

LABEL = "pear, lit side"
WHITE = Added("titanium white", 2.0, (("titanium white", 1.0),))
ADDED = Done(False, (WHITE,), "added 2 parts of titanium white")
ANEW_DONE = Done(False, (), "mixed it anew", anew=True)


def looked_at(painting, number, off=(2.5, -1.0, 1.5), done=None, fresh=False):
    seen = look(number, f"2026-11-{number:02d}")
    each = round_of(painting, 0, seen, off=off, done=done)
    return with_round(painting, seen, replace(each, fresh=fresh))


def test_without_a_look_it_is_the_recipe():
    found = ended(boxed(), LABEL)
    assert (found.source, found.look) == (RECIPE, None)
    assert found.parts == pile_now(boxed(), LABEL).parts


def test_it_is_the_last_pile_with_what_was_worked_in():
    painting = looked_at(looked_at(boxed(), 1, done=ADDED), 2)
    found = ended(painting, LABEL)
    assert found.source == LAST
    assert found.look is painting.rounds[1]
    assert dict(found.parts)["titanium white"] == 26.0
    unseen = ended(with_done(painting, LABEL, ADDED), LABEL)
    assert unseen.look is None
    assert dict(unseen.parts)["titanium white"] == 28.0
    assert "then added 2 parts of titanium white; that was not looked at" in unseen.words


def test_of_a_pile_given_up_the_nearest_is_taken():
    near, far = (1.0, 0.0, 0.0), (6.0, 0.0, 0.0)
    painting = looked_at(looked_at(looked_at(boxed(), 1), 2, near, ADDED), 3, far, fresh=True)
    found = ended(painting, LABEL)
    assert (found.source, found.look) == (BEST, painting.rounds[1])
    assert "2026-11-02" in found.words
    anew = ended(with_done(painting, LABEL, ANEW_DONE), LABEL)
    assert (anew.source, anew.parts) == (ANEW, pile_now(boxed(), LABEL).parts)
    other = replace(ANEW_DONE, additions=(WHITE,))
    assert ended(with_done(painting, LABEL, other), LABEL).parts == (("titanium white", 2.0),)
    assert ended(with_done(painting, LABEL, ADDED), LABEL).source == LAST


def test_millilitres_are_shares_of_the_whole():
    painting = looked_at(looked_at(boxed(), 1, done=ADDED), 2)
    found = mixed_again(painting, LABEL, 20.0)
    assert sum(each.volume_ml for each in found.tubes) == pytest.approx(20.0)
    # 24 + 2, 7, 7 and 1 parts: 41 in all.
    volumes = {each.tube: each.volume_ml for each in found.tubes}
    assert volumes["titanium white"] == pytest.approx(20.0 * 26.0 / 41.0)
    assert volumes["phthalo green"] == pytest.approx(20.0 / 41.0)
    texts = [step.text for step in found.steps]
    for tube, volume in volumes.items():
        assert sum(f"{millilitres(volume)} of {tube}" in text for text in texts) == 1
    assert delta_e_00(found.steps[-1].lab, found.lab) < 0.01


def test_what_the_box_expects_is_set_beside_what_was_seen():
    painting = looked_at(boxed(), 1)
    before = mixed_again(painting, LABEL, 5.0)
    seen = before.last_look
    assert seen is not None
    assert before.lab == pytest.approx(seen.lab, abs=0.01)
    assert seen.date == "2026-11-01"
    assert np.array_equal(seen.lab, painting.rounds[0].lab)
    strong = painting.box.replace(
        'name = "hansa yellow"\n', 'name = "hansa yellow"\nstrength = 2.0\n'
    )
    learnt = asking(painting, box=strong)
    found = mixed_again(learnt, LABEL, 5.0)
    assert found.last_look is not None
    assert found.lab == pytest.approx(seen.lab, abs=0.01)
    assert found.box_lab[2] > before.box_lab[2]
    far = float(delta_e_00(seen.lab, found.box_lab))
    assert found.last_look.delta_e_00_from_now == pytest.approx(far)


def test_a_recipe_told_anew_is_of_the_tubes_as_they_were_seen():
    painting = looked_at(boxed(), 1, fresh=True)
    box = box_of(painting)
    parts = (("hansa yellow", 3.0), ("titanium white", 4.0))
    pile = pile_of_colour(box, parts, np.array([80.0, -5.0, 55.0]))
    curves = np.stack([pile.absorption, pile.scattering])
    last = replace(painting.rounds[-1], fresh_parts=parts, fresh_curves=curves)
    painting = replace(painting, rounds=(last,))
    done = Done(False, (Added("the recipe", 7.0, parts),), "mixed it anew", anew=True)
    found = mixed_again(with_done(painting, LABEL, done), LABEL, 5.0)
    assert found.lab_from == TUBES_SEEN
    assert found.lab == pytest.approx(pile.lab, abs=1e-9)
    other = Done(False, (WHITE,), "mixed it anew", anew=True)
    assert mixed_again(with_done(painting, LABEL, other), LABEL, 5.0).lab_from == BY_BOX


def test_by_mass_no_millilitres_are_claimed():
    painting = boxed()
    found = mixed_again(painting, LABEL, 20.0, replace(box_of(painting), parts="mass"))
    assert {each.volume_ml for each in found.tubes} == {None}
    assert "volume_unknown" in {flag.name for flag in found.flags}
    assert sum(each.share for each in found.tubes) == pytest.approx(1.0)
    assert any(step.text == "Lay out 7 parts of hansa yellow." for step in found.steps)


@pytest.mark.parametrize("amount", [0.0, -1.0, float("nan"), float("inf")])
def test_no_such_amount(amount):
    painting = boxed()
    with refused(UsageError, match="millilitres above 0"):
        mixed_again(painting, LABEL, amount)


def test_no_such_target_or_recipe():
    painting = boxed()
    with refused(PaintingError, match="no target 'plum'"):
        ended(painting, "plum")
    bare = replace(painting.recipes[0], recipes=())
    with refused(PaintingError, match="no recipe"):
        ended(replace(painting, recipes=(bare, *painting.recipes[1:])), LABEL)


def test_figures_as_a_painter_counts():
    assert [figure(n) for n in (0.5, 1, 2.5, 12, 0.125, 7 / 3, 37 / 3)] == [
        "½", "1", "2½", "12", "0.12", "2.3", "12.3",
    ]  # fmt: skip
    assert [counted(n) for n in (0.5, 1.0, 1.5)] == ["½ part", "1 part", "1½ parts"]
    assert [millilitres(n) for n in (0.0449, 3.21, 12.49, 20.0)] == [
        "0.045 ml", "3.2 ml", "12.5 ml", "20 ml",
    ]  # fmt: skip
