"""The roll of a class: who paints the lesson, and with which tubes.

FOLDER/
  class.toml     the roll, to be read and edited by hand
  lesson/        the painting that everybody paints: its photo, holes and key; its box is the
                 tutor's
  boxes/*.toml   the box files of students who have one
  prints/*.pdf   what was printed; it can be printed again at any time
"""

from __future__ import annotations

import contextlib
import csv
import io
import os
import re
import tomllib
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from refmatch.disk import locked, make_folder, write_whole
from refmatch.errors import ClassError, RefmatchError
from refmatch.flag import flag_of
from refmatch.paint.box import GRADE_STRENGTH, Box
from refmatch.paint.box_file import built_in_box, built_in_boxes, read_box
from refmatch.paint.labelled import tube_labelled
from refmatch.paint.library import find_paint
from refmatch.paint.names import Neighbour
from refmatch.painting.model import Painting, plain_name
from refmatch.painting.states import make_inner
from refmatch.painting.store import (
    create,
    is_painting,
    keep_photo,
    mark_of,
    read_painting,
    save,
    saved_photo,
)
from refmatch.saved import text, whole

NAME, LESSON, BOXES, PRINTS = "class.toml", "lesson", "boxes", "prints"
FORMAT, VERSION = "refmatch-class", 1

INDEX_NAME = re.compile(r"P[A-Z]{1,2}[a-z]?\d+(:\d+)?", re.IGNORECASE)

LONGEST_NAME = 60
MOST_STUDENTS = 60
"""More than any room seats."""

TUTOR = "Tutor"
"""What the tutor is called in the answers; no student can be."""


@dataclass(frozen=True)
class Student:
    """A student, by a name or a number, and a box: a file in ``boxes``, a built-in one, or tubes.

    ``tubes`` are written PIGMENT or PIGMENT=NAME, all of one ``grade``; () where there is a
    ``box``: a file's name, or that of a box that comes with refmatch.
    """

    name: str
    tubes: tuple[str, ...] = ()
    box: str = ""
    grade: str = "artist"


@dataclass(frozen=True)
class Roll:
    """A class: what it is called, and its students in their order."""

    name: str
    students: tuple[Student, ...] = ()


def is_class(folder: Path) -> bool:
    """Say whether a folder holds a class, whole or damaged."""
    try:
        return (Path(folder) / NAME).is_file()
    except OSError:
        return False


def read_roll(folder: Path) -> Roll:
    """Read the roll of a class.

    Raises:
        ClassError: there is none here, or it is damaged.
    """
    path = Path(folder) / NAME
    if not is_class(folder):
        raise ClassError("no_class_here", folder=str(folder))
    try:
        return _roll_of(path.read_bytes().decode("utf-8"), Path(folder).name, str(path))
    except OSError as error:
        raise ClassError("class_unread", path=str(path)) from error
    except UnicodeDecodeError as error:
        raise ClassError("class_damaged", path=str(path), why="it is not UTF-8 text") from error


def begin(
    folder: Path,
    name: str,
    photo: Path,
    lesson: Painting,
    pictures: Mapping[str, bytes],
    *,
    others: Sequence[Path] = (),
) -> Roll:
    """Begin a class without students around a lesson; its folder is made where its parent is there.

    The lesson is kept without the record of any puddles that were mixed for it. ``others`` are its
    photos besides its own, in the order in which it asks for them.

    Raises:
        ClassError: there is a class already, or the lesson has no target. PaintingError,
            OutputError: it cannot be written.
    """
    folder, roll = Path(folder), Roll(name)
    check_free(folder)
    if not lesson.targets:
        raise ClassError("lesson_without_targets", title=lesson.title)
    make_folder(folder)
    with locked(folder):
        check_free(folder)
        for inner in (BOXES, PRINTS):
            make_inner(folder / inner)
        files = (other.file for other in lesson.asked.photos)
        kept = dict(zip(files, others, strict=True))
        _keep_lesson(folder / LESSON, photo, _unmixed(lesson), pictures, kept)
        write_whole(folder / NAME, _begun(roll).encode("utf-8"))
    return roll


