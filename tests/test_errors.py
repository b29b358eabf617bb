"""The tree drawn at the top of the module is the tree there is, and each error is a sentence."""

from __future__ import annotations

import inspect
import re

import pytest

from refmatch import errors
from refmatch.errors import RefmatchError, UnknownTube, UsageError
from refmatch.paint.portions import portions_of
from refmatch.say.sentence import sentence_of
from tests.refusals import refused


def subclasses(of: type) -> set[type]:
    return {of}.union(*(subclasses(each) for each in of.__subclasses__()))


def test_the_tree_is_drawn_whole() -> None:
    drawn = re.findall(r"^[│├└─ ]*([A-Z]\w+)  ", inspect.getdoc(errors) or "", re.MULTILINE)
    assert sorted(drawn) == sorted(each.__name__ for each in subclasses(RefmatchError))


def test_only_wrong_usage_ends_with_two() -> None:
    """Common practice of the shell, no source: 2 for a misuse of the command, 1 for the rest."""
    codes = {each: each.exit_code for each in subclasses(RefmatchError)}
    assert {each for each, code in codes.items() if code == 2} == {UsageError}
    assert set(codes.values()) == {1, 2}


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("ultramarin", "did you mean: ultramarine."),
        ("Burnt Umbre", "did you mean: burnt umber."),
        ("xyzzy", "it holds: ultramarine, burnt umber."),
    ],
)
def test_an_unknown_tube_is_told_with_what_is_near(name: str, says: str) -> None:
    text = sentence_of(UnknownTube(name, ("ultramarine", "burnt umber"), "mine"))
    assert text.startswith(f"There is no '{name}' in the box 'mine'; ")
    assert text.endswith(says)


def test_a_pigment_nobody_knows_is_sought_among_the_built_in_ones() -> None:
    with refused(UnknownTube, match="There is no 'moonstone blush' in the built-in pigments;"):
        portions_of(["moonstone blush=1"], None)
