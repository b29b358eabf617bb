"""From a painting to what its sheet says: a pure function of the painting folder."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import value_words, with_halves
from refmatch.dabs.verdict import UNTOLD, WITHIN, Apart
from refmatch.errors import PaintingError, UsageError
from refmatch.painting.model import Mass, Painting, Round, chosen_recipe, picture_name
from refmatch.painting.own_box import box_of, on_table
from refmatch.painting.record import rounds_of
from refmatch.photo.load import Frame
from refmatch.plan.amounts import PUDDLE_ML, Canvas
from refmatch.plan.layers import GLAZE, puddle_in
from refmatch.recipe.model import Laid, Recipe
from refmatch.recipe.neutral import GreyStep, GreyString, grey_string
from refmatch.recipe.nudge import Nudge, teach
from refmatch.say import sheet as say
from refmatch.say.layers import GLAZE_REMARK, coat_words
from refmatch.say.nudges import (
    HOLDS,
    alone_words,
    instead_label,
    nudge_words,
    step_words,
    string_words,
)
from refmatch.say.recipe import (
    difference_words,
    laid_line,
    laid_rows,
    nearness_words,
    paper_words,
    straight_words,
    total_words,
)
from refmatch.say.sentence import NBSP, capital, listed, sentence, sentence_of, signed, whole
from refmatch.say.sheet import day, other_cautions
from refmatch.sheet.canvas_content import shown as canvas_shown
from refmatch.sheet.content import (
    Alternative,
    Content,
    GreyLine,
    Lesson,
    Mark,
    MassShare,
    NudgeLine,
    OtherShown,
    PartLine,
    RoundLine,
    Slip,
    StepLine,
)
from refmatch.sheet.easel import easel_lines, puddles_of
from refmatch.sheet.layers import layers_shown
from refmatch.sheet.plan import plan_shown
from refmatch.sheet.squeeze import squeezes
from refmatch.sheet.study import check_grid, study_of

# A puddle's history on its slip: each dab that was looked at, in a line.

MOST_ROUNDS = 6
"""So many are printed, the last ones; a puddle worth more is mixed anew."""


def history(painting: Painting, label: str) -> tuple[tuple[RoundLine, ...], str]:
    """Return the last rounds of a target, oldest first, and a word on those before them."""
    rounds = rounds_of(painting, label)
    dates = {look.photo.sha256: look.date for look in painting.looks}
    several = any(one.pile > 1 for one in rounds)
    shown = tuple(_line(one, dates.get(one.look, ""), several) for one in rounds[-MOST_ROUNDS:])
    more = len(rounds) - len(shown)
    return shown, f"{more} earlier {'look' if more == 1 else 'looks'} not shown" if more else ""


def _line(look: Round, date: str, several: bool) -> RoundLine:
    when = [day(date)] if date else []
    when += [f"puddle {look.pile}"] if several else []
    done = look.done.words if look.done else ""
    return RoundLine(
        when=", ".join(when) or "undated",
        target=look.target_lab,
        photographed=look.measured_lab,
        seen=look.lab,
        words=f"{_words(look)}, {_grounds(look)}",
        done=f"then {done}" if done else "",
    )


def _grounds(look: Round) -> str:
    """Return how far off it was believed to be, and by its photo alone, each with its p50."""
    photo = Apart.of(look.measured_lab, look.measured_covariance, look.target_lab)
    belief = Apart.of(look.lab, look.covariance, look.target_lab)
    return (
        f"ΔE00{NBSP}{look.delta_e_00:.1f}{NBSP}±{NBSP}{belief.p50:.1f} (photo alone "
        f"{photo.delta_e_00:.1f}{NBSP}±{NBSP}{photo.p50:.1f})"
    )


def _words(look: Round) -> str:
    if look.verdict == WITHIN:
        return "as near as its photo can tell"
    if look.verdict == UNTOLD:
        return "its photo could not tell"
    return look.words or "a little off in all"


# The tutor's lesson: what moves each puddle of the sheet, what is reached for instead, its grey.

STEP_DELTA_E_00 = 5.0
"""How far each nudge goes: seen at a glance in print, which a nudge at the palette need not be."""


def lessons(painting: Painting) -> tuple[Lesson, ...]:
    """Return a lesson for each slip that has a recipe, in the tubes that are on the table.

    Raises:
        BoxError: the painting's box cannot be read, or lacks a tube of a recipe.
    """
    box, made = box_of(painting), []
    tried = on_table(painting)
    for index in puddles_of(painting):
        target, recipe = painting.targets[index], chosen_recipe(painting, index)
        if recipe is None:
            continue
        puddle = [(box.tube(portion.tube), portion.parts) for portion in recipe.portions]
        taught = teach(tried, puddle, step=STEP_DELTA_E_00)
        string = grey_string(tried, puddle)
        made.append(
            Lesson(
                number=index + 1,
                label=say.heading(target, index + 1),
                parts=laid_line(recipe),
                mix=taught.lab,
                nudges=tuple(
                    _nudge_line(nudge, nudge.direction, nudge_words(taught, nudge))
                    for nudge in taught.nudges
                ),
                instead=tuple(
                    _nudge_line(nudge, instead_label(nudge), alone_words(taught, nudge))
                    for nudge in taught.instead
                ),
                value=value_words(taught.lab),
                to_grey_words=string_words(string),
                to_grey=tuple(_grey_line(string, step) for step in string.steps),
            )
        )
    return tuple(made)


def _grey_line(string: GreyString, step: GreyStep) -> GreyLine:
    return GreyLine(
        f"{step.parts}{NBSP}+{NBSP}{step.complement_parts}",
        step.lab,
        value_words(step.lab),
        HOLDS.get(step.holds, ""),
        step_words(string, step),
    )


def _nudge_line(nudge: Nudge, direction: str, words: str) -> NudgeLine:
    return NudgeLine(direction, nudge.lab, words, _differences(nudge))


def _differences(nudge: Nudge) -> str:
    """Return what it does in figures: "ΔL* +4.6, ΔC* −3.1, hue −12°"."""
    if nudge.delta_lstar is None or nudge.delta_cstar is None:
        return ""
    words = [
        f"ΔL*{NBSP}{signed(nudge.delta_lstar)}",
        f"ΔC*{NBSP}{signed(nudge.delta_cstar)}",
    ]
    if nudge.delta_hue_deg is not None:
        turn = f"{round(nudge.delta_hue_deg):+d}".replace("-", "−").replace("+0", "0")
        words.append(f"hue{NBSP}{turn}°")
    return ", ".join(words)


# The whole sheet.


PAGES, SLIP_SIZES = ("all", "easel", "slips"), ("full", "compact")
"""Which pages a sheet may have, and how its slips may look."""


@dataclass(frozen=True)
class Wanted:
    """What is wanted of a sheet, beside the painting itself.

    ``pages`` is one of `PAGES`, ``slips`` one of `SLIP_SIZES`, ``grid`` one of
    `refmatch.sheet.study.GRIDS`. With ``nudges`` the sheet also teaches what moves each puddle
    which way.
    """

    nudges: bool = False
    pages: str = "all"
    slips: str = "full"
    grid: str = ""


def check(wanted: Wanted, canvas: Canvas | None) -> None:
    """Refuse, before any long work, what no sheet can show.

    Raises:
        UsageError: there are no such pages, slips or squares.
    """
    if wanted.pages not in PAGES:
        raise UsageError("no_such_pages", pages=wanted.pages)
    if wanted.slips not in SLIP_SIZES:
        raise UsageError("no_such_slips", slips=wanted.slips)
    check_grid(wanted.grid, canvas)


AS_USUAL = Wanted()


def compose(
    painting: Painting, pictures: Mapping[str, bytes], wanted: Wanted = AS_USUAL
) -> Content:
    """Return the content of a painting's sheet.

    ``pictures`` holds "balanced", the frame's photo in sRGB, and "values" where
    there is a value study, encoded as JPEG or PNG. Where the painting is mixed by a plan, the
    sheet tells that.

    Raises:
        PaintingError: there is no balanced picture. BoxError: nudges are asked for, and the
            painting's box cannot be read. UsageError: what is wanted is not offered.
    """
    if "balanced" not in pictures:
        raise PaintingError("painting_without_picture")
    check(wanted, painting.asked.canvas)
    is_whole, puddles = wanted.pages == "all", puddles_of(painting)
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
        marks=_marks(painting, "", painting.frame),
        values=pictures.get("values"),
        values_words=_values_words(painting),
        masses=_masses(painting),
        palette=palette,
        palette_words=_palette_words(painting) if palette else say.NOTHING_YET,
        unused=listed(unused) if palette else "",
        cautions=say.cautions([tube for tube in painting.table if tube.name in used]),
        advice=say.advice(painting.finish),
        flags=_flags(painting),
        colours_of=f"CIELAB for {painting.viewing}; differences CIEDE2000",
        slips=tuple(
            _slip(painting, places)
            for places in (() if wanted.pages == "easel" else puddles.values())
        ),
        lessons=lessons(painting) if wanted.nudges and is_whole else (),
        lessons_words=say.lessons_words(STEP_DELTA_E_00) if wanted.nudges and is_whole else "",
        plan=plan_shown(painting.plan, painting) if painting.plan and is_whole else None,
        easel=() if wanted.pages == "slips" else easel_lines(painting),
        easel_words=_easel_words(painting),
        study=study_of(painting, wanted.grid) if is_whole else None,
        canvas=canvas_shown(painting, pictures) if is_whole else None,
        pages=wanted.pages,
        slip_size=wanted.slips,
        layers=layers_shown(painting) if is_whole else None,
        others=_others(painting, pictures),
    )


def _palette_words(painting: Painting) -> str:
    amounts = painting.plan.amounts if painting.plan else None
    return say.palette_words(PUDDLE_ML, amounts.canvas if amounts else None)


def _flags(painting: Painting) -> tuple[str, ...]:
    """Return what is to be said of the whole sheet, and of each other photo and its light."""
    own = [sentence_of(flag) for flag in (*painting.flags, *painting.balance.flags)]
    return (*own, *other_cautions(painting.others))


def _easel_words(painting: Painting) -> str:
    if painting.plan:
        return say.EASEL_BY_PLAN
    return say.EASEL_IN_LAYERS if painting.layers else say.EASEL_ALONE


def _others(painting: Painting, pictures: Mapping[str, bytes]) -> tuple[OtherShown, ...]:
    """Return the photos besides the painting's own, each with its holes."""
    return tuple(
        OtherShown(
            name=other.name,
            light=say.light_line(other.balance),
            photo=pictures[picture_name(other.name)],
            aspect=other.frame.width_px / other.frame.height_px,
            marks=_marks(painting, other.name, other.frame),
        )
        for other in painting.others
        if picture_name(other.name) in pictures
    )


