"""A class of four of our own: the garden table, and boxes of built-in paints."""

from __future__ import annotations

import dataclasses
import functools
from pathlib import Path

from refmatch.atelier.mixes import Lesson, lesson_of
from refmatch.atelier.roll import Student, add, begin
from refmatch.paint.box_file import box_to_toml, built_in_box
from refmatch.painting.asked import Asked
from refmatch.painting.model import Painting
from refmatch.painting.reckon import Reckoner
from refmatch.photo.load import load

PHOTO = Path(__file__).parents[2] / "sample_images" / "garden-table.jpg"
FOUR = (
    Student("Anna", box="garden-table"),
    Student("Ben", ("PW6", "PY3", "PR101", "PB29=my blue")),
    Student("Cleo", ("PW6", "PY43", "PR108", "PBk9", "PB29"), grade="student"),
    Student("7", ("PW6=my white", "PY35", "PR122")),
)
"""The tutor's own tubes; three primaries with an earth; an earth box with black; no blue at all."""


@functools.cache
def _painted(masses: int) -> tuple[Painting, dict[str, bytes]]:
    reckoner = Reckoner(load(PHOTO))
    asked = Asked("Garden table", box_to_toml(built_in_box()))
    asked = dataclasses.replace(asked, holes=reckoner.mass_holes(asked, masses))
    return reckoner.reckon(asked, "2026-11-24"), reckoner.pictures(asked)


def begun(folder: Path, students: tuple[Student, ...] = FOUR, masses: int = 4) -> Path:
    """Make a class in a folder that is not there yet, its targets one in each mass."""
    painting, pictures = _painted(masses)
    begin(folder, "Tuesday", PHOTO, painting, pictures)
    if students:
        add(folder, students)
    return folder


def lesson(folder: Path, students: tuple[Student, ...] = FOUR) -> Lesson:
    return lesson_of(begun(folder, students))
