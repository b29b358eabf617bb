"""PLAN.csv: what was painted for each sample that was measured."""

from __future__ import annotations

import csv
import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from refmatch.errors import MeasurementError
from refmatch.flag import Flag
from refmatch.paint.instrument.reading import (
    Measurements,
    Place,
    Reading,
    at_line,
    complaint,
    decoded,
    in_file,
    lines,
    number,
)
from refmatch.paint.kubelka_munk import FINISHES

# The rows of a plan, each for one tube in one sample, as a spreadsheet or a hand wrote them.

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
    return next((sign for sign in SEPARATORS if sign in header), ",")


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


BACKINGS = ("white", "black", "none")


@dataclass(frozen=True)
class Component:
    """So many parts of one tube; ``pigment`` as the plan says, empty where it does not."""

    tube: str
    parts: float
    pigment: str = ""


@dataclass(frozen=True)
class Planned:
    """One sample: what is in it and what is under it.

    Without components it is the bare ground. ``backing`` is white, black or none;
    ``finish`` gloss, satin or matt, or empty. ``line`` is its first in the plan.
    """

    sample_id: str
    components: tuple[Component, ...]
    backing: str
    finish: str
    line: int


@dataclass(frozen=True)
class Plan:
    """All samples with paint, in the order of the file, and the bare ground of each backing.

    ``where`` names the file, for complaints.
    """

    samples: tuple[Planned, ...]
    grounds: Mapping[str, Planned]
    where: str = "the plan"


def read_plan(path: Path) -> Plan:
    """Return the plan of a file.

    Raises:
        MeasurementError: it cannot be read, or says what cannot be; with the line.
    """
    try:
        data = Path(path).read_bytes()
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or "no such name").lower()
        raise MeasurementError("plan_not_read", path=str(path), reason=reason) from error
    return plan_from_text(decoded(data), str(path))


def plan_from_text(text: str, where: str = "the plan") -> Plan:
    """Return the plan of a text; ``where`` names it in a complaint.

    Raises:
        MeasurementError: it says what cannot be; with the line.
    """
    rows = plan_rows(text, where)
    pigments = _pigments(rows, where)
    by_sample: dict[str, list[PlanRow]] = {}
    for row in rows:
        by_sample.setdefault(row.sample_id, []).append(row)
    samples: list[Planned] = []
    grounds: dict[str, Planned] = {}
    for alike in by_sample.values():
        planned = _planned(alike, pigments, where)
        if planned.components:
            samples.append(planned)
        elif planned.backing in grounds:
            raise complaint(
                "ground_planned_twice",
                at_line(planned.line, where),
                backing=planned.backing,
                first_line=grounds[planned.backing].line,
            )
        else:
            grounds[planned.backing] = planned
    if not samples:
        raise complaint("plan_without_paint", in_file(where))
    return Plan(tuple(samples), MappingProxyType(grounds), where)


def _pigments(rows: Sequence[PlanRow], where: str) -> dict[str, tuple[str, str]]:
    """Return each tube's one spelling and its pigment, by its name in small letters.

    A pigment need stand beside its tube only once.
    """
    known: dict[str, tuple[str, str]] = {}
    for row in rows:
        spelling, pigment = known.get(row.tube.lower(), (row.tube, ""))
        if pigment and row.pigment and pigment.lower() != row.pigment.lower():
            raise complaint(
                "tube_of_two_pigments",
                at_line(row.line, where),
                tube=row.tube,
                pigment=row.pigment,
                before=pigment,
            )
        known[row.tube.lower()] = (spelling, pigment or row.pigment)
    return known


def _planned(rows: list[PlanRow], pigments: Mapping[str, tuple[str, str]], where: str) -> Planned:
    """Return the sample of its rows."""
    backing = _one_word(rows, "backing", BACKINGS, where) or "none"
    first, tubes = rows[0], [row for row in rows if row.tube]
    planned: dict[str, PlanRow] = {}
    for row in tubes:
        before = planned.setdefault(row.tube.lower(), row)
        if before is not row:
            raise complaint(
                "tube_twice_in_sample",
                at_line(row.line, where),
                tube=row.tube,
                sample=row.sample_id,
                first_line=before.line,
            )
    if len(tubes) not in (0, len(rows)) or (not tubes and len(rows) > 1):
        empty = next(row for row in rows if not row.tube)
        raise complaint("row_without_tube", at_line(empty.line, where), sample=first.sample_id)
    if not tubes and backing == "none":
        raise complaint("row_of_nothing", at_line(first.line, where))
    components = tuple(
        Component(pigments[row.tube.lower()][0], row.parts, pigments[row.tube.lower()][1])
        for row in tubes
    )
    finish = _one_word(rows, "finish", tuple(FINISHES), where)
    return Planned(first.sample_id, components, backing, finish, first.line)


