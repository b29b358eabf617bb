"""From a painting to what its sheet says: a pure function of the painting folder."""

from __future__ import annotations

from collections.abc import Mapping

from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import value_words, with_halves
from refmatch.dabs.verdict import WITHIN
from refmatch.errors import PaintingError
from refmatch.painting.model import Mass, Painting, Round, chosen_recipe
from refmatch.painting.record import rounds_of
from refmatch.plan.amounts import PUDDLE_ML
from refmatch.recipe.model import Laid, Recipe
from refmatch.say import sheet as say
from refmatch.say.recipe import difference_words, distance_words, laid_line, laid_words, total_words
from refmatch.say.sentence import NBSP, listed, sentence, sentence_of, whole
from refmatch.say.sheet import day
from refmatch.sheet.content import (
    Alternative,
    Content,
    Mark,
    MassShare,
    PartLine,
    RoundLine,
    Slip,
    StepLine,
)
from refmatch.sheet.lessons import STEP_DELTA_E_00, lessons
from refmatch.sheet.plan import plan_shown
from refmatch.sheet.squeeze import squeezes

# A puddle's history on its slip: each dab that was looked at, in a line.

MOST_ROUNDS = 6
"""So many are printed, the last ones; a puddle worth more is mixed anew."""


def history(painting: Painting, label: str) -> tuple[tuple[RoundLine, ...], str]:
    """Return the last rounds of a target, oldest first, and a word on those before them."""
    rounds = rounds_of(painting, label)
    dates = {look.photo.sha256: look.date for look in painting.looks}
    several = any(each.pile > 1 for each in rounds)
    shown = tuple(_line(each, dates.get(each.look, ""), several) for each in rounds[-MOST_ROUNDS:])
    more = len(rounds) - len(shown)
    return shown, f"{more} earlier {'look' if more == 1 else 'looks'} not shown" if more else ""


def _line(each: Round, date: str, several: bool) -> RoundLine:
    when = [day(date)] if date else []
    when += [f"puddle {each.pile}"] if several else []
    done = each.done.words if each.done else ""
    return RoundLine(
        when=", ".join(when) or "undated",
        target=each.target_lab,
        seen=each.lab,
        words=f"{_words(each)}, ΔE00{NBSP}{each.delta_e_00:.1f}",
        done=f"then {done}" if done else "",
    )


def _words(each: Round) -> str:
    if each.verdict == WITHIN:
        return "as near as its photo can tell"
    return each.words or "a little off in all"


def compose(
    painting: Painting,
    pictures: Mapping[str, bytes],
    *,
    nudges: bool = False,
) -> Content:
    """Return the content of a painting's sheet.

    ``pictures`` holds "balanced", the frame's photo in sRGB, and "values" where
    there is a value study, encoded as JPEG or PNG. With ``nudges`` the sheet also
    teaches what moves each puddle which way; where the painting is mixed by a plan, it tells that.

    Raises:
        PaintingError: there is no balanced picture. BoxError: nudges are asked for, and the
            painting's box cannot be read.
    """
    if "balanced" not in pictures:
        raise PaintingError("painting_without_picture")
    palette = squeezes(painting)
    used = {squeeze.tube for squeeze in palette}
    laid_out = painting.plan.advice.chosen.tubes if painting.plan else ()
    unused = [tube.name for tube in painting.table if tube.name not in {*used, *laid_out}]
    return Content(
        title=painting.title,
        date=say.day(painting.date),
        light=f"{say.light_line(painting.balance)} · {say.viewing_words(painting.viewing)}",
        photo=pictures["balanced"],
        aspect=painting.frame.width_px / painting.frame.height_px,
        marks=_marks(painting),
        values=pictures.get("values"),
        values_words=_values_words(painting),
        masses=_masses(painting),
        palette=palette,
        palette_words=say.palette_words(PUDDLE_ML) if palette else say.NOTHING_YET,
        unused=listed(unused) if palette else "",
        cautions=say.cautions([tube for tube in painting.table if tube.name in used]),
        advice=say.advice(painting.finish),
        flags=tuple(sentence_of(flag) for flag in (*painting.flags, *painting.balance.flags)),
        colours_of=f"CIELAB for {painting.viewing}; differences CIEDE2000",
        slips=tuple(_slip(painting, index) for index in range(len(painting.targets))),
        lessons=lessons(painting) if nudges else (),
        lessons_words=say.lessons_words(STEP_DELTA_E_00) if nudges else "",
        plan=plan_shown(painting.plan, painting) if painting.plan else None,
    )


