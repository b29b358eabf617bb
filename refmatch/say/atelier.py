"""What is said of a class: its roll, its boxes, and what is lent."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from refmatch.plan.amounts import PUDDLE_ML, millilitres
from refmatch.recipe.reach import HELPS_BY, WITHIN_REACH, falls_short
from refmatch.say.recipe import laid_line
from refmatch.say.sentence import NBSP, Sentence, capital, counted, listed
from refmatch.say.sheet import canvas_size

if TYPE_CHECKING:  # only their shape is needed here
    from refmatch.atelier.amounts import OnTable
    from refmatch.atelier.mixes import Lesson, Loan, Mix, Spread


def _class_damaged(path: str, why: str) -> str:
    """Say what is wrong with a list; without a ``path``, with a student who was just said."""
    return (
        f"'{path}' is no list of a class: {why}; put that right by hand."
        if path
        else (f"{capital(why)}.")
    )


SENTENCES: dict[str, Sentence] = {
    "no_class_here": "There is no class in '{folder}'; {remedy}.",
    "class_taken": "There is a class in '{folder}' already; add to it, or choose another folder.",
    "class_unread": "'{path}' cannot be read; see that it is there and that you may read it.",
    "class_damaged": _class_damaged,
    "class_newer": "'{path}' was written by a newer refmatch; update this one to open it.",
    "class_too_large": "A class of {students} is not offered; make two, of at most {most} each.",
    "class_empty": "Nobody is in the class '{folder}' yet; {remedy}.",
    "student_taken": "There is a '{student}' in the class already; choose another name, {remedy}.",
    "box_of_student": "The box of '{student}' does not serve: {why}",
    "tube_twice": "Two tubes are called '{tube}'; give one another name.",
    "no_such_class": "There is no such class on the shelf; load the page anew.",
    "no_such_print": "The class has no print called '{file}'.",
    "lesson_without_targets": (
        "The lesson '{title}' has no target; punch holes in its photo first."
    ),
    "lesson_without_recipe": "The lesson has no recipe for '{target}'; mix it anew first.",
}

REMEDIES: dict[str, Sentence] = {
    "no_class_here": "begin one there with a photo",
    "class_empty": "add a student with a box or a list of tubes",
    "student_taken": "or replace the one there",
}


def lead(lesson: Lesson) -> str:
    """Say what the tutor's sheet is: who paints, what, with how many boxes."""
    seats = counted(len(lesson.seats), "student")
    targets = counted(len(lesson.targets), "target")
    return (
        f"{lesson.painting.title}: {seats} and the tutor, {targets}. All aim at the same colours"
        f"{', in the key of the plan' if lesson.painting.plan else ''}; each mixes them from the "
        "tubes there are."
    )


def in_photo(label: str, photo: str) -> str:
    """Return what a target is called, and in which photo its hole is where that is another."""
    return f"{label}, in “{photo}”" if photo else label


def nearness(mix: Mix) -> str:
    """Return how near a mix comes: "near, ΔE00 1.2 on paper, expect 3.1"."""
    recipe = mix.recipe
    words = f"{recipe.verdict}, ΔE00{NBSP}{recipe.delta_e_00:.1f} on paper"
    if recipe.delta_e_00_expected is None:
        return words
    return f"{words}, expect{NBSP}{recipe.delta_e_00_expected:.1f}"


def remarks(mix: Mix) -> tuple[str, ...]:
    """Return what must be known of a mix that does not reach its aim: in what, what to lend."""
    if mix.answer.in_gamut:
        return ()
    short = falls_short(mix.answer.target_lab, mix.recipe.lab)
    told = f"Out of reach of these tubes. {short}"
    if mix.loan is None:
        return (mix.answer.reach or told, NOBODY_LENDS)
    return (told, loan_words(mix.loan))


NOBODY_LENDS = "No tube in the room brings it much nearer."


def loan_words(loan: Loan) -> str:
    """Say what to borrow, of whom, and what it then makes."""
    comes = "reaches it" if loan.recipe.delta_e_00 <= WITHIN_REACH else "comes nearer"
    tube, pigments = loan.tube.removesuffix(" (lent)"), index_names(loan.pigments)
    named = f"{tube} ({pigments})" if pigments else tube
    return f"Borrow {named} from {whose(loan.owners)}: {laid_line(loan.recipe)} {comes} on paper."


