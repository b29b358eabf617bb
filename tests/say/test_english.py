"""How words and figures are joined."""

from __future__ import annotations

import pytest

from refmatch.say.sentence import counted, listed, sentence, signed


@pytest.mark.parametrize(
    ("words", "says"),
    [((), ""), (("a",), "a"), (("a", "b"), "a and b"), (("a", "b", "c"), "a, b and c")],
)
def test_lists_are_spoken(words, says):
    assert listed(words) == says
    assert listed(words, "or") == says.replace("and", "or")


def test_one_is_no_plural():
    assert [counted(n, "puddle") for n in (1, 2)] == ["1 puddle", "2 puddles"]


@pytest.mark.parametrize(
    ("words", "says"), [("", ""), (" too far ", "Too far."), ("Stop!", "Stop!"), ("pH", "PH.")]
)
def test_a_sentence_begins_and_ends(words, says):
    assert sentence(words) == says


@pytest.mark.parametrize(
    ("value", "says"),
    [(0.04, "0.0"), (-0.04, "0.0"), (0.05, "+0.1"), (-1.25, "−1.2"), (12.0, "+12.0")],
)
def test_signs_are_true(value, says):
    assert signed(value) == says
