"""The form of CGATS.17 / ISO 28178: keywords, then tables of fields and sets, in plain text.

Meaning comes later (`cgats`); here are only words, lines and counts.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from refmatch.colorimetry.spectrum import WAVELENGTHS_NM
from refmatch.errors import MeasurementError
from refmatch.paint.instrument.cgats_fields import LAB
from refmatch.paint.instrument.reading import Reading, at_line, complaint, number

# A line of a CGATS.17 file as words, or as the cells of a table.

WORD = re.compile(r'"((?:[^"]|"")*)"|([^\s"]\S*)|(")')
"""A quoted string, with a quote inside written twice; a bare word; a quote that never closes."""


def words(text: str) -> list[str]:
    """Return the words of a line up to its comment; what follows an unclosed quote is one."""
    pieces = []
    for match in WORD.finditer(text):
        quoted, bare, unclosed = match.groups()
        if bare and bare.startswith("#"):
            break
        if unclosed:
            pieces.append(text[match.end() :].strip())
            break
        pieces.append(bare if quoted is None else quoted.replace('""', '"'))
    return pieces


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


Numbered = Iterator[tuple[int, str]]


@dataclass(frozen=True)
class Keyword:
    """A line of the header, such as ``ORIGINATOR "the orchard"``."""

    key: str
    value: str
    line: int


@dataclass(frozen=True)
class Row:
    """One set: the cells of a sample, one a field, and the line where it begins."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """One table: the keywords that hold for it, its fields, and its rows."""

    keywords: tuple[Keyword, ...]
    fields: tuple[str, ...]
    line: int
    rows: tuple[Row, ...]


def read_tables(lines: list[str], where: str) -> tuple[Table, ...]:
    """Return the tables of a file's lines; ``where`` names the file.

    A table without a format of its own has that of the table before it. Keywords
    hold for all later tables, counts only for the next one.

    Raises:
        MeasurementError: a block that is not closed, a count that does not hold, a
            quote that is not closed; with the line.
    """
    numbered: Numbered = enumerate(lines, 1)
    header: list[Keyword] = []
    tables: list[Table] = []
    fields: tuple[str, ...] = ()
    fields_line = 0
    for line, text in numbered:
        key, *rest = words(text) or [""]
        key = key.upper()
        if key == "BEGIN_DATA_FORMAT":
            fields, fields_line = _format(numbered, rest, line, where), line
            _check_count(header, "NUMBER_OF_FIELDS", len(fields), where)
        elif key == "BEGIN_DATA":
            if not fields:
                raise complaint("data_without_fields", at_line(line, where))
            rows = _Sets(fields, header, where).read(numbered, line)
            tables.append(Table(tuple(header), fields, fields_line, rows))
            header = [keyword for keyword in header if not keyword.key.startswith("NUMBER_OF_")]
        elif key in ("END_DATA", "END_DATA_FORMAT"):
            raise complaint("end_without_begin", at_line(line, where), mark=key)
        elif key:
            header.append(Keyword(key, " ".join(rest), line))
    return tuple(tables)


def _format(numbered: Numbered, begun: list[str], line: int, where: str) -> tuple[str, ...]:
    fields = list(begun)
    for _, text in numbered:
        for word in words(text):
            if word.upper() == "END_DATA_FORMAT":
                return tuple(fields)
            fields.append(word)
    raise _not_closed(line, "BEGIN_DATA_FORMAT", where)


@dataclass(frozen=True)
class _Sets:
    """Reads the rows of one table."""

    fields: tuple[str, ...]
    header: list[Keyword]
    where: str

    def read(self, numbered: Numbered, line: int) -> tuple[Row, ...]:
        """Return the rows up to END_DATA; a row may run over several lines if all is counted."""
        rows: list[Row] = []
        pending: list[str] = []
        begun = 0
        for at, text in self._block(numbered, line):
            values = cells(text, len(self.fields))
            if values is None:
                raise complaint("quote_not_closed", at_line(at, self.where))
            begun = begun if pending else at
            pending += values
            if len(pending) > len(self.fields):
                raise self._wrong_count(begun, len(pending))
            if len(pending) == len(self.fields):
                rows.append(Row(begun, tuple(pending)))
                pending = []
            elif _declared(self.header, "NUMBER_OF_SETS") is None:
                raise self._wrong_count(begun, len(pending))
        if pending:
            raise self._wrong_count(begun, len(pending))
        _check_count(self.header, "NUMBER_OF_SETS", len(rows), self.where)
        return tuple(rows)

    def _block(self, numbered: Numbered, line: int) -> Iterator[tuple[int, str]]:
        for at, text in numbered:
            first = (words(text) or [""])[0].upper()
            if first == "END_DATA":
                return
            if first in ("BEGIN_DATA", "BEGIN_DATA_FORMAT"):
                break
            if first:
                yield at, text
        raise _not_closed(line, "BEGIN_DATA", self.where)

    def _wrong_count(self, line: int, count: int) -> MeasurementError:
        place = at_line(line, self.where)
        return complaint("values_miscounted", place, values=count, fields=len(self.fields))


def _declared(header: list[Keyword], key: str) -> Keyword | None:
    return next((keyword for keyword in reversed(header) if keyword.key == key), None)


def _check_count(header: list[Keyword], key: str, count: int, where: str) -> None:
    """Refuse a count that the header declares otherwise; one that it lacks is not missed."""
    declared = _declared(header, key)
    if declared is not None and number(declared.value) != count:
        raise complaint(
            "count_not_held",
            at_line(declared.line, where),
            key=key,
            declared=declared.value,
            count=count,
        )


def _not_closed(line: int, mark: str, where: str) -> MeasurementError:
    return complaint("block_not_closed", at_line(line, where), mark=mark)


# Writes readings as CGATS.17 / ISO 28178 text, which any program of the trade reads.

SPECTRUM = tuple(f"SPECTRAL_NM{nm:.0f}" for nm in WAVELENGTHS_NM)


def cgats_text(readings: Sequence[Reading], header: Mapping[str, str] | None = None) -> str:
    """Return readings as the text of a file; read again, they are the same to the last digit.

    Args:
        readings: in the order of the file; those with other columns than the one
            before begin another table.
        header: further keywords, such as WEIGHTING_FUNCTION or MEASUREMENT_GEOMETRY.

    Raises:
        MeasurementError: a reading without a sample_id, or without spectrum and Lab.
    """
    lines = ["CGATS.17", f"ORIGINATOR {_quoted('refmatch')}"]
    lines += [f"{key} {_quoted(value)}" for key, value in (header or {}).items()]
    for (spectral, lab), alike in groupby(readings, key=_columns):
        lines += _table(list(alike), spectral, lab)
    return "\n".join(lines) + "\n"


def _columns(reading: Reading) -> tuple[bool, bool]:
    return reading.reflectance is not None, reading.lab is not None


def _table(readings: list[Reading], spectral: bool, lab: bool) -> list[str]:
    fields = ["SAMPLE_ID", "SAMPLE_NAME", *(SPECTRUM if spectral else ()), *(LAB if lab else ())]
    return [
        f"NUMBER_OF_FIELDS {len(fields)}",
        "BEGIN_DATA_FORMAT",
        "\t".join(fields),
        "END_DATA_FORMAT",
        f"NUMBER_OF_SETS {len(readings)}",
        "BEGIN_DATA",
        *("\t".join(_cells(reading)) for reading in readings),
        "END_DATA",
    ]


def _cells(reading: Reading) -> list[str]:
    values = [each for each in (reading.reflectance, reading.lab) if each is not None]
    if not reading.sample_id.strip() or not values:
        raise MeasurementError("nothing_to_write", sample=reading.sample_id)
    # repr is the shortest text that reads back as the very same number
    numbers = [repr(float(number)) for each in values for number in each]
    return [_quoted(reading.sample_id), _quoted(reading.name), *numbers]


def _quoted(text: str) -> str:
    """Return text as a string of the standard: in quotes, a quote inside written twice."""
    plain = " ".join(text.split())
    return '"' + plain.replace('"', '""') + '"'