def _keep_lesson(
    place: Path,
    photo: Path,
    lesson: Painting,
    pictures: Mapping[str, bytes],
    others: Mapping[str, Path],
) -> None:
    """Keep the lesson, over one of the same photo where a beginning broke off before the roll.

    ``others`` are its further photos, by the names of their copies.
    """
    if is_painting(place):
        mark, old = mark_of(place), read_painting(place)
        if old.photo.sha256 == saved_photo(photo).sha256 and _is_unmixed(old):
            for file, path in others.items():
                keep_photo(place, path, file)
            save(place, replace(lesson, photo=old.photo), pictures, over=mark)
            return
    create(place, photo, lesson, pictures, others)


def _is_unmixed(painting: Painting) -> bool:
    record = (painting.looks, painting.rounds, painting.sheets, painting.pencilled)
    return not any(record) and painting.revision == 0


def check_free(folder: Path) -> None:
    """Refuse a folder that holds a class.

    Raises:
        ClassError: so it does.
    """
    if is_class(folder):
        raise ClassError("class_taken", folder=str(folder))


def _unmixed(painting: Painting) -> Painting:
    return replace(
        painting,
        pictures=None,
        looks=(),
        rounds=(),
        sheets=(),
        learnings=(),
        pencilled=(),
        canvases=(),
        step=0,
        revision=0,
    )


def add(
    folder: Path,
    students: Sequence[Student],
    *,
    anew: bool = False,
    beside: Path | None = None,
) -> Roll:
    """Add students at the end of the roll; what is written there by hand stays as it is.

    A student whose name is there already is refused, or with ``anew`` takes that place. A box file
    is named from the folder ``beside``, None for the class's own boxes, and is copied into the
    class first: only the roll says which box is whose, so that all of them are added or none.

    Raises:
        ClassError: no class, a damaged one, a name that is taken, or too many students.
        BoxError: a student's tubes make no box. OutputError: it cannot be written.
    """
    folder = Path(folder)
    read_roll(folder)
    with locked(folder), _taken_back_unless_added() as copies:
        path = folder / NAME
        written = path.read_bytes().decode("utf-8")
        for student in students:
            name = student.name.lower()
            names = [old.name.lower() for old in _roll_of(written, folder.name, str(path)).students]
            if name in names and not anew:
                raise ClassError("student_taken", student=student.name)
            own = student if beside is None else _with_box_file(folder, student, beside, copies)
            box_of(folder, own)
            written = _with_row(written, own, names.index(name) if name in names else None)
        roll = _roll_of(written, folder.name, str(path))
        write_whole(path, written.encode("utf-8"))
    return roll


def _with_row(written: str, student: Student, place: int | None) -> str:
    """Return a roll with a student at the end, or in place of another."""
    import tomlkit  # slow to load, and only needed to write

    row = tomlkit.item(_row_of(student))
    if place is None:
        return f"{written.rstrip()}\n\n[[student]]\n{row.as_string()}"
    document = tomlkit.parse(written)
    document["student"][place] = row
    return tomlkit.dumps(document)


@contextlib.contextmanager
def _taken_back_unless_added() -> Iterator[list[Path]]:
    """Give a list of files to be noted in; they go where nobody is added in the end."""
    copies: list[Path] = []
    try:
        yield copies
    except (RefmatchError, OSError):
        for path in copies:
            with contextlib.suppress(OSError):
                path.unlink()
        raise


def student_said(name: str, tubes: Sequence[str], box: str, grade: str) -> Student:
    """Return a student as one row of words says it.

    Raises:
        ClassError: name, grade or tubes are none.
    """
    row = {"name": name, "tubes": list(tubes), "box": box, "grade": grade}
    return _student(row, "")


def _with_box_file(folder: Path, student: Student, beside: Path, copies: list[Path]) -> Student:
    """Return a student whose box file is copied into the class, and note the copy.

    A box that comes with refmatch, and tubes, stay as they are said. A copy that lies there, of
    whomever, is never written over.

    Raises:
        BoxError: it is no box. OutputError: it cannot be copied.
    """
    path = beside / student.box
    if not student.box or (student.box in built_in_boxes() and not path.is_file()):
        return student
    read_box(path)
    data = path.read_bytes()
    boxes = folder / BOXES
    make_inner(boxes)
    numbers = (f"-{number}" if number > 1 else "" for number in range(1, 10_000))
    for name in (f"{slug(student.name)}{number}.toml" for number in numbers):
        if not os.path.lexists(boxes / name):
            write_whole(boxes / name, data, over=False)
            copies.append(boxes / name)
        elif not _holds(boxes / name, data):
            continue
        return replace(student, box=name)
    raise AssertionError


