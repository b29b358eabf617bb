"""Brings plan and measurements together: what was painted, and how it looks."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass

from refmatch.flag import Flag
from refmatch.paint.measurement_files.model import (
    Measurements,
    Reading,
    at_line,
    complaint,
)
from refmatch.paint.measurement_files.plan import Plan, Planned


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
        for each in measurements.readings:
            by_name[each.name.lower()] = (*by_name.get(each.name.lower(), ()), each)
        return _Finder(where, {each.sample_id: each for each in measurements.readings}, by_name)

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
                names=tuple(each.sample_id for each in named),
            )
        known = [*self.by_id, *(each[0].name for each in self.by_name.values() if each[0].name)]
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