def _marks(painting: Painting) -> tuple[Mark, ...]:
    frame, marks = painting.frame, []
    for number, target in enumerate(painting.targets, start=1):
        if target.x_px is None or target.y_px is None:
            continue
        x, y = target.x_px / frame.width_px, target.y_px / frame.height_px
        diameter = (target.diameter_px or 0.0) / frame.width_px
        if 0.0 <= x <= 1.0 and 0.0 <= y <= 1.0:
            marks.append(Mark(number, target.label, x, y, diameter))
    return tuple(marks)


def _values_words(painting: Painting) -> str:
    if painting.values is None:
        return ""
    steps = zip(painting.values.steps, painting.values.shares, strict=True)
    told = [f"{with_halves(step)} ({100.0 * share:.0f} %)" for step, share in steps]
    return f"Values {', '.join(told)}."


def _masses(painting: Painting) -> tuple[MassShare, ...]:
    numbers = {target.label: number for number, target in enumerate(painting.targets, start=1)}
    return tuple(
        MassShare(numbers.get(mass.label), mass.label, mass.lab, mass.share, _mass_words(mass))
        for mass in painting.families
    )


def _mass_words(mass: Mass) -> str:
    """Return the mass by its name and value, which the name may hold already."""
    value = value_words(mass.lab)
    return mass.label if value in mass.label else f"{mass.label}, {value}"


def _slip(painting: Painting, index: int) -> Slip:
    target, answer = painting.targets[index], painting.recipes[index]
    recipe, words = chosen_recipe(painting, index), painting.words[index]
    flags = (*target.flags, *answer.flags, *(recipe.flags if recipe else ()))
    rounds, earlier = history(painting, target.label)
    lightness, a, b = (whole(value) for value in target.lab)
    return Slip(
        number=index + 1,
        label=say.heading(target, index + 1),
        words=words.colour,
        neighbours=words.neighbours,
        target=target.lab,
        target_numbers=f"L* {lightness}  a* {a}  b* {b}",
        mix=recipe.lab if recipe else None,
        parts=_parts(painting, recipe) if recipe else (),
        total=total_words(recipe, painting.parts_by) if recipe else "",
        steps=_steps(recipe) if recipe else (),
        difference=(recipe.words or "no difference to look for") if recipe else "",
        distance=distance_words(recipe) if recipe else "",
        differences=difference_words(recipe) if recipe else "",
        trade=f"This is {recipe.trade}" if recipe and recipe.trade else "",
        alternatives=tuple(
            _alternative(other)
            for position, other in enumerate(answer.recipes)
            if position != painting.chosen[index]
        ),
        flags=tuple(dict.fromkeys(sentence_of(flag) for flag in flags)),
        out_of_reach=None if answer.in_gamut else _reach(answer.reach),
        history=rounds,
        earlier=earlier,
    )


def _reach(reach: str | None) -> str:
    return sentence(reach or "out of reach of these tubes")


def _parts(painting: Painting, recipe: Recipe) -> tuple[PartLine, ...]:
    total = sum(part.parts for part in recipe.laid_out)
    return tuple(
        PartLine(
            str(part.parts),
            laid_words(part),
            _laid_lab(painting, recipe, part),
            part.parts / total,
        )
        for part in recipe.laid_out
    )


def _laid_lab(painting: Painting, recipe: Recipe, part: Laid) -> Array:
    """Return the colour of what is laid out: the tube's masstone, or its let-down."""
    tube = next((tube for tube in painting.table if tube.name == part.tube), None)
    if tube is None:
        raise PaintingError("recipe_names_no_tube", tube=part.tube)
    if not part.let_down_white_parts:
        return tube.masstone
    let_down = (s.lab for s in recipe.steps if s.action == "let down" and s.tube == part.tube)
    return next(let_down, tube.tint)


def _steps(recipe: Recipe) -> tuple[StepLine, ...]:
    return tuple(
        StepLine(step.text, step.lab, tuple(sentence_of(flag) for flag in step.flags))
        for step in recipe.steps
    )


def _alternative(recipe: Recipe) -> Alternative:
    return Alternative(
        recipe.why,
        laid_line(recipe),
        recipe.lab,
        distance_words(recipe),
        " ".join(sentence_of(flag) for flag in recipe.flags),
    )
