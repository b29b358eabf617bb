"""Every caution and every error has its sentence, once, with the values it is made of."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
import string
from collections import Counter
from collections.abc import Iterator, Mapping

import pytest
import typer

from refmatch import say
from refmatch.cli import remedies as at_the_prompt
from refmatch.cli.main import app
from refmatch.say import sentence
from refmatch.say.sentence import Sentence
from refmatch.web import remedies as on_the_page
from tests.say.source import DOORS, Made, made, parsed, texts

OPTION = re.compile(r"(?<![\w-])--[a-z][a-z-]+")

ROOMS = [
    importlib.import_module(f"{say.__name__}.{found.name}")
    for found in pkgutil.iter_modules(say.__path__)
]
SENTENCES: dict[str, Sentence] = {
    name: text for room in ROOMS for name, text in getattr(room, "SENTENCES", {}).items()
}
PLAIN: dict[str, Sentence] = {
    name: text for room in ROOMS for name, text in getattr(room, "REMEDIES", {}).items()
}
REMEDIES: dict[str, Mapping[str, Sentence]] = {
    "plain": PLAIN,
    "prompt": at_the_prompt.REMEDIES,
    "page": on_the_page.REMEDIES,
}


def fields(text: Sentence, *, needed: bool = False) -> set[str]:
    """Return the values that a sentence is made of, or those that it cannot do without."""
    if callable(text):
        known = inspect.signature(text).parameters.values()
        return {one.name for one in known if not needed or one.default is one.empty}
    return {field for _, field, _, _ in string.Formatter().parse(text) if field is not None}


def sentences_of(each: Made) -> Iterator[tuple[str, Sentence]]:
    return ((name, text) for name, text in SENTENCES.items() if each.name.fullmatch(name))


def test_a_name_has_one_sentence() -> None:
    counts = Counter(name for room in ROOMS for name in getattr(room, "SENTENCES", {}))
    assert [name for name, count in counts.items() if count > 1] == []
    assert sentence._all() == (SENTENCES, PLAIN)


@pytest.mark.parametrize("name", SENTENCES)
def test_names_are_snake_case_and_sentences_end(name: str) -> None:
    assert re.fullmatch(r"[a-z][a-z0-9]*(_[a-z0-9]+)*", name)
    text = SENTENCES[name]
    assert (
        callable(text)
        or name in ("in_file", "at_line", "at_object")
        or text.endswith((".", "?", "{why}"))
    )


def test_all_that_is_raised_or_flagged_has_a_sentence() -> None:
    silent = [f"{each.where} {each.name.pattern}" for each in made() if not any(sentences_of(each))]
    assert silent == []


def test_every_sentence_is_said_somewhere() -> None:
    named = {text for module, tree in parsed().items() if _is_core(module) for text in texts(tree)}
    named |= {name for each in made() for name, _ in sentences_of(each)}
    assert sorted(SENTENCES.keys() - named) == []


def test_values_are_those_that_the_sentence_is_made_of() -> None:
    """A function takes no value that it does not name; a text may leave some unsaid."""
    wrong = []
    for each in made():
        for name, text in sentences_of(each):
            given = each.values
            if given is None:
                continue
            given |= {"remedy"} if name in PLAIN else set()
            lacks = fields(text, needed=True) - given
            spare = given - fields(text) if callable(text) else set()
            wrong += [f"{each.where} {name}: {sorted(lacks | spare)}"] if lacks | spare else []
    assert wrong == []


@pytest.mark.parametrize("door", REMEDIES)
def test_remedies_stand_in_a_sentence_with_room_for_them(door: str) -> None:
    remedies = REMEDIES[door]
    assert [name for name in remedies if "remedy" not in fields(SENTENCES[name])] == []
    wrong = [
        f"{each.where} {name}"
        for each in made()
        for name, _ in sentences_of(each)
        if name in remedies and each.values is not None and fields(remedies[name]) - each.values
    ]
    assert wrong == []


def test_where_there_is_room_for_a_remedy_there_is_a_plain_one() -> None:
    asking = {name for name, text in SENTENCES.items() if "remedy" in fields(text)}
    assert asking == PLAIN.keys()


def test_no_text_below_the_doors_names_an_option_or_a_command() -> None:
    commands = typer.main.get_command(app).commands  # type: ignore[attr-defined]
    command = re.compile(rf"\brefmatch ({'|'.join(sorted(commands))})\b")
    naming = [
        f"{module}: {text}"
        for module, tree in parsed().items()
        if module.split("/")[0] not in DOORS
        for text in texts(tree)
        if OPTION.search(text) or command.search(text)
    ]
    assert commands
    assert naming == []


def _is_core(module: str) -> bool:
    return not module.startswith("say/") and not module.endswith("/remedies.py")
