"""Strings: one local colour laid out from light to shadow, each step drawn from the last.

A form is turned with a string, not with white and black: as the photo's colour goes from
light to shadow its hue turns and its strength changes, and so do the steps. The middle
is a puddle of the plan; from it the string is drawn both ways, so that neither end
is far from what it comes from. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.hues import lstar_from_value, munsell_value
from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.plan.draws import OUT_OF_REACH, Draws, draws_of, on_the_palette
from refmatch.plan.mothers import Mixed, Mother, Plan, Set
from refmatch.plan.order import laid_of
from refmatch.plan.rules import (
    LocalColour,
    Nature,
    allowed,
    allowed_for,
    clashes,
    keeps_dark,
    local_colours,
    look_at,
    nature_of,
    whole_of,
)
from refmatch.recipe.mixture import Entries
from refmatch.recipe.model import Laid
from refmatch.recipe.subsets import Mask

FEWEST, MOST = 3, 9
"""How many steps a string has: one for each value, about."""

LEAST_STEP = 1.0
"""The least by which L* falls or rises from step to step: less is no step to the eye."""

STILL_CLOSE = 4.0
"""A string ends where its next step would be farther off than this, in dE00."""

OFF_MIDDLE = 0.1
"""What an L* away from the middle costs the puddle to start from, in dE00: a whole value
as much as what is just perceptible."""

STRICTLY = 1.0
"""What keeping white out of a dark, or opposed hues apart, may cost a step in dE00, before
they are let in."""


@dataclass(frozen=True, eq=False)
class StringStep:
    """One step of a string: what it should be, what it is, and what it is drawn from.

    ``drawn_from`` is the place of the step before it in the work, None for the puddle that
    the string starts from; ``of_it`` parts of that are taken, and ``laid`` worked in.
    ``wanted`` is the photo's colour there; ``net`` (tubes,) are shares of each tube, sum 1.
    """

    drawn_from: int | None
    of_it: int
    laid_out: tuple[Laid, ...]
    net: Array
    wanted: Array
    lab: Array
    delta_e_00: float


@dataclass(frozen=True, eq=False)
class ColourString:
    """A string, from light to shadow: ``steps[start]`` is the puddle it is drawn from.

    ``label`` is that puddle's; ``targets`` are the places of the targets that lie on it.
    """

    label: str
    targets: tuple[int, ...]
    start: int
    steps: tuple[StringStep, ...]

    @property
    def in_work_order(self) -> tuple[int, ...]:
        """The places of the steps as they are mixed: the start, then up to the light, then down."""
        return (*range(self.start, -1, -1), *range(self.start + 1, len(self.steps)))


def strings(entries: Entries, asked: Set, plan: Plan) -> tuple[ColourString, ...]:
    """Return a string for each local colour of a set, those of the largest share first.

    Where a target is out of reach, its own recipe's colour stands for it.

    Args:
        entries: of the box.
        asked: the set that was planned.
        plan: its puddles; a string starts from the one nearest its middle value.
    """
    hand = _Hand(draws_of(entries, on_the_palette(entries, asked.parts)), nature_of(entries))
    own = entries.palette.lab(asked.parts.astype(float))
    far = delta_e_00(own, asked.labs) > OUT_OF_REACH
    colours = local_colours(
        np.where(far[:, None], own, asked.labs), np.asarray(asked.shares, dtype=float)
    )
    drawn = (_string(hand, plan, colour) for colour in colours)
    return tuple(string for string in drawn if len(string.steps) >= FEWEST)


@dataclass(frozen=True, eq=False)
class _Hand:
    """What a step is drawn with: all ways to draw, and the rules' box."""

    draws: Draws
    nature: Nature