def index_names(pigments: Sequence[str]) -> str:
    """Return the Colour Index names among a tube's pigments; a name in words says nothing more."""
    return " + ".join(name for name in pigments if name[:1] == "P" and name[-1:].isdigit())


MOST_OWNERS = 3


def whose(owners: Sequence[str]) -> str:
    """Return who has a tube, the first few by name: "the tutor, Anna or Ben"."""
    named = ["the tutor" if name == "Tutor" else name for name in owners]
    more = len(named) - MOST_OWNERS
    shown = named[:MOST_OWNERS] if more > 0 else named
    return listed([*shown, f"{more} more"] if more > 0 else shown, "or")


def loan_lines(lesson: Lesson) -> tuple[str, ...]:
    """Return a line for each tube to lend: to whom, for which targets."""
    wanted: dict[tuple[str, tuple[str, ...]], dict[str, list[int]]] = {}
    for seat in lesson.seats:
        for at, mix in enumerate(seat.mixes):
            if mix.loan is not None:
                key = (mix.loan.tube.removesuffix(" (lent)"), mix.loan.owners)
                wanted.setdefault(key, {}).setdefault(seat.name, []).append(at + 1)
    return tuple(
        f"{capital(tube)}, of {whose(owners)}: to "
        + listed([f"{name} (for {listed([str(n) for n in at])})" for name, at in students.items()])
        + "."
        for (tube, owners), students in wanted.items()
    )


def spread_words(spread: Spread) -> str:
    """Say how far the class lies apart at a target."""
    one, other = spread.farthest
    gained = spread.on_paper - spread.lent >= HELPS_BY
    lent = f", with what is lent within {spread.lent:.1f}" if gained else ""
    return (
        f"On paper the class lies within ΔE00{NBSP}{spread.on_paper:.1f} ({one} and {other} "
        f"farthest apart){lent}; two real puddles, expect{NBSP}{spread.expected:.1f}."
    )


def table_words(lesson: Lesson) -> str:
    """Say what the amounts of the class table are for."""
    people = f"{counted(len(lesson.seats), 'student')} and the tutor"
    canvas = lesson.painting.asked.canvas
    if canvas is None:
        return f"For {people}, a puddle of a teaspoon ({PUDDLE_ML:g}{NBSP}ml) of each target."
    return f"For {people}, a canvas of {canvas_size(canvas)} each, half as much again to spare."


def table_row(row: OnTable, people: int) -> tuple[str, str, str, str]:
    """Return a row of the class table: paint, millilitres, tubes, and for whom."""
    users = "everybody" if len(row.users) == people else listed(row.users)
    named = " or ".join(row.names[:2]) + (" …" if len(row.names) > 2 else "")
    pigments = index_names(row.pigments)
    paint = f"{named} ({pigments})" if pigments else named
    return paint, volume(row.volume_ml), str(row.tubes), users


def volume(ml: float) -> str:
    """Return millilitres as they are laid on a table: what is less than a tenth is a touch."""
    return millilitres(ml) if ml >= LEAST_ML else "a touch"


LEAST_ML = 0.1


GUESS_FIRST, YOUR_RECIPES, TUTORS_SHEET = "guess first", "your recipes", "tutor's sheet"
GUESS_HOW = (
    "Before you turn the page: write for each colour which of your tubes you would take, and how "
    "many parts of each. Mix it, and put a dab beside the printed colour."
)
RECIPES_HOW = (
    "Left the colour, right what these parts make of it. Everybody aims at the same colours; the "
    "parts are for your own tubes. Mix, dab, compare through the punched card, correct: the dab is "
    "the judge."
)
DAB, PARTS, TUBE = "your dab", "parts", "of which tube"
LAY_OUT, BEWARE, CONTINUED = "Lay out", "Beware", "continued"
LOANS, NO_LOANS = "To lend", "Nothing: no box gains by another's tube."
CLASS_TABLE = "For the class table"
TABLE_HEAD = ("Paint", "In all", "Tubes, 37 ml", "For")
