"""Two tutors at one class at once: nobody who was added is lost, and every print is whole."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

from pypdf import PdfReader

from refmatch.atelier.mixes import lesson_of
from refmatch.atelier.roll import Student, add, box_of, read_roll
from refmatch.errors import ClassError
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import write_box
from refmatch.sheet.handout_files import print_class
from tests.atelier.example import FOUR, begun

EACH = 20


def at_once(*tasks: Callable[[], None]) -> None:
    threads = [threading.Thread(target=task) for task in tasks]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=120.0)
        assert not thread.is_alive()


def test_everybody_whom_two_add_is_there_with_their_own_box(tmp_path: Path) -> None:
    """Each name is tried by both: one is told that it is taken, and changes nothing."""
    folder = begun(tmp_path / "class", ())
    added: dict[str, str] = {}
    late: list[str] = []

    def adding(tutor: str) -> None:
        beside = tmp_path / tutor
        beside.mkdir()
        tubes = (built_in_tube("PW6", f"{tutor} white"),)
        write_box(beside / "mine.toml", Box(tutor, tubes))
        for number in range(EACH):
            for name in (f"{tutor} {number}", f"both {number}"):
                try:
                    add(folder, [Student(name, box="mine.toml")], beside=beside)
                except ClassError:
                    late.append(name)
                else:
                    added[name] = f"{tutor} white"

    at_once(lambda: adding("one"), lambda: adding("two"))
    roll = read_roll(folder)
    assert len(added) == len(roll.students) == 3 * EACH
    assert sorted(late) == sorted(f"both {number}" for number in range(EACH))
    for student in roll.students:
        assert box_of(folder, student).tubes[0].name == added[student.name]


def test_prints_of_two_are_whole(tmp_path: Path) -> None:
    folder = begun(tmp_path / "class", FOUR[:1], masses=2)
    lesson = lesson_of(folder)
    print_both = [
        lambda paper=paper: print_class(lesson, folder / "prints", paper) and None
        for paper in ("a4", "letter")
    ]
    at_once(*print_both)
    for name in ("tutor.pdf", "hand-outs.pdf", "01-anna.pdf"):
        assert PdfReader(folder / "prints" / name).pages
    assert len(list((folder / "prints").iterdir())) == 3
