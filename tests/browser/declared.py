"""The types that page.d.ts declares, and whether a value is of one.

As much of TypeScript as that file uses for JSON: interfaces, arrays, tuples, unions, literals,
objects in place, `Record` and `Partial`.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import refmatch

FILE = Path(refmatch.__file__).parent / "web" / "page.d.ts"
PLAIN = {"string": str, "number": (int, float), "boolean": bool}
FIELD = re.compile(r"(\w+)(\??): ((?:[^;{]|\{[^}]*\})+);")


def _without_comments(text: str) -> str:
    return re.sub(r"/\*.*?\*/|//[^\n]*", "", text, flags=re.S)


class Declared:
    """The declarations of the file."""

    def __init__(self) -> None:
        text = _without_comments(FILE.read_text("utf-8"))
        whole = r"^interface (\w+)(?: extends (\w+))? \{\n(.*?)^\}"
        self.interfaces = {
            name: (base, FIELD.findall(body))
            for name, base, body in re.findall(whole, text, flags=re.S | re.M)
        }
        self.aliases = dict(re.findall(r"^type (\w+) = ([^;]+);", text, flags=re.M))

    def faults(self, value: Any, kind: str, where: str = "") -> list[str]:
        """Return where a value is not of a type; empty where it is."""
        kind = kind.strip()
        ways = _split(kind, "|")
        if len(ways) > 1:
            tried = [self.faults(value, way, where) for way in ways]
            return min(tried, key=lambda found: (len(found) > 0, -_deepest(found)))
        if kind.endswith("[]"):
            return self._each(value, kind[:-2].strip("()"), where)
        if kind.startswith("["):
            parts = _split(kind[1:-1], ",")
            fits = isinstance(value, list) and len(value) == len(parts)
            return self._each(value, parts[0], where) if fits else [f"{where} is no {kind}"]
        if kind.startswith("{"):
            return self._fields(value, FIELD.findall(kind[1:-1] + ";"), where)
        if kind.startswith(("Record<", "Partial<")):
            values = _split(kind[kind.rindex("Record<") + 7 :].rstrip(">"), ",")[1]
            if not isinstance(value, dict):
                return [f"{where} is no object"]
            return [
                fault
                for key in value
                for fault in self.faults(value[key], values, f"{where}.{key}")
            ]
        if kind in self.interfaces:
            return self._fields(value, self._all_fields(kind), where)
        if kind in self.aliases:
            return self.faults(value, self.aliases[kind], where)
        return [] if _is_plain(value, kind) else [f"{where} is {value!r}, no {kind}"]

    def _each(self, value: Any, kind: str, where: str) -> list[str]:
        if not isinstance(value, list):
            return [f"{where} is no list"]
        return [
            fault
            for number, one in enumerate(value)
            for fault in self.faults(one, kind, f"{where}[{number}]")
        ]

    def _fields(self, value: Any, fields: list[tuple[str, str, str]], where: str) -> list[str]:
        if not isinstance(value, dict):
            return [f"{where} is {value!r}, no object"]
        found = []
        for name, optional, kind in fields:
            if name in value:
                found += self.faults(value[name], kind, f"{where}.{name}")
            elif not optional:
                found.append(f"{where}.{name} is missing")
        return found

    def _all_fields(self, name: str) -> list[tuple[str, str, str]]:
        base, fields = self.interfaces[name]
        own = {field[0] for field in fields}
        inherited = self._all_fields(base) if base else []
        return [field for field in inherited if field[0] not in own] + fields


def _is_plain(value: Any, kind: str) -> bool:
    if kind == "null":
        return value is None
    if kind.startswith('"'):
        return value == kind.strip('"')
    is_flag = isinstance(value, bool)
    return isinstance(value, PLAIN[kind]) and (kind == "boolean" or not is_flag)


def _split(kind: str, mark: str) -> list[str]:
    """Split at a mark that stands in no bracket."""
    parts, depth = [""], 0
    for letter in kind:
        depth += (letter in "[{(<") - (letter in "]})>")
        if letter == mark and not depth:
            parts.append("")
        else:
            parts[-1] += letter
    return [part for part in parts if part.strip()]


def _deepest(found: list[str]) -> int:
    """Return how deep the first fault lies: the way that is meant goes deepest."""
    return found[0].count(".") + found[0].count("[") if found else 0
