"""The rows of a plan, each for one tube in one sample, as a spreadsheet or a hand wrote them."""

from __future__ import annotations

import csv
import difflib
import re
from collections.abc import Iterator
from dataclasses import dataclass

from refmatch.paint.measurement_files.model import Place, at_line, complaint, in_file
from refmatch.paint.measurement_files.number import number
from refmatch.paint.measurement_files.text import lines

NEEDED = ("sample_id", "tube", "parts")
COLUMNS = (*NEEDED, "pigment", "backing", "finish")
SEPARATORS = ("\t", ";", ",")
SEPARATOR_SAID = re.compile(r"sep=[\t;,]?", re.IGNORECASE)
"""What some spreadsheets set before the first row (common practice, no source)."""


@dataclass(frozen=True)
class PlanRow:
    """One row; ``tube`` is empty for a bare ground, and ``parts`` then 0."""

    line: int
    sample_id: str
    tube: str
    parts: float
    pigment: str
    backing: str
    finish: str


def plan_rows(text: str, where: str) -> tuple[PlanRow, ...]:
    """Return the rows; blank lines and lines that begin with # are passed over.

    The first row names the columns, in any order, and shows what separates them:
    tab, semicolon or comma.

    Raises:
        MeasurementError: a column that is unknown or lacks, or a row that does not fit.
    """
    numbered = _records(text, where)
    line, header = next(numbered, (0, []))
    if not header:
        raise complaint("plan_empty", in_file(where), columns=COLUMNS)
    names = _columns(header, at_line(line, where))
    return tuple(_row(cells, names, line, where) for line, cells in numbered)


def _records(text: str, where: str) -> Iterator[tuple[int, list[str]]]:
    """Yield the cells of each row that says something, with its line."""
    kept = [
        (line, content)
        for line, content in enumerate(lines(text), 1)
        if content.strip(" \t;,") and not content.lstrip().startswith("#")
    ]
    separator = _separator(kept[0][1]) if kept else ","
    if kept and SEPARATOR_SAID.fullmatch(kept[0][1].strip()):
        kept = kept[1:]
    for line, content in kept:
        try:
            cells = next(csv.reader([content], delimiter=separator, strict=True))
        except (csv.Error, StopIteration) as error:
            raise complaint("quotes_not_paired", at_line(line, where)) from error
        yield line, [cell.strip() for cell in cells]


def _separator(header: str) -> str:
    return next((each for each in SEPARATORS if each in header), ",")


def _columns(header: list[str], place: Place) -> list[str]:
    """Return the name of each column; trailing columns without a name have none."""
    names = [cell.lower().replace(" ", "_").replace("-", "_") for cell in header]
    for name, cell in zip(names, header, strict=True):
        if name and name not in COLUMNS:
            near = difflib.get_close_matches(name, COLUMNS, n=1)
            raise complaint(
                "plan_column_unknown", place, column=cell, near=tuple(near), columns=COLUMNS
            )
        if name and names.count(name) > 1:
            raise complaint("plan_column_twice", place, column=name)
    for name in NEEDED:
        if name not in names:
            raise complaint("plan_column_missing", place, column=name, columns=COLUMNS)
    return names


def _row(cells: list[str], names: list[str], line: int, where: str) -> PlanRow:
    place = at_line(line, where)
    if any(cells[len(names) :]):
        raise complaint("plan_cells_too_many", place, columns=len(names))
    said = dict.fromkeys(COLUMNS, "")
    said |= {name: cell for name, cell in zip(names, cells, strict=False) if name}
    if not said["sample_id"]:
        raise complaint("plan_row_without_sample", place)
    if number(said["pigment"]) is not None:
        raise complaint("pigment_is_number", place, pigment=said["pigment"])
    return PlanRow(
        line=line,
        sample_id=said["sample_id"],
        tube=said["tube"],
        parts=_parts(said["parts"], said["tube"], place),
        pigment=said["pigment"],
        backing=said["backing"],
        finish=said["finish"],
    )


def _parts(written: str, tube: str, place: Place) -> float:
    parts = number(written)
    if not tube:
        if written and parts != 0.0:
            raise complaint("parts_of_no_tube", place, written=written)
        return 0.0
    if not written:
        raise complaint("parts_missing", place, tube=tube)
    if parts is None:
        raise complaint("parts_no_number", place, written=written, tube=tube)
    if parts <= 0.0:
        raise complaint("parts_not_above_zero", place, written=written, tube=tube)
    return parts
