"""The roll of a class: lists as tutors write them, edits by hand, and files that are damaged."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refmatch.atelier.roll import (
    LESSON,
    NAME,
    Student,
    add,
    begin,
    box_of,
    read_roll,
    slug,
    students_of,
)
from refmatch.errors import BoxError, ClassError, PaintingError
from refmatch.paint.box_file import built_in_box, write_box
from refmatch.painting.model import CanvasLook, Pencilled, SavedFile
from refmatch.painting.store import read_painting, read_pictures, save
from refmatch.sheet.handout_files import file_name
from tests.atelier.example import FOUR, PHOTO, begun
from tests.refusals import refused

ROWS = """name;tubes
Anna;PW6;PY3;PB29=my blue
# away today
Ben;garden-table
12;student;PW6;PR101
"""


@pytest.mark.parametrize("sign", [",", ";"])
def test_a_table_of_everybody_is_read(tmp_path: Path, sign: str) -> None:
    table = tmp_path / "everybody.csv"
    table.write_bytes("\ufeff".encode() + ROWS.replace(";", sign).encode())
    assert students_of(table) == (
        Student("Anna", ("PW6", "PY3", "PB29=my blue")),
        Student("Ben", box="garden-table"),
        Student("12", ("PW6", "PR101"), grade="student"),
    )


def test_what_is_written_by_hand_stays(tmp_path: Path) -> None:
    folder = begun(tmp_path / "class", FOUR[:1])
    by_hand = (folder / NAME).read_text() + "\n# the newcomers\n[[student]]\nname = 12\n"
    by_hand += 'tubes = ["PW6", "PB29"]  # borrows the rest\n'
    (folder / NAME).write_text(by_hand)
    roll = add(folder, FOUR[1:])
    assert [student.name for student in roll.students] == ["Anna", "12", "Ben", "Cleo", "7"]
    text = (folder / NAME).read_text()
    assert "# the newcomers" in text
    assert "# borrows the rest" in text
    assert read_roll(folder) == roll


def test_the_lesson_has_no_record_of_what_the_tutor_painted(tmp_path: Path) -> None:
    """Neither a sitting at the canvas nor a puddle of the painting that is copied comes with it."""
    painting = read_painting(begun(tmp_path / "first") / LESSON)
    photo = SavedFile("canvas.jpg", "0" * 64)
    sitting = CanvasLook(photo, "2026-01-01", "", "wet", "", np.zeros((4, 2)), ())
    pencilled = Pencilled(painting.targets[0].label, ())
    painted = replace(painting, canvases=(sitting,), pencilled=(pencilled,))
    pictures = read_pictures(tmp_path / "first" / LESSON, painting)
    begin(tmp_path / "second", "second", PHOTO, painted, pictures)
    lesson = read_painting(tmp_path / "second" / LESSON)
    assert (lesson.canvases, lesson.pencilled) == ((), ())


def test_a_name_that_is_taken_is_refused_or_replaced(tmp_path: Path) -> None:
    folder = begun(tmp_path / "class")
    before = (folder / NAME).read_bytes()
    again = Student("ben", ("PW6", "PBk9"))
    with refused(ClassError, match="There is a 'ben' in the class already"):
        add(folder, [again])
    assert (folder / NAME).read_bytes() == before
    roll = add(folder, [again], anew=True)
    assert [student.name for student in roll.students] == ["Anna", "ben", "Cleo", "7"]
    assert roll.students[1] == again


def test_a_box_file_is_copied_into_the_class(tmp_path: Path) -> None:
    folder = begun(tmp_path / "class", ())
    write_box(tmp_path / "mine.toml", built_in_box())
    said = Student("Åsa Öberg", box="mine.toml")
    (kept,) = add(folder, [said], beside=tmp_path).students
    (tmp_path / "mine.toml").unlink()
    assert kept.box == "asa-oberg.toml"
    assert [t.name for t in box_of(folder, kept).tubes] == [t.name for t in built_in_box().tubes]


def test_a_box_that_lies_in_the_class_is_never_written_over(tmp_path: Path) -> None:
    folder = begun(tmp_path / "class", ())
    for number, name in enumerate(("garden-table", "starter"), start=1):
        write_box(tmp_path / f"{number}.toml", replace(built_in_box(), name=name))
    add(folder, [Student("Ann", box="1.toml")], beside=tmp_path)
    with refused(ClassError, match="There is a 'Ann' in the class already"):
        add(folder, [Student("Ann", box="2.toml")], beside=tmp_path)
    assert [path.name for path in (folder / "boxes").iterdir()] == ["ann.toml"]
    before = (folder / "boxes" / "ann.toml").read_bytes()
    roll = add(folder, [Student("Ann", box="2.toml")], beside=tmp_path, anew=True)
    assert [student.box for student in roll.students] == ["ann-2.toml"]
    assert (folder / "boxes" / "ann.toml").read_bytes() == before
    assert add(folder, [Student("Ann", box="2.toml")], beside=tmp_path, anew=True) == roll


def test_of_a_list_all_are_added_or_none(tmp_path: Path) -> None:
    folder = begun(tmp_path / "class", ())
    write_box(tmp_path / "mine.toml", built_in_box())
    (tmp_path / "none.toml").write_text("no box")
    before = (folder / NAME).read_bytes()
    with refused(BoxError):
        add(
            folder,
            [Student("Ann", box="mine.toml"), Student("Ben", box="none.toml")],
            beside=tmp_path,
        )
    assert (folder / NAME).read_bytes() == before
    assert list((folder / "boxes").iterdir()) == []


def test_a_class_whose_beginning_broke_off_is_begun_again(tmp_path: Path) -> None:
    """As when a stick is pulled out before the roll was written."""
    folder = begun(tmp_path / "class", ())
    (folder / NAME).unlink()
    assert begun(folder, ()) == folder
    (folder / NAME).unlink()
    painting = read_painting(folder / "lesson")
    save(folder / "lesson", replace(painting, sheets=({"file": "mine.pdf"},)))
    with refused(PaintingError, match="already holds a painting"):
        begun(folder, ())


def test_a_tube_said_by_its_index_name_alone_is_called_by_its_pigment(tmp_path: Path) -> None:
    box = box_of(tmp_path, FOUR[1])
    assert [tube.name for tube in box.tubes][1:] == [
        "hansa yellow light",
        "red iron oxide",
        "my blue",
    ]


DAMAGE = {
    "not TOML": ("name = = 3", "line 1, column 8"),
    "cut": ('format = "refmatch-class"\n[[student]]\nname = "A', "at its end"),
    "another file": ('format = "refmatch-box"\n', "refmatch-class"),
    "no rows": ('format = "refmatch-class"\nstudent = "Anna"\n', "[[student]]"),
    "a tube of figures": (
        'format = "refmatch-class"\n[[student]]\nname = "A"\ntubes = [1]\n',
        "1 is not text",
    ),
    "nothing to paint with": ('format = "refmatch-class"\n[[student]]\nname = "A"\n', "either"),
    "no name": ('format = "refmatch-class"\n[[student]]\ntubes = ["PW6"]\n', "not text"),
    "the tutor": (
        'format = "refmatch-class"\n[[student]]\nname = "tutor"\ntubes = ["PW6"]\n',
        "no student can be called Tutor",
    ),
    "two of one name": (
        'format = "refmatch-class"\n' + '[[student]]\nname = "A"\ntubes = ["PW6"]\n' * 2,
        "two are called 'A'",
    ),
    "deep": ("x = " + "[" * 5000 + "]" * 5000, "nested"),
}


@pytest.mark.parametrize("kind", DAMAGE)
def test_a_damaged_roll_is_told_in_one_sentence(tmp_path: Path, kind: str) -> None:
    folder = begun(tmp_path / "class", ())
    text, says = DAMAGE[kind]
    (folder / NAME).write_text(text)
    with refused(ClassError) as told:
        read_roll(folder)
    assert says in str(told.value.values["why"])


def test_a_newer_roll_is_refused(tmp_path: Path) -> None:
    folder = begun(tmp_path / "class", ())
    (folder / NAME).write_text('format = "refmatch-class"\nversion = 2\n')
    with refused(ClassError, match="newer refmatch"):
        read_roll(folder)


@pytest.mark.parametrize(
    ("student", "says"),
    [
        (Student("Eve", ("PW6", "moonstone")), "The box of 'Eve' does not serve: .*moonstone"),
        (Student("Eve", ("PB29",)), "The box of 'Eve' does not serve: .*white"),
        (Student("Eve", box="../../secret.toml"), "The box of 'Eve' does not serve"),
        (Student("Eve", ("PW6", "PB29=a", "PY3=a")), "Two tubes are called 'a'"),
    ],
)
def test_a_box_that_is_none_is_told_with_its_owner(
    tmp_path: Path, student: Student, says: str
) -> None:
    folder = begun(tmp_path / "class", ())
    before = (folder / NAME).read_bytes()
    with refused(ClassError, match=says):
        add(folder, [student])
    assert (folder / NAME).read_bytes() == before


@pytest.mark.parametrize("name", ["../../etc/passwd", "CON", "Ζωή", "a/b\\c:d*?", "..", "x" * 60])
def test_a_hand_out_is_called_by_letters_that_every_disk_takes(name: str) -> None:
    """Portable file names: POSIX.1-2017, 3.282, in small letters; none that Windows keeps."""
    assert set(slug(name)) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    called = file_name(3, name)
    assert called.startswith("03-")
    assert len(called) < 60
