"""The lesson's targets mixed from every box, so that the mixes of a class meet in colour.

All aim at the same colours: the painting's targets, in its key. What the boxes have in common is
the aim, not the recipe. Where a box cannot reach it, the tube to lend is sought in the other boxes
of the room, the tutor's first.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from refmatch.atelier.roll import LESSON, TUTOR, Roll, box_of, read_roll
from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import ClassError, RefmatchError
from refmatch.flag import Flag, flag_of
from refmatch.paint.box import Box, Tube
from refmatch.painting.asked import options_of
from refmatch.painting.model import Painting, TubeOnTable, chosen_recipe
from refmatch.painting.own_box import looked_at, on_table, tubes_on_table
from refmatch.painting.store import OpenPainting, open_folder
from refmatch.recipe.doubt import distance_within, generic_flags, metric, root
from refmatch.recipe.habits import Habits
from refmatch.recipe.hand import labs_by_hand
from refmatch.recipe.mixture import Entries, entries_of
from refmatch.recipe.model import Answer, Recipe
from refmatch.recipe.reach import HELPS_BY
from refmatch.recipe.solve import Bench, Options, lay_out, out_of_reach, solve, tube_to_lend
from refmatch.target import Target

Progress = Callable[[int, int, str], None]

NEARER = 1.0
"""Where another recipe of a box is expected to come so much nearer to the aim (dE00) than the first
choice, it is taken: in a class mixes must meet, and handiness comes second (own choice)."""

BOXES_AT_ONCE = 2
"""How many boxes are mixed from at the same time, each in a process of its own."""

FEW_BOXES = 6
"""So many are mixed from in this process: to start others takes longer (own trials)."""


@dataclass(frozen=True, eq=False)
class Loan:
    """A tube that would help, whose it is, and the mix that it makes with the borrower's own."""

    tube: str
    pigments: tuple[str, ...]
    owners: tuple[str, ...]
    recipe: Recipe


@dataclass(frozen=True, eq=False)
class Mix:
    """What a box makes of one target: ``recipe`` is the one to hand out.

    ``covariance`` (3, 3) is how far a real puddle's Lab may lie from the recipe's: hand, tubes and
    paint model together. ``loan`` is None where the aim is reached, or no tube in the room helps;
    then the answer's ``reach`` says which tube to buy.
    """

    answer: Answer
    recipe: Recipe
    covariance: Array
    loan: Loan | None = None


@dataclass(frozen=True, eq=False)
class Seat:
    """Somebody at work: the name, the box, what it is mixed into for each target, its cautions."""

    name: str
    box: Box
    mixes: tuple[Mix, ...]
    table: tuple[TubeOnTable, ...]
    flags: tuple[Flag, ...]

    @property
    def out_of_reach(self) -> tuple[int, ...]:
        """The places of the targets that the box cannot reach."""
        return tuple(at for at, mix in enumerate(self.mixes) if not mix.answer.in_gamut)


@dataclass(frozen=True)
class Spread:
    """How far the class's mixes of one target lie from one another, in dE00.

    ``on_paper`` is the largest difference of two recipes' colours, ``expected`` what half of all
    pairs of real puddles lie within, hands and tubes being as doubtful as they are. ``farthest``
    are the two who lie farthest apart on paper. ``lent`` is the largest difference once every tube
    is lent that would help.
    """

    on_paper: float
    lent: float
    expected: float
    farthest: tuple[str, str]


@dataclass(frozen=True, eq=False)
class Lesson:
    """A class's whole lesson: the painting, the tutor's seat and the students', and the spreads."""

    roll: Roll
    opened: OpenPainting
    tutor: Seat
    seats: tuple[Seat, ...]
    spreads: tuple[Spread, ...]

    @property
    def painting(self) -> Painting:
        """What everybody paints."""
        return self.opened.painting

    @property
    def targets(self) -> tuple[Target, ...]:
        """The colours that everybody aims at, in the painting's key."""
        return self.painting.targets

    @property
    def flags(self) -> tuple[Flag, ...]:
        """What to beware of: in the photo, its light, and all the boxes."""
        painting = self.painting
        of_boxes = (flag for seat in self.everybody for flag in seat.flags)
        return tuple(dict.fromkeys((*painting.flags, *painting.balance.flags, *of_boxes)))

    @property
    def everybody(self) -> tuple[Seat, ...]:
        """The tutor, then the students."""
        return (self.tutor, *self.seats)


def silent(done: int, of: int, doing: str) -> None:
    """Tell nobody."""


