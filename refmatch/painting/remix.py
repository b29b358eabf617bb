"""A painting planned anew with other tubes: what is not begun is mixed anew, all else stays.

A puddle that was looked at lies on the palette; its recipe says what is in it, whatever the box
has learnt since.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import numpy as np

from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml
from refmatch.painting.history import read_history
from refmatch.painting.model import Painting
from refmatch.painting.own_box import hole_of, looked_at, options_for, tubes_on_table
from refmatch.painting.planned import plan_of
from refmatch.painting.store import Mark, save
from refmatch.painting.target_words import words_of
from refmatch.plan.whole import WholePlan, chosen_of, solved, with_begun
from refmatch.recipe.doubt import GENERIC, generic_flags
from refmatch.recipe.model import Answer
from refmatch.recipe.together import side_by_side, without_lamps
from refmatch.target import places_px


def with_box(painting: Painting, text: str, before: Painting | None = None) -> Painting:
    """Return the painting with another box (its text) of the same tubes.

    ``before`` is a plan that was made with that box: where a target asks for the same, its recipes
    are taken as they then were. A painting that is mixed by a plan is planned anew.

    Raises:
        BoxError: it is no box, or it lacks what a recipe must hold.
    """
    box = looked_at(box_from_toml(text, "the painting's box"), painting.finish)
    painting = replace(painting, asked=replace(painting.asked, box=text))
    if painting.plan is not None:
        begun = set(range(len(painting.targets))).difference(not_begun(painting))
        old = replace(painting.plan, answers=painting.recipes, chosen=painting.chosen)
        painting, fresh = _planned(painting, painting.plan, box)
        box, fresh = fresh.box, with_begun(fresh, old, begun)
        pairs = list(zip(fresh.answers, fresh.chosen, strict=True))
    else:
        fresh, pairs = None, _kept_or_mixed(painting, box, before)
    flags = [flag for flag in painting.flags if flag.name != GENERIC.name]
    answers = [without_lamps(answer) for answer, _ in pairs]
    recipes = side_by_side(answers, box, places_px(painting.targets)) if answers else ()
    chosen = tuple(choice for _, choice in pairs)
    return replace(
        painting,
        table=tubes_on_table(box),
        recipes=recipes,
        chosen=chosen,
        plan=replace(fresh, answers=recipes, chosen=chosen) if fresh else None,
        flags=(*flags, *generic_flags(box.tubes)),
    )


def _planned(painting: Painting, plan: WholePlan, box: Box) -> tuple[Painting, WholePlan]:
    """Return a painting planned anew from another box, and its plan."""
    photo = [
        replace(target, lab=lab, flags=tuple(flag for flag in target.flags if flag not in by_key))
        for target, lab, by_key in zip(
            painting.targets, plan.key.before, plan.key.of_each, strict=True
        )
    ]
    holes = [hole_of(painting, place) for place in range(len(photo))]
    fresh = plan_of(painting.asked, photo, painting.families, holes=holes, box=box)
    words = words_of(fresh.targets)
    return replace(painting, targets=fresh.targets, words=words), fresh


def save_step(
    folder: Path,
    painting: Painting,
    before: Painting,
    said: str,
    *,
    over: Mark | None,
    pictures: Mapping[str, bytes] = MappingProxyType({}),
) -> Painting:
    """Save the painting at a new step of its history, called ``said``, that undo takes back.

    ``over`` is the mark of the only state that may be written over.

    Raises:
        OutputError: it cannot be written; then there is no new step either.
        StaleRevision: another program has saved this painting meanwhile.
    """
    history, step = read_history(folder, before.step), before.step
    if step not in history.steps:
        step = history.begin(before.asked, "open the folder")
    with history.recorded(painting.asked, said, step) as number:
        return save(folder, replace(painting, step=number), pictures, over=over)


def not_begun(painting: Painting) -> tuple[int, ...]:
    """Return the places of the targets whose puddle was never looked at."""
    begun = {row.target for row in painting.rounds} | {one.target for one in painting.pencilled}
    return tuple(n for n, target in enumerate(painting.targets) if target.label not in begun)


def _kept_or_mixed(
    painting: Painting, box: Box, before: Painting | None
) -> list[tuple[Answer, int]]:
    """Return each target's recipes, and which is chosen."""
    pairs = list(zip(painting.recipes, painting.chosen, strict=True))
    fresh = []
    for place in not_begun(painting):
        then = _same(painting, place, before)
        if before is not None and then is not None:
            pairs[place] = before.recipes[then], before.chosen[then]
        else:
            fresh.append(place)
    options_at = {place: options_for(painting, place) for place in fresh}
    for options in dict.fromkeys(options_at.values()):
        places = [place for place in fresh if options_at[place] == options]
        answers = solved(box, options, [painting.targets[place] for place in places])
        for place, answer in zip(places, answers, strict=True):
            pairs[place] = answer, _chosen(painting, place, answer)
    return pairs


def _same(painting: Painting, place: int, before: Painting | None) -> int | None:
    """Return the place of the target of an earlier plan that asked for the same, if any did."""
    if before is None or before.finish != painting.finish:
        return None
    target, options = painting.targets[place], options_for(painting, place)
    for then, other in enumerate(before.targets):
        is_same = other.label == target.label and np.array_equal(other.lab, target.lab)
        if is_same and options_for(before, then) == options:
            return then
    return None


def _chosen(painting: Painting, place: int, answer: Answer) -> int:
    """Return the recipe of the kind that was chosen; the first where there is no such any more."""
    before = painting.recipes[place].recipes
    return chosen_of(answer, before[painting.chosen[place]].why if before else "")
