"""A record of an older refmatch opens, and says of a photo left out what it said then."""

from __future__ import annotations

from dataclasses import replace

import pytest

from refmatch.flag import Flag
from refmatch.painting.form import from_dict, to_dict, upgrade_record
from refmatch.painting.model import Learnt, NotTaken, SavedFile
from refmatch.painting.own_box import box_of
from refmatch.painting.record import belief_now, with_round
from refmatch.say.sentence import sentence_of
from tests.painting.rounds_example import boxed, look, round_of

SAID = "It alone would move mixes of its tubes by 2.1 dE00."


def recorded():
    painting, seen = boxed(), look(1)
    mark = SavedFile("boxes/0.toml", "0" * 64)
    left = NotTaken(seen.photo.sha256, "alone", Flag("alone", moves=2.1))
    update = Learnt("2026-11-28", mark, mark, mark, mark, (), (left,), ())
    begun = with_round(painting, seen, round_of(painting, 0, seen))
    return replace(begun, learnings=(update,))


def of_schema_3(form):
    """Return a saved form as schema 3 had it: no curves, a bare spot, a sentence for a flag."""
    (update,) = form["learnings"]
    (left,) = update["left_out"]
    old = {"look": left["look"], "why": left["why"], "words": SAID}
    rounds = [
        {key: value for key, value in row.items() if key not in ("curves", "fresh_curves")}
        for row in form["rounds"]
    ]
    for row in rounds:
        row["spot"] = {key: value for key, value in row["spot"].items() if key != "photo"}
    learnings = [{**update, "left_out": [old]}]
    return {**form, "rounds": rounds, "learnings": learnings}


def test_an_older_record_opens():
    painting = from_dict(upgrade_record(of_schema_3(to_dict(recorded()))))
    (left,) = painting.learnings[0].left_out
    assert (left.why, sentence_of(left.flag)) == ("alone", SAID)
    found = painting.rounds[0]
    assert found.curves is None
    believed = belief_now(painting, found.target, box_of(painting))
    assert believed.lab == pytest.approx(found.lab, abs=0.01)


def test_a_record_comes_back_as_it_went():
    form = to_dict(recorded())
    assert to_dict(from_dict(form)) == form
