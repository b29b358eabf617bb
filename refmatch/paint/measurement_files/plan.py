"""PLAN.csv: what was painted for each sample that was measured."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from refmatch.errors import MeasurementError
from refmatch.paint.kubelka_munk import FINISHES
from refmatch.paint.measurement_files.model import at_line, complaint, in_file
from refmatch.paint.measurement_files.plan_rows import PlanRow, plan_rows
from refmatch.paint.measurement_files.text import decoded

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
    found: dict[str, tuple[str, str]] = {}
    for row in rows:
        spelling, pigment = found.get(row.tube.lower(), (row.tube, ""))
        if pigment and row.pigment and pigment.lower() != row.pigment.lower():
            raise complaint(
                "tube_of_two_pigments",
                at_line(row.line, where),
                tube=row.tube,
                pigment=row.pigment,
                before=pigment,
            )
        found[row.tube.lower()] = (spelling, pigment or row.pigment)
    return found


def _planned(rows: list[PlanRow], pigments: Mapping[str, tuple[str, str]], where: str) -> Planned:
    """Return the sample of its rows."""
    backing = _one_word(rows, "backing", BACKINGS, where) or "none"
    first, tubes = rows[0], [row for row in rows if row.tube]
    seen: dict[str, PlanRow] = {}
    for row in tubes:
        before = seen.setdefault(row.tube.lower(), row)
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
