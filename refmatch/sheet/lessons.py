"""The tutor's lesson: what moves each puddle of the sheet, and what white or black would do."""

from __future__ import annotations

from refmatch.painting.model import Painting, chosen_recipe
from refmatch.painting.own_box import box_of, on_table
from refmatch.recipe.nudge import Nudge, teach
from refmatch.sheet import wording
from refmatch.sheet.content import Lesson, NudgeLine

STEP_DELTA_E_00 = 5.0
"""How far each nudge goes: seen at a glance in print, which a nudge at the palette need not be."""

LESSONS_WORDS = (
    "What moves each puddle which way: the tube of this box that goes least astray, and what white "
    f"or black alone would do. Each is as much as moves it about ΔE00{wording.NBSP}"
    f"{STEP_DELTA_E_00:g} the wanted way, "
    "counted in the recipe's own parts; at the palette begin with half."
)


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
                label=wording.heading(target, index + 1),
                parts=wording.laid_line(recipe),
                mix=taught.lab,
                nudges=tuple(_line(nudge, nudge.direction) for nudge in taught.nudges),
                instead=tuple(_line(nudge, ALONE[nudge.direction]) for nudge in taught.instead),
            )
        )
    return tuple(found)


ALONE = {"lighter": "white alone", "darker": "black alone"}
"""What is reached for instead of a nudge."""


def _line(nudge: Nudge, direction: str) -> NudgeLine:
    return NudgeLine(direction, nudge.lab, nudge.words, _differences(nudge))


def _differences(nudge: Nudge) -> str:
    """Return what it does in figures: "ΔL* +4.6, ΔC* −3.1, hue −12°"."""
    if nudge.delta_lstar is None or nudge.delta_cstar is None:
        return ""
    told = [
        f"ΔL*{wording.NBSP}{wording.signed(nudge.delta_lstar)}",
        f"ΔC*{wording.NBSP}{wording.signed(nudge.delta_cstar)}",
    ]
    if nudge.delta_hue_deg is not None:
        turn = f"{round(nudge.delta_hue_deg):+d}".replace("-", "−").replace("+0", "0")
        told.append(f"hue{wording.NBSP}{turn}°")
    return ", ".join(told)
