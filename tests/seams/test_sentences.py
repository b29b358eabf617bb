"""Whatever is raised or flagged by name has a sentence, and the values that this is made of."""

from __future__ import annotations

import ast
import inspect
import re
import string
from pathlib import Path

import pytest

from refmatch.cli import remedies as prompt
from refmatch.say import sentence
from refmatch.web import remedies as page

ROOT = Path(__file__).parents[2] / "refmatch"


def _named():
    """Yield where something is raised or flagged by name, its name, and its values' names."""
    for path in sorted(ROOT.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
                continue
            called = node.func.id
            if called != "Flag" and not called.endswith(("Error", "Revision")):
                continue
            if len(node.args) != 1 or not isinstance(node.args[0], ast.Constant):
                continue
            name = str(node.args[0].value)
            if (
                called == "ValueError"
                or " " in name
                or any(key.arg is None for key in node.keywords)
            ):
                continue
            values = frozenset(str(key.arg) for key in node.keywords)
            yield pytest.param(name, values, id=f"{path.relative_to(ROOT)}:{node.lineno} {name}")


def _wants(text) -> tuple[set[str], set[str]]:
    """Return the values without which a sentence cannot be said, and all that it may take."""
    if isinstance(text, str):
        fields = {field.split(".")[0] for _, field, _, _ in string.Formatter().parse(text) if field}
        return fields, fields
    given = inspect.signature(text).parameters.values()
    needed = {each.name for each in given if each.default is inspect.Parameter.empty}
    return needed, {each.name for each in given}


@pytest.mark.parametrize(("name", "values"), list(_named()))
def test_it_has_a_sentence_and_its_values(name, values):
    sentences, plain = sentence._all()
    needed, taken = _wants(sentences[name])
    remedies = {"remedy"} if name in plain else set()
    assert needed <= values | remedies
    if callable(sentences[name]):
        assert values | remedies <= taken
    for door in (plain, prompt.REMEDIES, page.REMEDIES):
        if name in door:
            assert _wants(door[name])[0] <= values


def test_a_door_s_remedies_are_of_sentences_that_leave_room_for_one():
    sentences, plain = sentence._all()
    for door in (prompt.REMEDIES, page.REMEDIES):
        assert set(door) <= set(plain)
    assert all("remedy" in _wants(sentences[name])[1] for name in plain)


@pytest.mark.parametrize("room", ["swatch", "card", "say"])
def test_below_the_doors_no_option_and_no_command_is_named(room):
    for path in (ROOT / room).rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                assert not re.search(r"(^|\s)--[a-z]|'refmatch ", node.value), path
