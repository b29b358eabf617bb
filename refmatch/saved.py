"""What was saved, read back with care: a file may have been cut, edited, or made by a stranger."""

from __future__ import annotations

import json
import math
from typing import Any, NoReturn

LARGEST_WHOLE = 2**53
"""Up to here every whole number is a float too (IEEE 754); refmatch saves none that is larger."""


def read_json(data: bytes) -> Any:
    """Return what a JSON text holds.

    Raises:
        ValueError: it is not whole JSON (RFC 8259: no NaN, no infinity), is nested too deep, or
            holds half of a surrogate pair, which no file and no page can be written with.
    """
    try:
        value = json.loads(data, parse_constant=_no_number)
        if b"\\u" in data:
            json.dumps(value, ensure_ascii=False).encode()
    except RecursionError as error:
        raise ValueError("it is nested too deep") from error
    return value


def number(value: Any) -> float:
    """Return a finite number that was saved as one.

    Raises:
        ValueError: it is none.
    """
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{_short(value)} is not a number")
    if not abs(value) <= LARGEST_WHOLE and (isinstance(value, int) or not math.isfinite(value)):
        raise ValueError(f"{_short(value)} is no number that can be reckoned with")
    return float(value)


def truth(value: Any) -> bool:
    """Return true or false, as it was saved.

    Raises:
        ValueError: it is neither.
    """
    if not isinstance(value, bool):
        raise ValueError(f"{_short(value)} is neither true nor false")
    return value


def whole(value: Any) -> int:
    """Return a whole number that was saved as one.

    Raises:
        ValueError: it is none, or larger than `LARGEST_WHOLE`.
    """
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) > LARGEST_WHOLE:
        raise ValueError(f"{_short(value)} is not a whole number")
    return value


def text(value: Any) -> str:
    """Return a text that was saved as one.

    Raises:
        ValueError: it is none.
    """
    if not isinstance(value, str):
        raise ValueError(f"{_short(value)} is not text")
    return value


_LONGEST = 40


def _short(value: Any) -> str:
    """Name a value in a complaint, whatever its size and depth."""
    if isinstance(value, int) and abs(value) > LARGEST_WHOLE:
        return "a huge number"
    return (
        f"{value!r:.{_LONGEST}}" if isinstance(value, str | int | float) else type(value).__name__
    )


def _no_number(name: str) -> NoReturn:
    raise ValueError(f"{name} is not a number")
