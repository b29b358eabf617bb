"""What is said of a class: its roll, its boxes, and what is lent."""

from __future__ import annotations

from refmatch.say.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "no_class_here": "There is no class in '{folder}'; begin one there with a photo, or {remedy}.",
    "class_taken": "There is a class in '{folder}' already; add to it, or choose another folder.",
    "class_unread": "'{path}' cannot be read; see that it is there and that you may read it.",
    "class_damaged": "'{path}' is no list of a class: {why}; put that right by hand.",
    "class_newer": "'{path}' was written by a newer refmatch; update this one to open it.",
    "class_too_large": "A class of {students} is not offered; make two, of at most {most} each.",
    "class_empty": "Nobody is in the class '{folder}' yet; {remedy}.",
    "student_taken": "There is a '{student}' in the class already; choose another name, {remedy}.",
    "box_of_student": "The box of '{student}' does not serve: {why}",
    "box_of_student_taken": "Another box lies at '{path}' already; {remedy}.",
    "tube_twice": "Two tubes are called '{tube}'; give one another name.",
    "lesson_without_targets": (
        "The lesson in '{folder}' has no target; punch holes in its photo first."
    ),
    "lesson_without_recipe": "The lesson has no recipe for '{target}'; mix it anew first.",
    "print_there": "'{path}' is there already; {remedy}.",
}

REMEDIES: dict[str, Sentence] = {
    "no_class_here": "name another folder",
    "class_empty": "add a student with a box or a list of tubes",
    "student_taken": "or replace the one there",
    "box_of_student_taken": "move it away first",
    "print_there": "move it away first",
}
