"""A named caution that travels with a value, and a sentence for the painter."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Flag:
    """A name that a program can test and a sentence that a painter can read.

    ``name`` is snake_case and part of the contract; ``text`` may change.
    """

    name: str
    text: str
