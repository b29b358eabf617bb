"""Classes on the shelf: begun with one of its paintings, filled from a table, mixed and printed.

PAINTINGS/classes/tuesday/  a class's folder, as `refmatch class` makes it
"""

from __future__ import annotations

import tempfile
import threading
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path

from refmatch.atelier.amounts import class_table
from refmatch.atelier.mixes import Lesson, lesson_of
from refmatch.atelier.roll import (
    LESSON,
    NAME,
    Roll,
    add,
    begin,
    is_class,
    read_roll,
    student_said,
    students_in,
)
from refmatch.encode import Json
from refmatch.encode.atelier_form import lesson_form
from refmatch.errors import ClassError, RefmatchError
from refmatch.painting.store import mark_of, open_folder, read_painting
from refmatch.say.atelier import lead, loan_lines, spread_words, table_row, table_words
from refmatch.say.sentence import sentence_of
from refmatch.say.sheet import heading
from refmatch.sheet.handout import Printed
from refmatch.sheet.handout_files import ALL_PDF, TUTOR_PDF, file_name
from refmatch.web.bench.files import key_of, make_folder
from refmatch.web.page import part
from refmatch.web.remedies import REMEDIES
from refmatch.web.shelf import Shelf, plain

FOLDER = "classes"
KEPT = 2
"""So many lessons stay mixed; a change of the class or its lesson makes the next one."""

BOX = "box.toml"

PASTED = "the table"
"""What a list that was typed on the page is called in a complaint."""


@dataclass(frozen=True, eq=False)
class ClassCard:
    """A class on the shelf."""

    key: str
    name: str
    title: str
    students: int


class Classes:
    """All classes of a shelf. Safe to ask from several threads."""

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self._lock = threading.Lock()
        self._mixed: OrderedDict[tuple[object, ...], Lesson] = OrderedDict()

    def cards(self) -> list[ClassCard]:
        """Return the classes that can be read, by name."""
        found = []
        for key, folder in self._folders().items():
            try:
                roll, lesson = read_roll(folder), read_painting(folder / LESSON)
            except RefmatchError:
                continue
            found.append(ClassCard(key, roll.name, lesson.title, len(roll.students)))
        return sorted(found, key=lambda card: (card.name.lower(), card.key))

    def begin(self, painting: str, name: str) -> str:
        """Begin a class around a painting of the shelf and return its key.

        Raises:
            PaintingError: no such painting, or a damaged one. OutputError: it cannot be written.
        """
        opened = open_folder(self.shelf.folder_of(painting))
        within = self.shelf.folder / FOLDER
        with self._lock:
            self.shelf.kept_boxes.make_shelf()
            make_folder(within)
            folder = self.shelf.free(plain(name), within)
            lesson, others = opened.painting, opened.others
            begin(folder, name, opened.photo, lesson, opened.pictures, others=others)
        return key_of(folder)

    def roll(self, key: str) -> Roll:
        """Return who is in a class.

        Raises:
            ClassError: there is none of that key, or it is damaged.
        """
        return read_roll(self._folder(key))

    def add(self, key: str, table: str, *, anew: bool) -> Roll:
        """Add students from a table, a row each as in a CSV file; see `roll.students_of`.

        Raises:
            ClassError: no such class, a row that is none, or a name that is taken.
        """
        return add(self._folder(key), students_in(table, PASTED), anew=anew)

    def add_with_box(self, key: str, name: str, box: str, *, anew: bool) -> Roll:
        """Add a student with a box of the shelf, of which the class keeps a copy.

        Raises:
            ClassError: no such class, a name that is taken or none. BoxError: no such box.
        """
        folder, content = self._folder(key), self.shelf.box_text(box)
        with tempfile.TemporaryDirectory(prefix="refmatch-") as beside:
            (Path(beside) / BOX).write_text(content, "utf-8")
            student = student_said(name, (), BOX, "artist")
            return add(folder, [student], anew=anew, beside=Path(beside))

    def lesson(self, key: str) -> Lesson:
        """Return a class's lesson, mixed from every box; kept while nothing changes.

        Raises:
            ClassError, PaintingError: it cannot be read, or nobody is in it.
        """
        folder = self._folder(key)
        with self._lock:
            state = (folder / NAME).stat()
            mark = (key, state.st_mtime_ns, state.st_size, mark_of(folder / LESSON))
            if mark not in self._mixed:
                self._mixed[mark] = lesson_of(folder)
            self._mixed.move_to_end(mark)
            while len(self._mixed) > KEPT:
                self._mixed.popitem(last=False)
            return self._mixed[mark]

    def pdf(self, key: str, name: str, paper: str) -> bytes:
        """Return a print by its file's name.

        Raises:
            ClassError: there is no such class or print. UsageError: no such paper.
        """
        from refmatch.sheet.handout_pages import write_handouts  # ReportLab is slow
        from refmatch.sheet.tutor_pages import write_tutor

        lesson = self.lesson(key)
        printed = Printed(lesson)
        if name == TUTOR_PDF:
            return write_tutor(printed.tutor, paper)
        for number, seat in enumerate(lesson.seats, start=1):
            if name == file_name(number, seat.name):
                return write_handouts([printed.handout(seat)], paper)
        if name != ALL_PDF:
            raise ClassError("no_such_print", file=name)
        return write_handouts([printed.handout(seat) for seat in lesson.seats], paper)

    def _folders(self) -> dict[str, Path]:
        within = self.shelf.folder / FOLDER
        if not within.is_dir():
            return {}
        return {key_of(folder): folder for folder in within.iterdir() if is_class(folder)}

    def _folder(self, key: str) -> Path:
        folder = self._folders().get(key)
        if folder is None:
            raise ClassError("no_such_class")
        return folder


def roll_shown(key: str, roll: Roll) -> Json:
    """Return a class and its students, each with what its own print is called."""
    students = [
        {
            "name": student.name,
            "tubes": list(student.tubes),
            "box": student.box,
            "grade": student.grade,
            "print": file_name(number, student.name),
        }
        for number, student in enumerate(roll.students, start=1)
    ]
    return {"id": key, "name": roll.name, "students": students}


def lesson_shown(lesson: Lesson) -> Json:
    """Return what `refmatch class mix --json` says, and the same in sentences."""
    people = len(lesson.everybody)
    return {
        **part(lesson_form(lesson)),
        "lead": lead(lesson),
        "headings": [heading(target, at) for at, target in enumerate(lesson.targets, start=1)],
        "spreads": [spread_words(spread) for spread in lesson.spreads],
        "loans": list(loan_lines(lesson)),
        "table_words": table_words(lesson),
        "table": [list(table_row(row, people)) for row in class_table(lesson)],
        "cautions": [sentence_of(flag, REMEDIES) for flag in lesson.flags],
    }
