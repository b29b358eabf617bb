"""What may stand in a saved file after a bad disk, a careless edit, or a stranger's malice."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

WRONG_JSON = (
    b'"words"',
    b"[]",
    b"{}",
    b"null",
    b"true",
    b"-1",
    b"1e999",
    b"NaN",
    b"-Infinity",
    b"1" + b"0" * 400,
    b"1" + b"0" * 5000,
    b'"\\ud800"',
    b"[[1, 2], [3]]",
    b"[" * 3000 + b"]" * 3000,
    b"[" * 100_000,
)
"""Values of a wrong type, ragged rows, deep nesting, no numbers, huge ones, half a pair."""

_HERE = "put the wrong value here"


def places_in(form: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Yield the place of each value of a JSON form; of a list only its first item's."""
    yield path
    if isinstance(form, list):
        form = dict(enumerate(form[:1]))
    for key, value in form.items() if isinstance(form, dict) else ():
        yield from places_in(value, (*path, key))


def with_wrong(form: Any, place: tuple[str | int, ...], wrong: bytes) -> bytes:
    """Return a JSON form as text, with another value in one place."""
    if not place:
        return wrong
    copy = json.loads(json.dumps(form))
    inner = copy
    for key in place[:-1]:
        inner = inner[key]
    inner[place[-1]] = _HERE
    return json.dumps(copy).encode().replace(json.dumps(_HERE).encode(), wrong, 1)
