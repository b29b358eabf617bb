"""From a flag or an error to its sentence, with the remedy that a door has for it.

The core knows what is wrong, not by which option or button it is put right. So a sentence of
`refmatch.say` may leave room for a ``{remedy}``: the prompt and the page each have remedies of
their own, by the same names; what is printed says the plain one that stands beside the sentence.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping, Sequence

from refmatch.errors import RefmatchError
from refmatch.flag import SAID, Flag

Sentence = str | Callable[..., str]
"""A text with the values' names in braces, or a function of the values where it takes choices."""

Remedies = Mapping[str, Sentence]

PLAIN: Remedies = {}
"""No door's own remedies: those that stand beside the sentences serve."""


def sentence_of(what: Flag | RefmatchError, remedies: Remedies = PLAIN) -> str:
    """Return the sentence of a flag or an error; ``remedies`` are a door's own."""
    values = {key: _worded(value, remedies) for key, value in what.values.items()}
    if SAID in values:
        return str(values[SAID])
    if " " in what.name:  # a door's own complaint of how it was used is its own sentence
        return what.name
    sentences, plain = _all()
    if what.name in remedies or what.name in plain:
        remedy = remedies.get(what.name, plain.get(what.name, ""))
        values["remedy"] = _filled(remedy, values)
    return _filled(sentences[what.name], values)


def _filled(text: Sentence, values: Mapping[str, object]) -> str:
    return text.format(**values) if isinstance(text, str) else text(**values)


def _worded(value: object, remedies: Remedies) -> object:
    if isinstance(value, Flag | RefmatchError):
        return sentence_of(value, remedies)
    if isinstance(value, tuple):
        return tuple(_worded(item, remedies) for item in value)
    return value


@functools.cache
def _all() -> tuple[dict[str, Sentence], dict[str, Sentence]]:
    """Return all sentences and all plain remedies, by name."""
    from refmatch.say import (
        atelier,
        canvas,
        dabs,
        demonstrations,
        doors,
        layers,
        measurements,
        paint,
        painting,
        photo,
        plan,
        recipe,
        sheet,
    )

    sentences: dict[str, Sentence] = {}
    plain: dict[str, Sentence] = {}
    for room in (
        photo,
        paint,
        measurements,
        recipe,
        plan,
        demonstrations,
        layers,
        dabs,
        canvas,
        painting,
        atelier,
        sheet,
        doors,
    ):
        sentences |= room.SENTENCES
        plain |= getattr(room, "REMEDIES", {})
    return sentences, plain


NBSP = "\u00a0"
"""Keeps a figure with what it belongs to."""


def listed(words: Sequence[str], word: str = "and") -> str:
    """Return "a", "a and b", "a, b and c"; "" of nothing."""
    *most, last = words or ("",)
    return f"{', '.join(most)} {word} {last}" if most else last


def counted(number: int, thing: str) -> str:
    """Return "1 puddle", "3 puddles"."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def capital(words: str) -> str:
    """Return the words with a capital, the rest as it is."""
    return words[:1].upper() + words[1:]


def sentence(words: str) -> str:
    """Return the words with a capital and a full stop."""
    words = capital(words.strip())
    return words if not words or words[-1] in ".!?" else f"{words}."


def signed(value: float) -> str:
    """Return a difference with its sign, and a true minus: "+0.3", "−1.2", "0.0"."""
    text = f"{value:+.1f}".replace("-", "−")
    return "0.0" if text in ("+0.0", "−0.0") else text


def whole(value: float) -> str:
    """Return a figure to the nearest whole, with a true minus."""
    return f"{value:.0f}".replace("-0", "0").replace("-", "−")