def _holds(path: Path, data: bytes) -> bool:
    try:
        return path.is_file() and path.read_bytes() == data
    except OSError:
        return False


def box_of(folder: Path, student: Student) -> Box:
    """Return a student's box.

    Raises:
        ClassError: it cannot be read, or is none; the sentence says whose.
    """
    try:
        box = _box_of(Path(folder), student)
        _ = box.white
    except RefmatchError as error:
        raise ClassError("box_of_student", student=student.name, why=flag_of(error)) from error
    return box


def _box_of(folder: Path, student: Student) -> Box:
    if student.box.lower().endswith(".toml"):
        path = folder / BOXES / plain_name(student.box, folder / BOXES)
        return read_box(path)
    if student.box:
        return built_in_box(student.box)
    rows = [text.rpartition("=")[::2] if "=" in text else (text, "") for text in student.tubes]
    tubes = tuple(
        tube_labelled(pigment.strip(), name.strip() or _called(pigment), student.grade)
        for pigment, name in rows
    )
    names = [tube.name.lower() for tube in tubes]
    for tube in tubes:
        if names.count(tube.name.lower()) > 1:
            raise ClassError("tube_twice", tube=tube.name)
    return Box(student.name, tubes)


def _called(pigment: str) -> str | None:
    """Return what to call a tube that is only said by a Colour Index name: its pigment's words."""
    found = find_paint(pigment) if INDEX_NAME.fullmatch(pigment.strip()) else None
    return None if found is None or isinstance(found, Neighbour) else found.name.lower()


