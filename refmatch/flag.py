"""A named caution that travels with a value; `refmatch.say` has its sentence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from refmatch.errors import RefmatchError

Value = object
"""A number, a text, a truth, None, a flag, or a tuple of these: it can be saved and hashed."""


@dataclass(frozen=True, slots=True, init=False)
class Flag:
    """A name that a program can test, and the values that its sentence is made of.

    ``name`` is snake_case and part of the contract; the sentence may change. ``pairs`` are the
    values by name: pairs, so that what carries a flag can be looked up by it. A flag of a painting
    saved before sentences were kept apart has its whole sentence as the value `SAID`.
    """

    name: str
    pairs: tuple[tuple[str, Value], ...]

    def __init__(self, name: str, said: str | None = None, /, **values: Value) -> None:
        whole = values if said is None else {SAID: said, **values}
        object.__setattr__(self, "name", name)
        object.__setattr__(self, "pairs", tuple(whole.items()))

    @property
    def values(self) -> Mapping[str, Value]:
        return dict(self.pairs)


SAID = "said"
"""The value that is a whole sentence, in flags saved with their sentence."""


def flag_of(error: RefmatchError) -> Flag:
    """Return what went wrong as a caution that travels on, where the work can go on without."""
    return Flag(error.name, **error.values)


def flag_to_form(flag: Flag) -> dict[str, Any]:
    """Return a flag as it is saved."""
    return {"name": flag.name, "values": {key: _plain(value) for key, value in flag.pairs}}


def flag_from_form(form: Mapping[str, Any]) -> Flag:
    """Return a flag that was saved; an older one was saved with its whole sentence, its text.

    Raises:
        ValueError: the form has something missing or of the wrong kind.
    """
    name, values = form.get("name"), form.get("values", {})
    if not isinstance(name, str) or not isinstance(values, dict):
        raise ValueError(f"{form!r} is not a flag")
    if "text" in form:
        return Flag(name, str(form["text"]))
    return Flag(name, **{str(key): _value(value) for key, value in values.items()})


def _plain(value: Value) -> Any:
    if isinstance(value, Flag):
        return flag_to_form(value)
    return [_plain(item) for item in value] if isinstance(value, tuple) else value


def _value(form: Any) -> Value:
    if isinstance(form, dict):
        return flag_from_form(form)
    return tuple(_value(item) for item in form) if isinstance(form, list) else form