def lesson_of(folder: Path, progress: Progress = silent) -> Lesson:
    """Return the lesson of a class, mixed from every box.

    Each distinct box is mixed from once.

    Raises:
        ClassError: no class, a damaged one, nobody in it, or a box that is none.
        PaintingError: its lesson is no painting, or a damaged one.
    """
    folder = Path(folder)
    roll, opened = read_roll(folder), open_folder(folder / LESSON)
    painting = opened.painting
    if not roll.students:
        raise ClassError("class_empty", folder=str(folder))
    if not painting.targets:
        raise ClassError("lesson_without_targets", title=painting.title)
    boxes = [looked_at(box_of(folder, student), painting.finish) for student in roll.students]
    distinct = {_mark(box): box for box in reversed(boxes)}
    options = _plain(options_of(painting.asked))
    names = {
        mark: next(
            s.name for s, box in zip(roll.students, boxes, strict=True) if _mark(box) == mark
        )
        for mark in distinct
    }
    tutors = on_table(painting)
    owners = _owners([TUTOR, *(s.name for s in roll.students)], [tutors, *boxes])
    lent = [_to_lend(box, owners) for box in distinct.values()]
    tasks = [
        _Task(names[mark], box, options, painting.targets, tuple(tubes), tuple(tubes.values()))
        for (mark, box), tubes in zip(distinct.items(), lent, strict=True)
    ]
    found = dict(zip(distinct, _mixed(tasks, progress), strict=True))
    seats = tuple(
        _seat(student.name, box, found[_mark(box)])
        for student, box in zip(roll.students, boxes, strict=True)
    )
    tutor = _seat(TUTOR, tutors, _tutors(painting, tutors))
    spreads = tuple(
        _spread(target, at, (tutor, *seats)) for at, target in enumerate(painting.targets)
    )
    return Lesson(roll, opened, tutor, seats, spreads)


def _seat(name: str, box: Box, mixes: Sequence[Mix]) -> Seat:
    return Seat(name, box, tuple(mixes), tubes_on_table(box), generic_flags(box.tubes))


def _mark(box: Box) -> tuple[object, ...]:
    """Return what makes two boxes mix alike, and say so alike."""
    tubes = ((t.name, t.keys, t.absorption.tobytes(), t.scattering.tobytes()) for t in box.tubes)
    return (box.parts, box.surface, *tubes)


def _plain(options: Options) -> Options:
    """Return the lesson's limits and habits without what names tubes: each has others."""
    habits = options.habits
    return replace(
        options,
        habits=Habits(
            easy_on_black=habits.easy_on_black,
            no_white_in_darks=habits.no_white_in_darks,
            no_stray_green=habits.no_stray_green,
        ),
    )


# Mixing from each box. What is handed to another process is whole in itself.


@dataclass(frozen=True, eq=False)
class _Task:
    """A box to mix targets from, whose it is, and the tubes that others, their owners, may lend."""

    name: str
    box: Box
    options: Options
    targets: tuple[Target, ...]
    lent: tuple[Tube, ...]
    owners: tuple[tuple[str, ...], ...]


def _mixed(tasks: Sequence[_Task], progress: Progress) -> list[tuple[Mix, ...]]:
    if len(tasks) <= FEW_BOXES:
        return list(_counted(map(_mixed_from, tasks), tasks, progress))
    with ProcessPoolExecutor(BOXES_AT_ONCE, get_context("spawn")) as pool:
        return list(_counted(pool.map(_mixed_from, tasks), tasks, progress))


def _counted(
    found: Iterator[tuple[Mix, ...]], tasks: Sequence[_Task], progress: Progress
) -> Iterator[tuple[Mix, ...]]:
    for number, task in enumerate(tasks):
        progress(number, len(tasks), f"mixing from the box of {task.name}")
        yield next(found)


def _mixed_from(task: _Task) -> tuple[Mix, ...]:
    bench = lay_out(task.box, task.options)
    try:
        return tuple(_mix(task, bench, target) for target in task.targets)
    except RefmatchError as error:
        raise ClassError("box_of_student", student=task.name, why=flag_of(error)) from error


def _mix(task: _Task, bench: Bench, target: Target) -> Mix:
    answer = solve(bench, target, explained=False)
    recipe, loan = _meeting(answer), None
    if not answer.in_gamut:
        loan = _loan(task, answer, recipe)
        if loan is None:
            answer = replace(answer, reach=out_of_reach(bench, target, recipe, can_key=False))
    return Mix(answer, recipe, _covariance(bench.entries, recipe), loan)


def _meeting(answer: Answer) -> Recipe:
    """Return the recipe by which a box best meets the others: the first, unless it lies far off."""
    first = answer.recipes[0]
    nearest = min(answer.recipes, key=_expected)
    return nearest if _expected(first) - _expected(nearest) >= NEARER else first


