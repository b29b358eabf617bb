"""The tutor's lesson: what moves each puddle of the sheet, and what white or black would do."""

from __future__ import annotations

from refmatch.painting.model import Painting, chosen_recipe
from refmatch.painting.own_box import box_of, on_table
from refmatch.recipe.nudge import Nudge, teach
from refmatch.say.recipe import alone_words, laid_line, nudge_words
from refmatch.say.sentence import NBSP, signed
from refmatch.say.sheet import heading
from refmatch.sheet.content import Lesson, NudgeLine

STEP_DELTA_E_00 = 5.0
"""How far each nudge goes: seen at a glance in print, which a nudge at the palette need not be."""


def lessons(painting: Painting) -> tuple[Lesson, ...]:
    """Return a lesson for each slip that has a recipe, in the tubes that are on the table.

    Raises:
        BoxError: the painting's box cannot be read, or lacks a tube of a recipe.
    """
    box, found = box_of(painting), []
    tried = on_table(painting)
    for index, target in enumerate(painting.targets):
        recipe = chosen_recipe(painting, index)
        if recipe is None:
            continue
        puddle = [(box.tube(portion.tube), portion.parts) for portion in recipe.portions]
        taught = teach(tried, puddle, step=STEP_DELTA_E_00)
        found.append(
            Lesson(
                number=index + 1,
                label=heading(target, index + 1),
                parts=laid_line(recipe),
                mix=taught.lab,
                nudges=tuple(
                    _line(nudge, nudge.direction, nudge_words(taught, nudge))
                    for nudge in taught.nudges
                ),
                instead=tuple(
                    _line(nudge, ALONE[nudge.direction], alone_words(taught, nudge))
                    for nudge in taught.instead
                ),
            )
        )
    return tuple(found)


ALONE = {"lighter": "white alone", "darker": "black alone"}
"""What is reached for instead of a nudge."""


def _line(nudge: Nudge, direction: str, words: str) -> NudgeLine:
    return NudgeLine(direction, nudge.lab, words, _differences(nudge))


def _differences(nudge: Nudge) -> str:
    """Return what it does in figures: "ΔL* +4.6, ΔC* −3.1, hue −12°"."""
    if nudge.delta_lstar is None or nudge.delta_cstar is None:
        return ""
    told = [
        f"ΔL*{NBSP}{signed(nudge.delta_lstar)}",
        f"ΔC*{NBSP}{signed(nudge.delta_cstar)}",
    ]
    if nudge.delta_hue_deg is not None:
        turn = f"{round(nudge.delta_hue_deg):+d}".replace("-", "−").replace("+0", "0")
        told.append(f"hue{NBSP}{turn}°")
    return ", ".join(told)
