"""The fields of a change as they come from the page: read one by one, nothing taken on trust."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from refmatch.errors import UsageError

LONGEST_TEXT = 80
MOST_NAMES = 60


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
            raise UsageError("field_no_number", field=name, least=least, most=most)
        if not least <= value <= most:
            raise UsageError("field_out_of_range", field=name, value=value, least=least, most=most)
        return float(value)

    def number_or_none(self, name: str, least: float, most: float) -> float | None:
        """Return the number, or None where it is not given."""
        return self.number(name, least, most) if name in self else None

    def text(self, name: str, longest: int = LONGEST_TEXT) -> str:
        """Return a text on one line, trimmed."""
        value = self._given.get(name)
        if not isinstance(value, str):
            raise UsageError("field_no_text", field=name)
        words = " ".join(value.split())
        if len(words) > longest:
            raise UsageError("text_too_long", begins=words[:20], longest=longest)
        return words

    def names(self, name: str) -> tuple[str, ...]:
        """Return a list of texts, each once, in order."""
        value = self._given.get(name)
        if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
            raise UsageError("field_no_names", field=name)
        if len(value) > MOST_NAMES:
            raise UsageError("too_many_names", field=name, count=len(value), most=MOST_NAMES)
        return tuple(dict.fromkeys(value))

    def truth(self, name: str) -> bool:
        """Return true or false."""
        value = self._given.get(name)
        if not isinstance(value, bool):
            raise UsageError("field_no_truth", field=name)
        return value
