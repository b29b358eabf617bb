"""A painting planned anew with other tubes: what is not begun is mixed anew, all else stays.

A puddle that was looked at lies on the palette; its recipe says what is in it, whatever the box
has learnt since.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml
from refmatch.painting.history import read_history
from refmatch.painting.model import Painting
from refmatch.painting.own_box import looked_at
from refmatch.painting.table import tubes_on_table
from refmatch.recipe.model import Answer
from refmatch.recipe.solve import Options
from refmatch.recipe.together import UNDER_LAMP, side_by_side
from refmatch.target import places_px
from refmatch.verbs.mix import GENERIC, generic_flags, mix
from refmatch.verbs.studio.reckoner import options_of

SAME_PLACE_PX = 0.5
"""A hole asked for is the one punched where both lie in the same place."""


def with_box(painting: Painting, text: str, before: Painting | None = None) -> Painting:
    """Return the painting with another box (its text) of the same tubes.

    ``before`` is a plan that was made with that box: where a target asks for the same, its recipes
    are taken as they then were.

    Raises:
        BoxError: it is no box, or it lacks what a recipe must hold.
    """
    box = looked_at(box_from_toml(text, "the painting's box"), painting.finish)
    found = _found(painting, box, before)
    flags = [flag for flag in painting.flags if flag.name != GENERIC.name]
    answers = [_without_lamps(answer) for answer, _ in found]
    return replace(
        painting,
        box=text,
        table=tubes_on_table(box),
        recipes=side_by_side(answers, box, places_px(painting.targets)) if answers else (),
        chosen=tuple(choice for _, choice in found),
        flags=(*flags, *generic_flags(box.tubes)),
        asked=replace(painting.asked, box=text) if painting.asked else None,
    )


def stepped(folder: Path, painting: Painting, before: Painting, said: str) -> Painting:
    """Return the painting at a new step of its history, called ``said``, that undo takes back.

    Only what the page planned has a history.

    Raises:
        OutputError: it cannot be written.
    """
    if painting.asked is None or before.asked is None:
        return painting
    history, step = read_history(folder, before.step), before.step
    if step not in history.steps:
        step = history.record(before.asked, "open the folder", max(history.steps, default=None))
    return replace(painting, step=history.record(painting.asked, said, step))


def options_for(painting: Painting, place: int) -> Options:
    """Return how a recipe may look: as the page was asked for, or the command, else as usual."""
    if painting.asked is None:
        return painting.options or Options()
    saved, frame = painting.holes[place], painting.frame
    at = (saved.x_px + frame.left_px, saved.y_px + frame.top_px)
    holes = [
        hole
        for hole in painting.asked.holes
        if max(abs(hole.x_px - at[0]), abs(hole.y_px - at[1])) < SAME_PLACE_PX
    ]
    return options_of(painting.asked, holes[0] if holes else None)


def not_begun(painting: Painting) -> tuple[int, ...]:
    """Return the places of the targets whose puddle was never looked at."""
    begun = {each.target for each in painting.rounds}
    return tuple(n for n, target in enumerate(painting.targets) if target.label not in begun)


def _found(painting: Painting, box: Box, before: Painting | None) -> list[tuple[Answer, int]]:
    """Return each target's recipes, and which is chosen."""
    found = list(zip(painting.recipes, painting.chosen, strict=True))
    for place in not_begun(painting):
        then = _same(painting, place, before)
        if before is not None and then is not None:
            found[place] = before.recipes[then], before.chosen[then]
            continue
        answer = mix([painting.targets[place]], box, options_for(painting, place)).answers[0]
        found[place] = answer, _chosen(painting, place, answer)
    return found


def _same(painting: Painting, place: int, before: Painting | None) -> int | None:
    """Return the place of the target of an earlier plan that asked for the same, if any did."""
    if before is None or before.finish != painting.finish:
        return None
    target, options = painting.targets[place], options_for(painting, place)
    for then, each in enumerate(before.targets):
        is_same = each.label == target.label and np.array_equal(each.lab, target.lab)
        if is_same and options_for(before, then) == options:
            return then
    return None


def _chosen(painting: Painting, place: int, answer: Answer) -> int:
    """Return the recipe of the kind that was chosen; the first where there is no such any more."""
    before = painting.recipes[place].recipes
    why = before[painting.chosen[place]].why if before else ""
    whys = [recipe.why for recipe in answer.recipes]
    return whys.index(why) if why in whys else 0


def _without_lamps(answer: Answer) -> Answer:
    """Undo what `side_by_side` adds: it hangs on the neighbours, which may change."""
    recipes = tuple(
        replace(recipe, flags=tuple(flag for flag in recipe.flags if flag.name != UNDER_LAMP))
        for recipe in answer.recipes
    )
    return replace(answer, recipes=recipes)
