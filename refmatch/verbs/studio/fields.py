"""The fields of a change as they come from the page: read one by one, nothing taken on trust."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from refmatch.errors import UsageError

LONGEST_TEXT = 80
MOST_NAMES = 60

TYPED = {
    "lstar": "The lightness, L*,",
    "kelvin": "The lamp's temperature in kelvin",
    "duv": "The tint, Duv,",
    "width_cm": "The canvas's width in centimetres",
    "height_cm": "The canvas's height in centimetres",
    "grid_cm": "The grid in centimetres",
}
"""What a painter calls the fields that are typed by hand; the others come from the page alone."""


class Fields:
    """Reads named values of the right kind, or says in a sentence what is wrong.

    Raises:
        UsageError: by every method, where the value is missing or of another kind.
    """

    def __init__(self, given: Mapping[str, Any]) -> None:
        self._given = given

    def __contains__(self, name: str) -> bool:
        return self._given.get(name) is not None

    def number(self, name: str, least: float, most: float) -> float:
        """Return a number within ``least`` and ``most``."""
        value = self._given.get(name)
        if (
            isinstance(value, bool)
            or not isinstance(value, int | float)
            or not math.isfinite(value)
        ):
            raise UsageError(f"{_called(name)} must be a number from {least:g} to {most:g}.")
        if not least <= value <= most:
            raise UsageError(f"{_called(name)} cannot be {value:g}; give {least:g} to {most:g}.")
        return float(value)

    def number_or_none(self, name: str, least: float, most: float) -> float | None:
        """Return the number, or None where it is not given."""
        return self.number(name, least, most) if name in self else None

    def text(self, name: str, longest: int = LONGEST_TEXT) -> str:
        """Return a text on one line, trimmed."""
        value = self._given.get(name)
        if not isinstance(value, str):
            raise UsageError(f"'{name}' must be a text.")
        told = " ".join(value.split())
        if len(told) > longest:
            raise UsageError(f"'{told[:20]}…' is too long; {longest} letters are the most.")
        return told

    def names(self, name: str) -> tuple[str, ...]:
        """Return a list of texts, each once, in order."""
        value = self._given.get(name)
        if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
            raise UsageError(f"'{name}' must be a list of names.")
        if len(value) > MOST_NAMES:
            raise UsageError(f"'{name}' has {len(value)} names; {MOST_NAMES} are the most.")
        return tuple(dict.fromkeys(value))

    def truth(self, name: str) -> bool:
        """Return true or false."""
        value = self._given.get(name)
        if not isinstance(value, bool):
            raise UsageError(f"'{name}' must be true or false.")
        return value


def _called(name: str) -> str:
    return TYPED.get(name, f"'{name}'")
