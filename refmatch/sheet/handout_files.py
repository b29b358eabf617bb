"""A class's prints as files: the tutor's sheet, all hand-outs in one, and each student's own."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from refmatch.atelier.mixes import Lesson, silent
from refmatch.atelier.roll import slug
from refmatch.dabs.card import size_mm
from refmatch.dabs.value_finder import PLAIN, Steps
from refmatch.disk import make_folder, write_whole
from refmatch.painting.outputs import check_replaceable
from refmatch.sheet.handout import Printed

TUTOR_PDF, ALL_PDF = "tutor.pdf", "hand-outs.pdf"


def file_name(number: int, student: str) -> str:
    """Return what a student's own hand-out is called, such as "03-cleo.pdf": safe on any disk."""
    return f"{number:02d}-{slug(student)}.pdf"


def check_places(students: Sequence[str], folder: Path, *, replace: bool = False) -> None:
    """Refuse, before any long work, to print over what cannot be made again.

    Raises:
        OutputError: something of another kind lies there.
    """
    own = [file_name(number, name) for number, name in enumerate(students, start=1)]
    for name in (TUTOR_PDF, ALL_PDF, *own):
        check_replaceable(folder / name, replace=replace)


def print_class(
    lesson: Lesson,
    folder: Path,
    paper: str = "a4",
    progress: Callable[[int, int, str], None] = silent,
    steps: Steps = PLAIN,
) -> tuple[Path, ...]:
    """Write the tutor's sheet, all hand-outs in one file, then one a student; return where.

    ``steps`` are those of the value strips.

    Raises:
        UsageError: no such paper. OutputError: it cannot be written.
    """
    from refmatch.sheet.handout_pages import write_handouts  # ReportLab is slow
    from refmatch.sheet.tutor_pages import write_tutor

    size_mm(paper)
    make_folder(folder)
    printed, count = Printed(lesson, steps), len(lesson.seats) + 2
    progress(0, count, "printing the tutor's sheet")
    files = [folder / TUTOR_PDF, folder / ALL_PDF]
    write_whole(files[0], write_tutor(printed.tutor, paper))
    progress(1, count, "printing all hand-outs")
    handouts = [printed.handout(seat) for seat in lesson.seats]
    write_whole(files[1], write_handouts(handouts, paper))
    for number, handout in enumerate(handouts, start=1):
        progress(1 + number, count, f"printing for {handout.student}")
        files.append(folder / file_name(number, handout.student))
        write_whole(files[-1], write_handouts([handout], paper))
    return tuple(files)
