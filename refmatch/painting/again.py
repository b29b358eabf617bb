"""The same puddle again, weeks later: as it ended, in as much as is wanted.

Its colour is what is believed of the puddle: what was seen of it, moved by what was worked in
since. Where no photo tells of it, or another box is to serve, it is what the box expects.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.additions import Parts
from refmatch.dabs.belief import Belief, box_as_believed
from refmatch.errors import UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.painting.model import Painting, Round
from refmatch.painting.own_box import box_of
from refmatch.painting.record import (
    belief_now,
    belief_of,
    done_words,
    figure,
    pencilled_parts,
    pile_now,
    place_of,
    recipe_parts,
    rounds_of,
)
from refmatch.plan.amounts import millilitres
from refmatch.recipe.doubt import covariance, generic_flags
from refmatch.recipe.mixture import Palette
from refmatch.recipe.model import Laid, Step
from refmatch.recipe.steps import mixing_steps, parts_words
from refmatch.target import Target

RECIPE, ANEW, LAST, BEST = "recipe", "mixed anew", "last pile", "nearest look"
"""Where the parts of a puddle to be mixed again come from."""

SEEN, TUBES_SEEN, BOX = "photo and recipe", "tubes as seen", "box"
"""Where its colour comes from: it was seen itself, only its tubes were, or neither."""

FINE = 100_000
"""Into how many parts the puddle is divided to reckon its steps: far finer than any hand."""

BY_MASS = Flag("volume_unknown")


@dataclass(frozen=True, eq=False)
class Ended:
    """The parts that a puddle ended with.

    ``source`` is one of `RECIPE`, `ANEW`, `LAST` and `BEST`; ``words`` say why. ``look`` is the
    round in which a puddle of exactly these parts was looked at, None where none was.
    """

    parts: Parts
    source: str
    words: str
    look: Round | None


@dataclass(frozen=True, eq=False)
class TubeAgain:
    """So many parts of a tube, their share of the puddle, and how much that is.

    ``volume_ml`` is None in a box that counts by mass.
    """

    tube: str
    parts: float
    share: float
    volume_ml: float | None


@dataclass(frozen=True, eq=False)
class LastLook:
    """The puddle as it was last seen: when, its colour (3,), and how far that is off.

    ``delta_e_00`` is from the target as it then was, ``delta_e_00_from_now`` from the colour that
    the box alone now expects of the same parts.
    """

    date: str
    lab: Array
    delta_e_00: float
    delta_e_00_from_now: float


@dataclass(frozen=True, eq=False)
class Again:
    """A puddle to be mixed again, its ``lab`` (3,) with its covariance (3, 3).

    ``lab_from`` says what they rest on: `SEEN`, `TUBES_SEEN` or `BOX`. ``box_lab`` (3,) is what the
    box alone expects.
    """

    target: Target
    ended: Ended
    amount_ml: float
    tubes: tuple[TubeAgain, ...]
    lab: Array
    covariance: Array
    lab_from: str
    box_lab: Array
    delta_e_00: float
    last_look: LastLook | None
    steps: tuple[Step, ...]
    box: Box
    finish: str
    flags: tuple[Flag, ...]


def mixed_again(painting: Painting, label: str, amount_ml: float, box: Box | None = None) -> Again:
    """Return how to mix a target's puddle again.

    Args:
        painting: the painting, with its record.
        label: the target's label, or the number of its slip.
        amount_ml: how much of it, above 0.
        box: another box to mix it from, of which no photo tells; None for the painting's own.

    Raises:
        PaintingError: no such target, or no recipe. UsageError: no such amount.
        UnknownTube: the box has no such tube any more.
    """
    if not 0.0 < amount_ml < math.inf:
        raise UsageError("no_such_amount")
    target = painting.targets[place_of(painting, label)]
    end, own = ended(painting, target.label), box or box_of(painting)
    tubes = [own.tube(tube) for tube, _ in end.parts]
    parts = np.array([share for _, share in end.parts])
    palette = Palette.of(tubes, own.surface)
    by_box = palette.lab(parts)
    belief = _belief(painting, end, target.label, own) if box is None else None
    if belief is None:
        lab, doubt, whence = by_box, covariance(palette, tubes, parts, by_box), BOX
        mixed_from = own
    else:
        lab, doubt = belief.lab, belief.covariance
        whence = TUBES_SEEN if end.source == ANEW else SEEN
        mixed_from = box_as_believed(own, end.parts, belief.pile)
    laid = _tubes(end, own, amount_ml)
    return Again(
        target=target,
        ended=end,
        amount_ml=amount_ml,
        tubes=laid,
        lab=lab,
        covariance=doubt,
        lab_from=whence,
        box_lab=by_box,
        delta_e_00=float(delta_e_00(lab, target.lab)),
        last_look=_last_look(painting, end, by_box),
        steps=_steps(laid, mixed_from, target.lab),
        box=own,
        finish=painting.finish,
        flags=(*(() if own.parts == "volume" else (BY_MASS,)), *generic_flags(tubes)),
    )


def ended(painting: Painting, label: str) -> Ended:
    """Return what the puddle of a target ended with, so that it can be mixed again.

    Nothing was looked at: the recipe. It was mixed anew since: what it was mixed of. The last
    puddle was to be mixed fresh and nothing was done with it: the nearest that was ever seen.
    Otherwise the last puddle, with what was last worked into it; the two thirds of a divided one
    that were put aside do not count, since the third is what matched.

    Raises:
        PaintingError: there is no such target, or it has no recipe.
    """
    place = place_of(painting, label)
    rounds = rounds_of(painting, painting.targets[place].label)
    if not rounds:
        own = pencilled_parts(painting, painting.targets[place].label)
        if own:
            return Ended(own, RECIPE, "As you said it was mixed; no dab of it was looked at.", None)
        parts = recipe_parts(painting, place)
        return Ended(parts, RECIPE, "By its recipe: no dab of it was looked at.", None)
    last, dates = rounds[-1], {look.photo.sha256: look.date for look in painting.looks}
    if last.done is not None and last.done.anew:
        parts = pile_now(painting, label).parts
        words = "As it was mixed anew at last; that was not looked at."
        return Ended(parts, ANEW, words, None)
    if last.fresh and last.done is None:
        best = min(rounds, key=lambda one: one.delta_e_00)
        words = "The last puddle was given up, so this is the nearest that was seen"
        return Ended(best.parts, BEST, f"{words}, on {dates[best.look]}.", best)
    now = pile_now(painting, label)
    words = f"As the puddle was when it was last looked at, on {dates[last.look]}"
    if last.done is None or not (last.done.additions or last.done.divided):
        return Ended(now.parts, LAST, f"{words}.", last)
    done = done_words(last.done.additions, divided=last.done.divided)
    return Ended(now.parts, LAST, f"{words}, and then {done}; that was not looked at.", None)


def _belief(painting: Painting, end: Ended, label: str, box: Box) -> Belief | None:
    if end.source == BEST and end.look is not None:
        return belief_of(end.look, box)
    return belief_now(painting, label, box)


def _tubes(end: Ended, box: Box, amount_ml: float) -> tuple[TubeAgain, ...]:
    whole = sum(share for _, share in end.parts)
    by_volume = box.parts == "volume"
    rows = []
    for tube, parts in end.parts:
        volume = amount_ml * parts / whole if by_volume else None
        rows.append(TubeAgain(box.tube(tube).name, parts, parts / whole, volume))
    return tuple(rows)


def _last_look(painting: Painting, end: Ended, by_box: Array) -> LastLook | None:
    if end.look is None:
        return None
    last = end.look
    date = next(look.date for look in painting.looks if look.photo.sha256 == last.look)
    return LastLook(date, last.lab, last.delta_e_00, float(delta_e_00(last.lab, by_box)))


def _steps(tubes: Sequence[TubeAgain], box: Box, target_lab: Array) -> tuple[Step, ...]:
    """Return the order of mixing, every amount told as much as is to be laid out."""
    amounts = {row.tube: _amount(row) for row in tubes}
    parts = {row.tube: row.parts for row in tubes}
    laid = [Laid(row.tube, max(1, round(FINE * row.share))) for row in tubes]
    return tuple(
        step
        if step.tube is None
        else replace(
            step,
            text=step.text.replace(parts_words(step.parts or 0, step.tube), amounts[step.tube], 1),
            parts=parts[step.tube],
        )
        for step in mixing_steps(laid, box, target_lab)
    )


def _amount(row: TubeAgain) -> str:
    if row.volume_ml is None:
        return f"{figure(row.parts)} {'part' if row.parts <= 1.0 else 'parts'} of {row.tube}"
    return f"{millilitres(row.volume_ml)} of {row.tube}"