def slug(name: str) -> str:
    """Return a name as a file may be called on any system: a-z, 0-9 and hyphens; else "student"."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40].strip("-") or "student"


# Everybody at once: a table (CSV) with a row for each student, or the rows of a roll (TOML).


def students_of(path: Path) -> tuple[Student, ...]:
    """Read a list of students.

    A row of a CSV file is a name and then tubes, or a box: "Anna, PW6, PB29=my blue", "Ben,
    garden-table", "Cleo, student, PW6, PR101"; commas or semicolons part the cells. A TOML file
    holds the same rows as a class's own. Box files are named from the list's own folder.

    Raises:
        ClassError: it cannot be read, or a row is none.
    """
    try:
        data = Path(path).read_bytes()
        said = data.decode("utf-8-sig")
    except OSError as error:
        raise ClassError("class_unread", path=str(path)) from error
    except UnicodeDecodeError as error:
        raise ClassError("class_damaged", path=str(path), why="it is not UTF-8 text") from error
    if Path(path).suffix.lower() == ".toml":
        return _roll_of(said, Path(path).stem, str(path), of_class=False).students
    return students_in(said, str(path))


def students_in(said: str, where: str) -> tuple[Student, ...]:
    """Return the students of a table (CSV); ``where`` names it in a complaint.

    Raises:
        ClassError: it has no row, or one that is no student.
    """
    found = tuple(_from_cells(cells, where) for cells in _rows(said))
    if not found:
        raise ClassError("class_damaged", path=where, why="it has no row with a student")
    return found


def _rows(said: str) -> Iterable[list[str]]:
    sign = ";" if ";" in said.partition("\n")[0] else ","
    for cells in csv.reader(io.StringIO(said, newline=""), delimiter=sign, strict=False):
        kept = [cell.strip() for cell in cells if cell.strip()]
        if kept and not kept[0].startswith("#") and kept[0].lower() not in ("name", "student"):
            yield kept


def _from_cells(cells: Sequence[str], where: str) -> Student:
    name, *rest = cells
    grade = next((cell for cell in rest if cell.lower() in GRADE_STRENGTH), "artist")
    tubes = tuple(cell for cell in rest if cell.lower() not in GRADE_STRENGTH)
    row: dict[str, Any] = {"name": name, "grade": grade.lower(), "tubes": list(tubes)}
    if len(tubes) == 1 and (tubes[0].lower().endswith(".toml") or tubes[0] in built_in_boxes()):
        row = {"name": name, "box": tubes[0]}
    return _student(row, where)


# The roll as TOML.


def _roll_of(said: str, name: str, where: str, *, of_class: bool = True) -> Roll:
    try:
        raw = tomllib.loads(said)
    except RecursionError as error:
        raise ClassError("class_damaged", path=where, why="it is nested too deep") from error
    except ValueError as error:
        raise ClassError("class_damaged", path=where, why=_where(error)) from error
    if of_class and raw.get("format") != FORMAT:
        raise ClassError("class_damaged", path=where, why=f'it has no line format = "{FORMAT}"')
    try:
        if of_class and whole(raw.get("version", VERSION)) > VERSION:
            raise ClassError("class_newer", path=where)
        called = text(raw.get("name", name))
        rows = raw.get("student", [])
        if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
            raise ValueError("its students are not written as [[student]] rows")
    except ValueError as error:
        raise ClassError("class_damaged", path=where, why=str(error)) from error
    students = tuple(_student(row, where) for row in rows)
    names = [student.name.lower() for student in students]
    for student in students:
        if names.count(student.name.lower()) > 1:
            raise ClassError("class_damaged", path=where, why=f"two are called '{student.name}'")
    if len(students) > MOST_STUDENTS:
        raise ClassError("class_too_large", students=len(students), most=MOST_STUDENTS)
    return Roll(called, students)


def _student(row: dict[str, Any], where: str) -> Student:
    try:
        name = _printable(" ".join(_name(row.get("name")).split()))
        tubes = row.get("tubes", [])
        if not isinstance(tubes, list):
            raise ValueError(f"the tubes of '{name}' are not a list")
        student = Student(
            name=name,
            tubes=tuple(_printable(text(tube).strip()) for tube in tubes if text(tube).strip()),
            box=_printable(text(row.get("box", "")).strip()),
            grade=text(row.get("grade", "artist")).strip().lower(),
        )
        if not name or len(name) > LONGEST_NAME:
            raise ValueError(f"a student's name has 1 to {LONGEST_NAME} letters")
        if name.lower() == TUTOR.lower():
            raise ValueError("no student can be called Tutor; the lesson's own box is the tutor's")
        if bool(student.tubes) == bool(student.box):
            raise ValueError(f"'{name}' needs either tubes or a box")
        if student.grade not in GRADE_STRENGTH:
            raise ValueError(f"the grade of '{name}' is not artist or student")
    except ValueError as error:
        raise ClassError("class_damaged", path=where, why=str(error)) from error
    return student


def _printable(words: str) -> str:
    if not words.isprintable():
        raise ValueError("a name or a tube has a sign that cannot be printed")
    return words


def _name(value: Any) -> str:
    """Return a name; a number is one, too."""
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else text(value)


def _row_of(student: Student) -> dict[str, Any]:
    row: dict[str, Any] = {"name": student.name}
    row |= {"box": student.box} if student.box else {"tubes": list(student.tubes)}
    return row if student.grade == "artist" else {**row, "grade": student.grade}


def _begun(roll: Roll) -> str:
    import tomlkit

    document = tomlkit.document()
    document.add(tomlkit.comment("A class: who paints the lesson, and with which tubes."))
    document.add(tomlkit.comment("A student has tubes, PIGMENT or PIGMENT=NAME, or a box: a file"))
    document.add(tomlkit.comment("in the folder boxes, or one that comes with refmatch."))
    document.add("format", tomlkit.item(FORMAT))
    document.add("version", tomlkit.item(VERSION))
    document.add("name", tomlkit.item(roll.name))
    return tomlkit.dumps(document)


def _where(error: ValueError) -> str:
    """Say where a text stops being TOML: "it is not TOML at line 3, column 5"."""
    at = re.search(r"line (\d+), column (\d+)", str(error))
    return f"it is not TOML at line {at[1]}, column {at[2]}" if at else "it is not TOML at its end"
