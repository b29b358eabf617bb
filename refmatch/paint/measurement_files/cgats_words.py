"""A line of a CGATS.17 file as words, or as the cells of a table."""

from __future__ import annotations

import re

WORD = re.compile(r'"((?:[^"]|"")*)"|([^\s"]\S*)|(")')
"""A quoted string, with a quote inside written twice; a bare word; a quote that never closes."""


def words(text: str) -> list[str]:
    """Return the words of a line up to its comment; what follows an unclosed quote is one."""
    found = []
    for match in WORD.finditer(text):
        quoted, bare, unclosed = match.groups()
        if bare and bare.startswith("#"):
            break
        if unclosed:
            found.append(text[match.end() :].strip())
            break
        found.append(bare if quoted is None else quoted.replace('""', '"'))
    return found


def cells(text: str, count: int) -> list[str] | None:
    """Return the cells of a line of data, or None where a quote never closes.

    Cells are apart by any white space. Where single tabs give the wanted ``count``
    they rule instead: then a cell may be empty, or hold spaces without quotes.
    """
    bare = _without_comment(text)
    if bare is None:
        return None
    for tabbed in (bare, bare.rstrip("\t ")):
        between = tabbed.split("\t")
        if len(between) == count:
            return [_unquoted(cell.strip()) for cell in between]
    return words(bare)


def _without_comment(text: str) -> str | None:
    for match in WORD.finditer(text):
        _, bare, unclosed = match.groups()
        if unclosed:
            return None
        if bare and bare.startswith("#"):
            return text[: match.start()]
    return text


def _unquoted(cell: str) -> str:
    if len(cell) >= 2 and cell.startswith('"') and cell.endswith('"'):
        return cell[1:-1].replace('""', '"')
    return cell
