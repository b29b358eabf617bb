"""What the program's own source says: where cautions and errors are made, and all its texts."""

from __future__ import annotations

import ast
import functools
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import refmatch
from refmatch import errors

FOLDER = Path(refmatch.__file__).parent
DOORS = ("cli", "web")

MAKERS = {"Flag", "complaint"} | {
    name
    for name, kind in vars(errors).items()
    if isinstance(kind, type) and issubclass(kind, errors.RefmatchError)
}
"""What is called with a name and values."""

OWN_NAME = {"UnknownTube"}
"""An error that brings its name itself; its first argument is another."""


@dataclass(frozen=True)
class Made:
    """A call that makes a caution or an error: where, by which name, with which values.

    ``name`` is a pattern where the source puts names together; ``values`` is None where the
    source does not name them one by one.
    """

    where: str
    name: re.Pattern[str]
    values: frozenset[str] | None


@functools.cache
def parsed() -> dict[str, ast.Module]:
    """Return each module of the program by its path within it."""
    return {
        path.relative_to(FOLDER).as_posix(): ast.parse(path.read_text("utf-8"))
        for path in sorted(FOLDER.rglob("*.py"))
    }


@functools.cache
def made() -> tuple[Made, ...]:
    """Return every call whose name stands in the source and is no whole sentence."""
    calls = [
        (module, node)
        for module, tree in parsed().items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and _called(node) in MAKERS - OWN_NAME
    ]
    return tuple(
        Made(f"{module}:{call.lineno}", name, _values(call))
        for module, call in calls
        if (name := _name(call)) is not None and " " not in name.pattern
    )


def texts(module: ast.Module) -> Iterator[str]:
    """Yield the texts of a module; those that stand alone are for its readers, not for painters."""
    alone = {id(node.value) for node in ast.walk(module) if isinstance(node, ast.Expr)}
    for node in ast.walk(module):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in alone:
            yield node.value


def _called(call: ast.Call) -> str:
    return call.func.id if isinstance(call.func, ast.Name) else ""


def _name(call: ast.Call) -> re.Pattern[str] | None:
    """Return the name a call gives, None where it is a variable or brings its sentence."""
    if not call.args or (_called(call) == "Flag" and len(call.args) > 1):
        return None
    match call.args[0]:
        case ast.Constant(value=str(name)):
            return re.compile(re.escape(name))
        case ast.JoinedStr(values=parts):
            return re.compile(
                "".join(
                    re.escape(str(part.value)) if isinstance(part, ast.Constant) else r"\w+"
                    for part in parts
                )
            )
    return None


def _values(call: ast.Call) -> frozenset[str] | None:
    keywords = [keyword.arg for keyword in call.keywords]
    if None in keywords:
        return None
    place = {"place"} if _called(call) == "complaint" else set()
    return frozenset(place | {keyword for keyword in keywords if keyword})