def _one_word(rows: list[PlanRow], column: str, known: tuple[str, ...], where: str) -> str:
    """Return what a sample's rows say in a column, once and for all; empty where they do not."""
    said: PlanRow | None = None
    for row in rows:
        word = str(getattr(row, column)).lower()
        if word and word not in known:
            raise complaint(
                "plan_word_unknown", at_line(row.line, where), column=column, word=word, known=known
            )
        if word and said is not None and word != str(getattr(said, column)).lower():
            raise complaint(
                "plan_words_differ",
                at_line(row.line, where),
                sample=row.sample_id,
                column=column,
                word=word,
                first_line=said.line,
                before=getattr(said, column),
            )
        said = said or (row if word else None)
    return "" if said is None else str(getattr(said, column)).lower()


# Brings plan and measurements together: what was painted, and how it looks.


@dataclass(frozen=True, eq=False)
class Paired:
    """Each planned sample with its reading, and the reading of each bare ground."""

    samples: tuple[tuple[Planned, Reading], ...]
    grounds: Mapping[str, Reading]
    flags: tuple[Flag, ...] = ()


def pair(plan: Plan, measurements: Measurements) -> Paired:
    """Return the plan's samples with their readings.

    A plan may call a sample by its SAMPLE_ID, or by its name where only one sample
    has that name: many instruments number the samples themselves. Readings that
    the plan does not speak of are flagged.

    Raises:
        MeasurementError: a planned sample is not in the file, or two are the same
            reading; with the plan's line.
    """
    finder = _Finder.of(plan.where, measurements)
    used: dict[str, Planned] = {}

    def reading_of(planned: Planned) -> Reading:
        reading = finder.find(planned)
        before = used.setdefault(reading.sample_id, planned)
        if before is not planned:
            raise complaint(
                "measurement_planned_twice",
                at_line(planned.line, plan.where),
                sample=planned.sample_id,
                before=before.sample_id,
                first_line=before.line,
            )
        return reading

    samples = tuple((planned, reading_of(planned)) for planned in plan.samples)
    grounds = {backing: reading_of(planned) for backing, planned in plan.grounds.items()}
    spare = [each.sample_id for each in measurements.readings if each.sample_id not in used]
    return Paired(samples, grounds, (*measurements.flags, *_not_planned(spare)))


@dataclass(frozen=True, eq=False)
class _Finder:
    where: str
    by_id: Mapping[str, Reading]
    by_name: Mapping[str, tuple[Reading, ...]]

    @staticmethod
    def of(where: str, measurements: Measurements) -> _Finder:
        by_name: dict[str, tuple[Reading, ...]] = {}
        for reading in measurements.readings:
            by_name[reading.name.lower()] = (*by_name.get(reading.name.lower(), ()), reading)
        return _Finder(
            where, {reading.sample_id: reading for reading in measurements.readings}, by_name
        )

    def find(self, planned: Planned) -> Reading:
        """Return the one reading that is meant."""
        if planned.sample_id in self.by_id:
            return self.by_id[planned.sample_id]
        named = self.by_name.get(planned.sample_id.lower(), ())
        if len(named) == 1:
            return named[0]
        place = at_line(planned.line, self.where)
        if named:
            raise complaint(
                "planned_name_shared",
                place,
                sample=planned.sample_id,
                names=tuple(reading.sample_id for reading in named),
            )
        known = [
            *self.by_id,
            *(reading[0].name for reading in self.by_name.values() if reading[0].name),
        ]
        near = difflib.get_close_matches(planned.sample_id, known, n=3)
        raise complaint(
            "planned_not_measured",
            place,
            sample=planned.sample_id,
            near=tuple(near),
            known=tuple(known),
        )


def _not_planned(spare: list[str]) -> tuple[Flag, ...]:
    if not spare:
        return ()
    return (Flag("not_planned", names=tuple(spare)),)
