"""Sentences that speak of commands, said for the page."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterable, Iterator

from refmatch.errors import RefmatchError
from refmatch.flag import Flag
from refmatch.say.sentence import sentence_of

INSTEAD: tuple[tuple[str, str], ...] = (
    (r"print its card with 'refmatch card --painting [^']*'", "lay out its own dab card, print it"),
    (
        r"(print|lay) (the card again|one) with 'refmatch card --painting [^']*'",
        r"lay the dab card out anew and print it",
    ),
    (
        r"no 24-patch chart was found; point to a grey card .*\.",
        "no 24-patch chart was found; point to the grey card, or to a dab of known colour.",
    ),
    (r"leave --black-hole out", "point to no black"),
    (r"leave --light out", "leave the light unknown"),
    (r"say what you added with --added TUBE=PARTS", "say what you added instead"),
    (r"Say what was done: .*", "Say what was done."),
    (r", such as --divided --added .*", "."),
)
"""What is said on the page instead of options and commands, by pattern."""


def on_page(text: str) -> str:
    """Return a sentence as the page says it."""
    for pattern, said in INSTEAD:
        text = re.sub(pattern, said, text)
    return text


def flags_on_page(flags: Iterable[Flag]) -> tuple[Flag, ...]:
    """Return flags with their sentences as the page says them."""
    return tuple(Flag(flag.name, on_page(sentence_of(flag))) for flag in flags)


@contextlib.contextmanager
def said_on_page() -> Iterator[None]:
    """Let an error that a painter can act on speak as the page does."""
    try:
        yield
    except RefmatchError as error:
        error.args = (on_page(sentence_of(error)),)
        raise
