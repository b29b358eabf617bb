"""A class's lesson in JSON."""

from __future__ import annotations

from refmatch.atelier.amounts import class_table
from refmatch.atelier.mixes import Lesson, Loan, Mix, Seat, Spread
from refmatch.encode.forms import Json, fields
from refmatch.recipe.model import Recipe
from refmatch.say.atelier import remarks
from refmatch.target import Target


def lesson_form(lesson: Lesson) -> Json:
    """Return the students, what everybody mixes for each target, and the amounts in all."""
    return {
        "name": lesson.roll.name,
        "title": lesson.painting.title,
        "students": [_seat(seat) for seat in lesson.seats],
        "targets": [
            _target(target, lesson.spreads[at], lesson, at)
            for at, target in enumerate(lesson.targets)
        ],
        "paints": list(class_table(lesson)),
        "parts_by": lesson.painting.parts_by,
    }


def _seat(seat: Seat) -> Json:
    return {
        "name": seat.name,
        "tubes": [tube.name for tube in seat.box.tubes],
        "targets_out_of_reach": len(seat.out_of_reach),
    }


def _target(target: Target, spread: Spread, lesson: Lesson, at: int) -> Json:
    return {
        "label": target.label,
        "lab": target.lab,
        "spread": {
            "on_paper_delta_e_00": spread.on_paper,
            "lent_delta_e_00": spread.lent,
            "expected_delta_e_00": spread.expected,
            "farthest": list(spread.farthest),
        },
        "mixes": [{"name": seat.name, **_mix(seat.mixes[at])} for seat in lesson.everybody],
    }


def _mix(mix: Mix) -> Json:
    return {
        "in_gamut": mix.answer.in_gamut,
        **_recipe(mix.recipe),
        "remarks": list(remarks(mix)),
        "loan": None if mix.loan is None else _loan(mix.loan),
    }


def _loan(loan: Loan) -> Json:
    return {**fields(loan, "recipe"), **_recipe(loan.recipe)}


def _recipe(recipe: Recipe) -> Json:
    return {
        "laid_out": list(recipe.laid_out),
        "portions": list(recipe.portions),
        "mix_lab": recipe.lab,
        "delta_e_00": recipe.delta_e_00,
        "delta_e_00_expected": recipe.delta_e_00_expected,
        "verdict": recipe.verdict,
    }
