"""A lesson mixed from every box: facts of mixing, and what a loan is worth."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np
import pytest

from refmatch.atelier import mixes
from refmatch.atelier.amounts import class_table, of_seat, puddles_ml
from refmatch.atelier.mixes import TUTOR, Lesson, lesson_of
from refmatch.atelier.roll import LESSON, Student
from refmatch.colorimetry.lab import delta_e_00
from refmatch.errors import ClassError
from refmatch.paint.box_file import built_in_box
from refmatch.painting.asked import AskedPlan
from refmatch.painting.reckon import Reckoner
from refmatch.painting.store import read_painting, save
from refmatch.photo.load import load
from refmatch.plan.amounts import Canvas
from refmatch.recipe.mixture import predict
from tests.atelier.example import FOUR, PHOTO, begun
from tests.atelier.example import lesson as made
from tests.refusals import refused


@pytest.fixture(scope="module")
def lesson(tmp_path_factory: pytest.TempPathFactory) -> Lesson:
    return made(tmp_path_factory.mktemp("class") / "tuesday")


def test_the_same_tubes_are_mixed_alike(lesson: Lesson) -> None:
    """Anna's box is the tutor's: what one can, the other can."""
    anna = lesson.seats[0]
    for at, mix in enumerate(anna.mixes):
        tutors = lesson.tutor.mixes[at]
        assert mix.answer.recipes[0].portions == tutors.answer.recipes[0].portions
        assert mix.answer.in_gamut == tutors.answer.in_gamut


def test_every_recipe_is_of_the_students_own_tubes(lesson: Lesson) -> None:
    for seat in lesson.everybody:
        names = {tube.name for tube in seat.box.tubes}
        for mix in seat.mixes:
            assert {portion.tube for portion in mix.recipe.portions} <= names


def test_all_aim_at_the_same_colours(lesson: Lesson) -> None:
    for seat in lesson.everybody:
        aims = np.array([mix.answer.target_lab for mix in seat.mixes])
        assert np.allclose(aims, [target.lab for target in lesson.targets])


def test_without_a_blue_no_blue_grey_is_reached(lesson: Lesson) -> None:
    """A yellow, a magenta and white make no bluish grey: there a blue or a black is lent."""
    without_blue = lesson.seats[3]
    blue = min(range(len(lesson.targets)), key=lambda at: lesson.targets[at].lab[2])
    mix = without_blue.mixes[blue]
    assert not mix.answer.in_gamut
    assert mix.loan is not None
    lender = next(seat for seat in lesson.everybody if seat.name == mix.loan.owners[0])
    tube = lender.box.tube(mix.loan.tube)
    assert tube.absorption[-8:].sum() > tube.absorption[:8].sum()  # it swallows the red


def test_a_loan_makes_what_it_says(lesson: Lesson) -> None:
    """Mixed by the model from lender's and borrower's curves, apart from any search."""
    loans = [(seat, mix) for seat in lesson.seats for mix in seat.mixes if mix.loan is not None]
    assert loans
    for seat, mix in loans:
        assert mix.loan is not None
        assert seat.name not in mix.loan.owners
        own = {tube.name: tube for tube in seat.box.tubes}
        for owner in mix.loan.owners:
            lender = next(one for one in lesson.everybody if one.name == owner)
            assert any(tube.pigments == mix.loan.pigments for tube in lender.box.tubes)
        lender = next(one for one in lesson.everybody if one.name == mix.loan.owners[0])
        lent = next(tube for tube in lender.box.tubes if tube.pigments == mix.loan.pigments)
        portions = mix.loan.recipe.portions
        tubes = [lent if p.tube == mix.loan.tube else own[p.tube] for p in portions]
        lab = predict(tubes, [portion.parts for portion in portions], seat.box.surface)
        assert np.allclose(lab, mix.loan.recipe.lab, atol=1e-6)
        with_loan = float(delta_e_00(lab, mix.answer.target_lab))
        assert with_loan <= mix.recipe.delta_e_00 - 1.0


def test_a_class_of_one_box_lies_together(tmp_path: Path) -> None:
    alike = tuple(Student(name, box="garden-table") for name in ("Ann", "Bea"))
    for spread in made(tmp_path / "alike", alike).spreads:
        assert spread.on_paper <= 3.0
        assert spread.expected > 1.0  # hands and tubes differ all the same


def test_the_spread_is_that_of_the_recipes(lesson: Lesson) -> None:
    for at, spread in enumerate(lesson.spreads):
        labs = {seat.name: seat.mixes[at].recipe.lab for seat in lesson.everybody}
        one, other = spread.farthest
        assert float(delta_e_00(labs[one], labs[other])) == pytest.approx(spread.on_paper)
        assert all(
            float(delta_e_00(a, b)) <= spread.on_paper + 1e-9
            for a in labs.values()
            for b in labs.values()
        )
        assert spread.lent <= spread.on_paper + 5.0


def test_processes_say_what_one_says(
    lesson: Lesson, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(mixes, "FEW_BOXES", 0)
    other = lesson_of(begun(tmp_path / "class", FOUR[2:]))
    for seat, again in zip(lesson.seats[2:], other.seats, strict=True):
        for mix, same in zip(seat.mixes, again.mixes, strict=True):
            assert mix.recipe.portions == same.recipe.portions


def test_the_key_of_the_plan_holds_for_all(tmp_path: Path) -> None:
    """A keyed painting's targets are not the photo's; everybody aims at the keyed ones."""
    folder = begun(tmp_path / "class", FOUR[1:2])
    old = read_painting(folder / LESSON)
    asked = dataclasses.replace(old.asked, plan=AskedPlan(), canvas=Canvas(40.0, 30.0))
    fresh = Reckoner(load(PHOTO)).reckon(asked, "2026-11-24")
    save(folder / LESSON, dataclasses.replace(fresh, pictures=old.pictures, photo=old.photo))
    lesson = lesson_of(folder)
    assert fresh.plan is not None
    keyed = [target.lab for target in fresh.plan.targets]
    assert np.allclose([mix.answer.target_lab for mix in lesson.seats[0].mixes], keyed)


def test_the_class_table_holds_what_all_recipes_take(lesson: Lesson) -> None:
    """A teaspoon of each of four targets, for four students and the tutor."""
    table = class_table(lesson)
    assert sum(row.volume_ml for row in table) == pytest.approx(5.0 * 4 * 5)
    white = next(row for row in table if row.pigments == ("PW6",))
    assert white.volume_ml == pytest.approx(
        sum(
            volume
            for seat in lesson.everybody
            for name, volume in of_seat(seat, puddles_ml(lesson.painting)).items()
            if seat.box.tube(name).pigments == ("PW6",)
        )
    )
    assert set(white.users) <= {TUTOR, *(student.name for student in FOUR)}
    for row in table:
        assert 37.0 * (row.tubes - 1) < row.volume_ml <= 37.0 * row.tubes


def test_a_class_of_nobody_is_refused(tmp_path: Path) -> None:
    with refused(ClassError, match="Nobody is in the class"):
        lesson_of(begun(tmp_path / "class", ()))


def test_the_tutors_box_is_the_lessons(lesson: Lesson) -> None:
    names = [tube.name for tube in lesson.tutor.box.tubes]
    assert names == [tube.name for tube in built_in_box().tubes]