def _expected(recipe: Recipe) -> float:
    known = recipe.delta_e_00_expected
    return recipe.delta_e_00_hand if known is None else known


def _loan(task: _Task, answer: Answer, without: Recipe) -> Loan | None:
    """Return the best loan in the room for a target out of reach."""
    tube = tube_to_lend(task.box, task.lent, answer.target_lab)
    if tube is None:
        return None
    bench = lay_out(replace(task.box, tubes=(*task.box.tubes, tube)), task.options)
    target = Target(answer.label, answer.target_lab)
    recipe = _meeting(solve(bench, target, explained=False))
    holds = any(portion.tube == tube.name for portion in recipe.portions)
    if not holds or without.delta_e_00 - recipe.delta_e_00 < HELPS_BY:
        return None
    return Loan(tube.name, tube.pigments, task.owners[task.lent.index(tube)], recipe)


def _covariance(entries: Entries, recipe: Recipe) -> Array:
    parts = np.zeros(len(entries.items))
    places = {(item.tube, item.white_parts): at for at, item in enumerate(entries.items)}
    if recipe.from_puddle is None:
        for laid in recipe.laid_out:
            parts[places[laid.tube, laid.let_down_white_parts]] += laid.parts
    else:
        for portion in recipe.portions:
            parts[places[portion.tube, 0]] += portion.parts
    by_hand: Array = np.cov(labs_by_hand(entries, parts), rowvar=False)
    return by_hand if recipe.covariance is None else by_hand + recipe.covariance


def _tutors(painting: Painting, box: Box) -> tuple[Mix, ...]:
    """Return the painting's own recipes, as they are saved and chosen."""
    entries, mixes = entries_of(box), []
    for at, answer in enumerate(painting.recipes):
        recipe = chosen_recipe(painting, at)
        if recipe is None:
            raise ClassError("lesson_without_recipe", target=painting.targets[at].label)
        mixes.append(Mix(answer, recipe, _covariance(entries, recipe)))
    return tuple(mixes)


# Whose tubes may be lent: one of each paint, by whom it was seen first, the tutor before others.

Paint = tuple[str, ...]
"""What a tube is, whatever it is called: its pigments, or its name where nothing else is known."""

Owners = dict[Paint, tuple[Tube, tuple[str, ...]]]


def _paint(tube: Tube) -> Paint:
    """Return a tube's pigments, in any order; oil or acrylic is one."""
    return tuple(sorted(key.removesuffix("-oil") for key in tube.keys)) or (tube.name.lower(),)


def _owners(names: Sequence[str], boxes: Sequence[Box]) -> Owners:
    found: Owners = {}
    for name, box in zip(names, boxes, strict=True):
        for tube in box.tubes:
            first, held = found.get(_paint(tube), (tube, ()))
            found[_paint(tube)] = (first, held if name in held else (*held, name))
    return found


def _to_lend(box: Box, owners: Owners) -> dict[Tube, tuple[str, ...]]:
    """Return whose it is by a tube of each paint in the room that the box lacks.

    Each is under a name that no tube of the box has.
    """
    own, names = {_paint(tube) for tube in box.tubes}, {tube.name.lower() for tube in box.tubes}
    lent = {}
    for paint, (tube, held) in owners.items():
        called = tube.name if tube.name.lower() not in names else f"{tube.name} (lent)"
        if paint not in own and called.lower() not in names:
            names.add(called.lower())
            lent[replace(tube, name=called)] = held
    return lent


def _spread(target: Target, at: int, seats: Sequence[Seat]) -> Spread:
    """Return how far the mixes of one target lie apart."""
    pairs = list(itertools.combinations(range(len(seats)), 2))
    labs = np.array([seat.mixes[at].recipe.lab for seat in seats])
    doubts = np.array([seat.mixes[at].covariance for seat in seats])
    one, other = np.array(pairs).T
    apart = delta_e_00(labs[one], labs[other])
    m = root(metric(target.lab))
    way = (labs[one] - labs[other]) @ m
    off = way / np.maximum(np.linalg.norm(way, axis=1), 1e-9)[:, None] * apart[:, None]
    expected = distance_within(off, m @ (doubts[one] + doubts[other]) @ m)
    worst = int(np.argmax(np.round(apart, 6)))
    loans = [(seat.mixes[at].loan, seat.mixes[at].recipe) for seat in seats]
    lent = np.array([(loan.recipe if loan else own).lab for loan, own in loans])
    return Spread(
        on_paper=float(apart[worst]),
        lent=float(delta_e_00(lent[one], lent[other]).max()),
        expected=float(np.median(expected)),
        farthest=(seats[int(one[worst])].name, seats[int(other[worst])].name),
    )