def _marks(painting: Painting, photo: str, frame: Frame) -> tuple[Mark, ...]:
    marks = []
    for number, target in enumerate(painting.targets, start=1):
        if target.x_px is None or target.y_px is None or target.photo != photo:
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
    words = [f"{with_halves(step)} ({100.0 * share:.0f}{NBSP}%)" for step, share in steps]
    return f"Values {', '.join(words)}."


def _masses(painting: Painting) -> tuple[MassShare, ...]:
    numbers = {target.label: number for number, target in enumerate(painting.targets, start=1)}
    return tuple(
        MassShare(
            numbers.get(mass.label),
            mass.label,
            mass.lab,
            mass.share,
            _mass_words(painting, mass, numbers.get(mass.label)),
        )
        for mass in painting.families
    )


def _mass_words(painting: Painting, mass: Mass, number: int | None) -> str:
    """Return a mass by its name and value; that of its slip where it has one, and no other."""
    if number is not None:
        target = painting.targets[number - 1]
        return f"{say.heading(target, number)}, {value_words(target.lab)}"
    value = value_words(mass.lab)
    return mass.label if ", value " in mass.label else f"{mass.label}, {value}"


def _slip(painting: Painting, places: Sequence[int]) -> Slip:
    """Return the slip of the puddle that does for the targets at some places, its own first."""
    index, *others = places
    target, answer = painting.targets[index], painting.recipes[index]
    recipe = chosen_recipe(painting, index)
    flags = (*target.flags, *answer.flags, *(recipe.flags if recipe else ()))
    rounds, earlier = history(painting, target.label)
    title = say.heading(target, index + 1)
    lightness, a, b = (whole(value) for value in target.lab)
    numbers = f"L* {lightness}  a* {a}  b* {b}"
    named = [(other + 1, say.heading(painting.targets[other], other + 1)) for other in others]
    return Slip(
        number=index + 1,
        label=title,
        words=_words_of(painting, index, title),
        neighbours=painting.words[index].neighbours,
        target=target.lab,
        target_numbers=numbers,
        mix=recipe.lab if recipe else None,
        parts=_parts(painting, recipe) if recipe else (),
        total=total_words(recipe, painting.parts_by) if recipe else "",
        steps=_steps(recipe) if recipe else (),
        difference=(recipe.words or "no difference to look for") if recipe else "",
        distance=say.expected_words(recipe.verdict) if recipe else "",
        differences=difference_words(recipe) if recipe else "",
        trade=f"This is {recipe.trade}" if recipe and recipe.trade else "",
        alternatives=tuple(
            _alternative(other)
            for position, other in enumerate(answer.recipes)
            if position != painting.chosen[index]
        ),
        flags=tuple(dict.fromkeys(sentence_of(flag) for flag in flags)),
        out_of_reach=None if answer.in_gamut else _reach(answer.reach),
        straight=straight_words(recipe) if recipe else "",
        history=rounds,
        earlier=earlier,
        also=tuple(number for number, _ in named),
        one_puddle=say.one_puddle_words(index + 1, named) if named else "",
        figures=_figures(numbers, recipe),
        layer=_layer(painting, index),
    )


