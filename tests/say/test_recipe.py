"""What is said of recipes and nudges."""

from __future__ import annotations

import pytest

from refmatch.flag import Flag
from refmatch.recipe.lamps import LAMPS
from refmatch.recipe.together import UNDER_LAMP
from refmatch.say.nudges import Amount
from refmatch.say.sentence import sentence_of


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        (Amount("ochre", 0.5, 0.05), "½ part of ochre"),
        (Amount("ochre", 2.5, 0.25), "2½ parts of ochre"),
        (Amount("ochre", 0.05, 0.005), "the least touch of ochre"),
        (Amount("ochre", 0.2, 0.04), "a touch of ochre"),
        (Amount("ochre", 0.4, 0.2), "a fifth as much ochre"),
    ],
)
def test_amounts_in_words(amount: Amount, words: str) -> None:
    assert str(amount) == words


@pytest.mark.parametrize(("other", "beside"), [("2", "2"), (None, "the first choice")])
def test_every_lamp_has_its_sentence(other: str | None, beside: str) -> None:
    for lamp in LAMPS:
        flag = Flag(UNDER_LAMP, lamp=lamp, turns=("redder", "a touch duller"), other=other)
        assert sentence_of(flag).endswith(f"lamp it turns redder, a touch duller than {beside}.")
