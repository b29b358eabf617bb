"""The recipe of each colour under a plan: its puddle in the order of work, and no other.

What a colour would be mixed of by itself remains as another way. So whoever tells of a colour,
a slip, the order of work or JSON, tells of one recipe.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, lch_differences
from refmatch.colorimetry.spectrum import Array
from refmatch.plan.mothers import Mixed, Plan
from refmatch.recipe.choice import miss_words, promise
from refmatch.recipe.doubt import covariance, expected_of, tubes_in
from refmatch.recipe.hand import labs_by_hand, laid_by_hand, normal_draws, part_errors
from refmatch.recipe.mixture import Entries
from refmatch.recipe.model import Answer, FromPuddle, Laid, Portion, Recipe, Step
from refmatch.recipe.steps import Puddle, drawing_steps, mixing_steps, puddle_name
from refmatch.recipe.subsets import Indices
from refmatch.target import Target

FIRST = "first choice"
"""The kind of recipe that the plan mixes where the painter leaves it free."""

ALONE = "mixed alone"
"""The kind of what would be the first choice, were the colour mixed by itself."""


def held_kind(answer: Answer, why: str) -> str:
    """Return the kind of recipe that a painter holds the plan to, "" where it is left free."""
    kinds = {ALONE, *(recipe.why for recipe in answer.recipes)} - {FIRST}
    return why if why in kinds else ""


def as_planned(
    entries: Entries,
    targets: Sequence[Target],
    answers: Sequence[Answer],
    kinds: Sequence[str],
    plan: Plan,
) -> tuple[Answer, ...]:
    """Return each target's answer with the plan's own recipe first.

    Args:
        entries: of the tubes on the table.
        targets: those mixed for.
        answers: what each would be mixed of by itself.
        kinds: of each, the kind that the painter holds the plan to; see `held_kind`.
        plan: the order of work.
    """
    puddles = {puddle.target: puddle for puddle in plan.puddles}
    return tuple(
        _answer(entries, target, answer, kind, _Planned(plan, puddles[place]))
        for place, (target, answer, kind) in enumerate(zip(targets, answers, kinds, strict=True))
    )


class _Planned:
    """A puddle of a plan, and what it is drawn from."""

    def __init__(self, plan: Plan, puddle: Mixed) -> None:
        self.puddle = puddle
        labels = [other.label for other in plan.puddles]
        source = None if puddle.drawn_from is None else labels.index(puddle.drawn_from)
        self.mother = None if source is None else plan.puddles[source]
        self.source = (
            None
            if source is None
            else FromPuddle(source + 1, labels[source], puddle.of_it, plan.puddles[source].lab)
        )


def _answer(
    entries: Entries, target: Target, answer: Answer, kind: str, planned: _Planned
) -> Answer:
    puddle, own = planned.puddle, answer.recipes
    same = [recipe for recipe in own if _is_puddle(recipe, puddle)]
    if same:
        first = replace(same[0], lab=puddle.lab, delta_e_00=_distance(puddle, target))
    else:
        first = _recipe(entries, target, planned)
    rest = [recipe for recipe in own if recipe not in same]
    if not kind:
        rest = [replace(recipe, why=ALONE) if recipe.why == FIRST else recipe for recipe in rest]
    return replace(answer, recipes=(replace(first, why=kind or FIRST), *rest))


def _is_puddle(recipe: Recipe, puddle: Mixed) -> bool:
    return puddle.drawn_from is None and set(recipe.laid_out) == set(puddle.laid_out)


def _distance(puddle: Mixed, target: Target) -> float:
    return float(delta_e_00(puddle.lab, target.lab))


def _recipe(entries: Entries, target: Target, planned: _Planned) -> Recipe:
    """Write a puddle up that is none of the target's own recipes."""
    puddle, box = planned.puddle, entries.box
    lightness, chroma, hue = (float(value) for value in lch_differences(puddle.lab, target.lab))
    laid = _by_hand(entries, planned)
    by_hand = np.sort(delta_e_00(laid, target.lab))
    spread = covariance(entries.tube_palette, box.tubes, puddle.net, puddle.lab)
    expected = [float(each) for each in expected_of(laid, spread, target.lab)]
    return Recipe(
        why=FIRST,
        laid_out=puddle.laid_out,
        portions=tuple(_portions(entries, planned)),
        lab=puddle.lab,
        delta_e_00=_distance(puddle, target),
        delta_e_00_hand=float(np.median(by_hand)),
        delta_e_00_hand_p90=float(np.quantile(by_hand, 0.9)),
        objective=expected[0],
        delta_lstar=lightness,
        delta_cstar=chroma,
        delta_hstar=hue,
        verdict=promise(expected[0], tubes_in(box.tubes, puddle.net)),
        words=miss_words(puddle.lab, target.lab),
        steps=_steps(entries, target, planned),
        covariance=spread,
        from_puddle=planned.source,
        delta_e_00_expected=expected[0],
        delta_e_00_expected_p90=expected[1],
    )