def _words_of(painting: Painting, index: int, title: str) -> str:
    """Return a colour in words, and the number that other slips call it by to draw from it."""
    words = say.beside_heading(painting.words[index].colour, title)
    puddles = painting.plan.puddles.puddles if painting.plan else ()
    sources = {puddle.drawn_from for puddle in puddles if puddle.laid_out}
    orders = (
        say.place_words(order)
        for order, puddle in enumerate(puddles, start=1)
        if puddle.target == index and puddle.label in sources
    )
    return ", ".join([words, *orders])


def _layer(painting: Painting, index: int) -> str:
    """Say which layer a puddle is for, and what is worked into it."""
    found = puddle_in(painting.layers, index)
    if found is None:
        return ""
    remark = [GLAZE_REMARK] if found[0].name == GLAZE and painting.plan else []
    return " ".join([coat_words(*found), *remark])


def _figures(target_numbers: str, recipe: Recipe | None) -> str:
    """Return what is reckoned behind a slip, for those who want it."""
    photo = f"Photo {target_numbers.replace('  ', ' ')}"
    if recipe is None:
        return f"{photo}."
    nearness = capital(nearness_words(recipe))
    return f"{photo}. {nearness}; {paper_words(recipe)}; {difference_words(recipe)}."


def _reach(reach: str | None) -> str:
    return sentence(reach or "out of reach of these tubes")


def _parts(painting: Painting, recipe: Recipe) -> tuple[PartLine, ...]:
    labs = [_laid_lab(painting, recipe, part) for part in recipe.laid_out]
    labs = [recipe.from_puddle.lab, *labs] if recipe.from_puddle else labs
    rows = laid_rows(recipe)
    total = sum(parts for parts, _ in rows)
    return tuple(
        PartLine(str(parts), words, lab, parts / total)
        for (parts, words), lab in zip(rows, labs, strict=True)
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
        say.expected_words(recipe.verdict),
        " ".join(sentence_of(flag) for flag in recipe.flags),
        recipe.better,
    )