def _string(hand: _Hand, plan: Plan, colour: LocalColour) -> ColourString:
    first = _first(plan, colour)
    wanted, start = _wanted(colour, first.lab)
    begin = StringStep(
        drawn_from=None,
        of_it=0,
        laid_out=(),
        net=first.net,
        wanted=wanted[start],
        lab=first.lab,
        delta_e_00=float(delta_e_00(first.lab, wanted[start])),
    )
    lighter = list(_drawn_on(hand, begin, start, wanted[:start][::-1], -1))
    darker = list(_drawn_on(hand, begin, start, wanted[start + 1 :], +1))
    steps = (*lighter[::-1], begin, *darker)
    return ColourString(first.label, colour.places, len(lighter), steps)


def _first(plan: Plan, colour: LocalColour) -> Mixed:
    """Return the puddle to start from: on the run, as near as may be, and near its middle."""
    middle = float(colour.run[[0, -1], 0].mean())

    def off(puddle: Mixed) -> float:
        on_run = delta_e_00(puddle.lab, colour.at(float(puddle.lab[0])))
        return round(float(on_run) + OFF_MIDDLE * abs(float(puddle.lab[0]) - middle), 6)

    return min((p for p in plan.puddles if p.target in colour.places), key=off)


def _wanted(colour: LocalColour, first: Array) -> tuple[Array, int]:
    """Return the photo's colours at even steps of value, (steps, 3), and the start's place.

    The start keeps its own value, and the steps to either side are even among themselves.
    """
    light, dark = munsell_value(colour.run[[0, -1]])
    own = float(np.clip(munsell_value(first), dark, light))
    steps = int(np.clip(round(float(light - dark)) + 1, FEWEST, MOST)) - 1
    up = int(np.clip(round(steps * float((light - own) / (light - dark))), 0, steps))
    ends = np.concatenate(
        [np.linspace(light, own, up + 1)[:up], np.linspace(own, dark, steps - up + 1)]
    )
    return np.array([colour.at(float(each)) for each in lstar_from_value(ends)]), up


def _drawn_on(
    hand: _Hand, begin: StringStep, start: int, wanted: Array, onward: int
) -> Iterator[StringStep]:
    """Draw step after step from the last, towards the light (-1) or the shadow (+1)."""
    last, place = begin, start
    for lab in wanted:
        step = _next(hand, last, place, lab, onward)
        if step is None:
            return
        yield step
        last, place = step, place + onward


def _next(
    hand: _Hand, last: StringStep, place: int, wanted: Array, onward: int
) -> StringStep | None:
    """Return the step nearest to what is wanted that goes on the same way; None if none is close.

    White is kept out of the darks, and opposed hues from one another, where that costs no
    more than `STRICTLY`.
    """
    mother = Mother(str(place + 1), None, np.zeros(0, dtype=np.intp), last.net, last.lab)
    labs = hand.draws.lab(last.net)
    onwards = onward * (last.lab[0] - labs[:, 0]) >= LEAST_STEP
    whole = whole_of(hand.draws.share, mother)
    clash = clashes(hand.nature, hand.draws.share)
    rows = np.flatnonzero(onwards & allowed(hand.nature, whole) & ~clash)
    distance = delta_e_00(labs[rows], wanted)
    if distance.min(initial=np.inf) > STILL_CLOSE:
        return None
    objective = np.round(distance + hand.draws.price[rows], 6)
    strict = _strict(hand, whole[rows], hand.draws.share[rows], mother, wanted)
    within = strict & (distance <= distance.min() + STRICTLY)
    best = int(np.argmin(np.where(within, objective, np.inf) if within.any() else objective))
    row = int(rows[best])
    return StringStep(
        drawn_from=place,
        of_it=int(hand.draws.of_it[row]),
        laid_out=laid_of(hand.draws.entries, hand.draws.added[row]),
        net=hand.draws.net(row, last.net),
        wanted=wanted,
        lab=labs[row],
        delta_e_00=float(distance[best]),
    )


def _strict(hand: _Hand, whole: Array, added: Array, mother: Mother, wanted: Array) -> Mask:
    looks = look_at(np.stack([wanted, mother.lab]))
    passed = allowed_for(looks.of(0), hand.nature, added, float(looks.hue[1]))
    return passed & keeps_dark(looks.of(0), hand.nature, whole)