def _portions(entries: Entries, planned: _Planned) -> Iterator[Portion]:
    """Give the parts of each tube, most first; of a puddle that does as it is, its own."""
    puddle, tubes = planned.puddle, entries.box.tubes
    is_mother = planned.mother is not None and not puddle.laid_out
    laid = planned.mother.laid_out if planned.mother and is_mother else puddle.laid_out
    total = sum(item.parts for item in laid) + (0 if is_mother else puddle.of_it)
    for i in np.argsort(-puddle.net, kind="stable"):
        if puddle.net[i] > 0.0:
            parts = round(float(total * puddle.net[i]), 6)
            yield Portion(tubes[i].name, tubes[i].pigments, parts)


def _steps(entries: Entries, target: Target, planned: _Planned) -> tuple[Step, ...]:
    box, laid = entries.box, planned.puddle.laid_out
    if planned.source is None or planned.mother is None:
        return mixing_steps(laid, box, target.lab)
    taken, curves = planned.source.parts * planned.mother.net, entries.tube_palette
    paint = Puddle(
        float(planned.source.parts), taken @ curves.absorption, taken @ curves.scattering
    )
    return drawing_steps(planned.source, paint, laid, box, target.lab)


def _by_hand(entries: Entries, planned: _Planned) -> Array:
    """Return the Lab, (draws, 3), of a puddle made many times, its mother with it."""
    added = parts_of(entries, planned.puddle.laid_out).astype(float)
    if planned.mother is None:
        return labs_by_hand(entries, added)
    of_it, mother = planned.puddle.of_it, parts_of(entries, planned.mother.laid_out).astype(float)
    used, more = np.count_nonzero(mother), np.count_nonzero(added)
    draws = normal_draws(2 * (used + more) + 1)
    errors = part_errors(np.array([of_it, *added]))
    net = laid_by_hand(entries, mother, part_errors(mother), draws[:, : 2 * used])
    net *= (of_it * np.exp(errors[0] * draws[:, 2 * used]) / net.sum(axis=1))[:, None]
    net += laid_by_hand(entries, added, errors[1:], draws[:, 2 * used + 1 :])
    return entries.tube_palette.lab(net)


def parts_of(entries: Entries, laid: Sequence[Laid]) -> Indices:
    """Return whole parts of a box's entries, (entries,), of what is laid out."""
    place = {(entry.tube, entry.white_parts): i for i, entry in enumerate(entries.items)}
    parts = np.zeros(len(entries.items), dtype=np.intp)
    for item in laid:
        parts[place[item.tube, item.let_down_white_parts]] += item.parts
    return parts


def renumbered(answer: Answer, numbers: Mapping[str, int]) -> Answer:
    """Return an answer whose recipes name the puddle they are drawn from by its number now."""
    return replace(answer, recipes=tuple(_renumbered(one, numbers) for one in answer.recipes))


def _renumbered(recipe: Recipe, numbers: Mapping[str, int]) -> Recipe:
    source = recipe.from_puddle
    if source is None:
        return recipe
    now = replace(source, number=numbers[source.label])
    steps = tuple(
        replace(step, text=step.text.replace(puddle_name(source), puddle_name(now)))
        for step in recipe.steps
    )
    return replace(recipe, from_puddle=now, steps=steps)
