"""Parts as painters write them and as recipes are printed: read back by one reader."""

from __future__ import annotations

import math

import pytest

from refmatch.colorimetry.words import with_halves
from refmatch.errors import BoxError, UnknownTube, UsageError
from refmatch.paint.box_file import built_in_box
from refmatch.paint.portions import amount_of, in_tubes, listed, name_and_parts
from tests.refusals import refused


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("4½", 4.5),
        ("4 ½", 4.5),
        ("4 1/2", 4.5),
        ("4.5", 4.5),
        ("4,5", 4.5),
        ("¼", 0.25),
        ("1/4", 0.25),
        (".5", 0.5),
        ("2⅔", 2.0 + 2.0 / 3.0),
        ("3/2", 1.5),
        ("12", 12.0),
        (" 3 ", 3.0),
    ],
)
def test_an_amount_is_read(text: str, amount: float) -> None:
    assert amount_of(text) == pytest.approx(amount)


@pytest.mark.parametrize("text", ["", "half", "4½½", "1/0", "4 5", "½4", "1/2/3", "four"])
def test_what_is_no_amount_is_none(text: str) -> None:
    assert math.isnan(amount_of(text))


@pytest.mark.parametrize("halves", range(1, 30))
def test_an_amount_as_it_is_printed_is_read_back(halves: int) -> None:
    assert amount_of(with_halves(halves / 2)) == halves / 2


@pytest.mark.parametrize(
    ("text", "name", "parts"),
    [
        ("white=4½", "white", 4.5),
        ("white = 4 1/2", "white", 4.5),
        ("4½ white", "white", 4.5),
        ("4 1/2 white", "white", 4.5),
        ("½ burnt umber", "burnt umber", 0.5),
        ("1 part of PB29", "PB29", 1.0),
        ("2 parts hansa yellow", "hansa yellow", 2.0),
        ("3 ultramarine (1 to 9 white)", "ultramarine, 1 to 9 white", 3.0),
        ("ultramarine, 1 to 9 white=2", "ultramarine, 1 to 9 white", 2.0),
    ],
)
def test_a_part_is_read(text: str, name: str, parts: float) -> None:
    assert name_and_parts(text) == (name, pytest.approx(parts))


@pytest.mark.parametrize(
    "text",
    [
        "4½ white, 1 burnt umber, 1/4 black",
        "4.5 white,1 burnt umber;¼ black",
        "4,5 white + 1 burnt umber + ¼ black",
        "4½ white, 1 burnt umber and ¼ black",
        "white=4 1/2, burnt umber=1, black=.25",
        "4½ white\n1 burnt umber\n¼ black",
    ],
)
def test_a_list_is_read_by_the_tubes_of_a_box(text: str) -> None:
    read = in_tubes(listed(text), built_in_box())
    assert dict(read) == {"titanium white": 4.5, "burnt umber": 1.0, "ivory black": 0.25}


def test_a_let_down_counts_as_what_is_in_it() -> None:
    for text in ("10 ultramarine (1 to 9 white), 1 white", "10 ultramarine, 1 to 9 white, 1 white"):
        read = dict(in_tubes(listed(text), built_in_box()))
        assert read == {
            "ultramarine": pytest.approx(1.0),
            "titanium white": pytest.approx(10.0),
        }


@pytest.mark.parametrize(
    ("text", "says", "kind"),
    [
        ("white", "no amount of a tube", UsageError),
        ("4½ white, some black", "some black", UsageError),
        ("0 white", "No part is above 0", UsageError),
        ("", "No part is above 0", UsageError),
        ("-1 white", "no amount of a tube", UsageError),
        ("1 moonstone", "no 'moonstone'", UnknownTube),
        ("1 burnt", "say which", BoxError),
    ],
)
def test_a_wrong_list_gets_one_sentence(text: str, says: str, kind: type) -> None:
    with refused(kind, match=says):
        in_tubes(listed(text), built_in_box())
