"""The card's file: what was written is read back, what is damaged is refused in a sentence."""

from __future__ import annotations

import json

import pytest

from refmatch.cli.remedies import REMEDIES
from refmatch.dabs.box_card import card_from_json, card_to_json, read_card_file
from refmatch.errors import CardError
from tests.dabs.studio import garden_card
from tests.refusals import refused


def test_what_is_written_is_read_back():
    for paper in ("a4", "letter"):
        assert card_from_json(card_to_json(garden_card(paper))) == garden_card(paper)


def test_the_file_says_what_a_reader_needs():
    told = json.loads(card_to_json(garden_card()))
    assert told["format"] == "refmatch-card"
    assert told["version"] == 1
    assert len(told["box"]["digest"]) == 16
    keys = {"page", "x_mm", "y_mm", "width_mm", "height_mm", "tube", "parts", "white_parts"}
    assert all(keys <= set(window) for window in told["windows"])
    assert len({marker["number"] for marker in told["markers"]}) == 10


def changed(**changes):
    return json.dumps(json.loads(card_to_json(garden_card())) | changes)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "not a card file"),
        ("[]", "not a card file"),
        ('{"format": "refmatch-box"}', "not a card file"),
        (changed(version=2), "newer refmatch"),
        (changed(windows=[]), "a page is incomplete"),
        (changed(pages=2), "a page is incomplete"),
        (changed(dictionary="another"), "unknown markers"),
        (changed(neutral_value=None), "None is not a number"),
        (changed(tubes=[]), "not those of the tubes"),
        (changed(markers=[{"page": 1}]), "it lacks 'number'"),
        (changed(greys=7), "damaged"),
    ],
)
def test_what_is_no_card_is_refused_in_one_sentence(text, says):
    with refused(CardError, match=says) as caught:
        card_from_json(text, "card.json")
    assert "'card.json'" in str(caught.value)


def test_a_file_that_is_not_there(tmp_path):
    with refused(CardError, match="beside the PDF", remedies=REMEDIES):
        read_card_file(tmp_path / "card.json")
