"""What to add to a pile so that it meets its target, or why it is better left or mixed anew.

A painter cannot unmix a puddle, so a correction must be worth it: the pile is known only so well,
and the hand that adds is off as well. What is advised is what can be expected to come nearer,
seldom makes it worse, and is small beside the puddle; where that would take too much paint, a third
of the puddle is corrected and the rest kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.words import with_halves
from refmatch.dabs.additions import (
    CORE,
    LET_DOWN,
    PUDDLE,
    Additions,
    Ingredient,
    Pile,
    multiple,
    search,
)
from refmatch.dabs.verdict import Miss, difference_words, misses
from refmatch.paint.box import Tube
from refmatch.recipe.doubt import uncertainty
from refmatch.recipe.hand import normal_draws
from refmatch.recipe.mixture import Palette, film
from refmatch.recipe.rank import EYE
from refmatch.recipe.steps import CAREFUL_FROM, FEW_TOUCHES, TOUCH

LEAVE_IT = "Leave it: no photo like this can tell it from the target."
NOT_SEEN = "Leave it: you will not see a difference."
GOOD_ENOUGH = "Add no more: it is near, and was corrected twice; a third time seldom gains."
CANNOT_TELL = "Add nothing yet: look at it again by a photo that tells more."
FIRST_SEE = "Add nothing before that is cleared up: what is in the puddle is not known."
START_FRESH = "Two corrections did not close it: start fresh, and keep this puddle for greys."
NOTHING_AT_HAND = "There is nothing at hand to correct it with."
NOT_SURE = "Add nothing: what could be added gains no more than hand, tubes and photo leave open."
MIX_FRESH = "Mix it fresh by the recipe, and keep this puddle for greys."
DIVIDE = "Divide the puddle: correct a third, leave the rest."

Amount = tuple[Ingredient, float]
"""An ingredient and its parts."""


def in_order(amounts: Sequence[Amount]) -> tuple[Amount, ...]:
    """Return what to add first and last: weak paint first, the strong into it by touches."""
    return tuple(sorted(amounts, key=lambda ingredient: ingredient[0].strength))


def instructions(
    pile: Pile, amounts: Sequence[Amount], multiple: int = 1, *, divided: bool = False
) -> str:
    """Return what to do: "Add 1 part of titanium white, then ½ part of ultramarine in touches.".

    Args:
        pile: what is corrected: the whole puddle, or a third of it.
        amounts: in the order to be added, in the pile's parts.
        multiple: how many times its parts the pile is counted as.
        divided: whether the pile is a third of the puddle.
    """
    whole, steps = pile.parts, []
    for ingredient, parts in amounts:
        whole += parts
        steps.append(
            f"{_amount(ingredient, multiple * parts)}{_how(ingredient, parts / whole, pile)}"
        )
    added = f"add {', then '.join(steps)}."
    what = "third" if divided else "puddle"
    if multiple > 1:
        added = f"count the {what} as {with_halves(multiple * pile.parts)} parts, and {added}"
    return f"{DIVIDE} {_sentence(added)}" if divided else _sentence(added)


def cannot_close(wrong: str, closer: str, then: str) -> str:
    """Return which dimension stays open: it is ``wrong``, and ``closer`` would leave it ``then``.

    ``closer`` names what moves that dimension at all, "" where nothing does.
    """
    if not closer:
        return f"It is {wrong}, and nothing at hand changes that enough."
    return f"It is {wrong}; {closer} would mend that, but leave it {then}."


def named(ingredients: Sequence[Ingredient]) -> str:
    """Return the ingredients by name: "titanium white and the core"."""
    return " and ".join(_name(ingredient) for ingredient in ingredients)


def _sentence(words: str) -> str:
    return words[0].upper() + words[1:]


def _amount(ingredient: Ingredient, parts: float) -> str:
    return f"{with_halves(parts)} {'part' if parts <= 1.0 else 'parts'} of {_name(ingredient)}"


def _name(ingredient: Ingredient) -> str:
    if ingredient.kind == CORE:
        return "the core (the colours without white)"
    if ingredient.kind == PUDDLE:
        return f"the puddle '{ingredient.name}'"
    if ingredient.kind == LET_DOWN:
        return f"{ingredient.name.replace(', ', ' let down ', 1)}"
    return ingredient.name


def _how(ingredient: Ingredient, share: float, pile: Pile) -> str:
    """Say how carefully it goes in: very little, or a strong one, never all at once."""
    if share < TOUCH:
        return " in touches"
    if ingredient.strength <= CAREFUL_FROM * pile.strength:
        return ""
    return " in touches" if share < FEW_TOUCHES else " a little at a time"


MOST_GROWTH = 0.5
"""The share of itself by which a puddle may grow."""

THIRD = 1.0 / 3.0
"""The share of a divided puddle that is corrected."""

LEAST_GAIN = 0.3
"""What a correction must bring in expected dE00 (our own choice)."""

WORSE, MOST_RISK = 0.5, 0.12
"""How many dE00 farther off counts as made worse, and in which share of cases that may be."""

NEAR = 1.0
"""The dE00 up to which a correction of the whole puddle is taken as it is ("match")."""

CLOSED = 2.0
"""The dE00 within which a puddle that was corrected before is good enough (`recipe.verdict`)."""

MOST_CORRECTIONS = 2
"""After so many that did not close, a puddle is kept for greys and the colour mixed anew."""

DIVIDING_GAINS = 0.75
"""What correcting a third must bring in expected dE00 beside correcting the whole puddle."""

SHOWN, RIVAL = 3, 1.0
"""How many corrections are told, and by how much worse than the best the others may be, in dE00."""

JUDGED = 12
"""How many different additions are looked at closely."""


@dataclass(frozen=True, eq=False)
class OpenCurves:
    """What is not known of tubes: ``modes`` (tubes, m, 62) of ln K and ln S, as in `dabs.fuse`."""

    tubes: tuple[Tube, ...]
    modes: Array

    def of(self, ingredient: Ingredient) -> Array:
        """Return what that leaves open of an ingredient's ln K and ln S, (62, tubes * m)."""
        places = {tube.name: place for place, tube in enumerate(self.tubes)}
        ways = np.zeros(self.modes.shape)
        for name, share in ingredient.own_parts:
            tube = self.tubes[places[name]]
            of_k = share * tube.absorption / ingredient.absorption
            of_s = share * tube.scattering / ingredient.scattering
            ways[places[name]] = np.concatenate([of_k, of_s]) * self.modes[places[name]]
        return np.concatenate(list(ways)).T


@dataclass(frozen=True, eq=False)
class Addition:
    """So many parts of one ingredient, in the pile's own parts."""

    ingredient: Ingredient
    parts: float


@dataclass(frozen=True, eq=False)
class Correction:
    """What to add, in the order to add it, and where that leads.

    ``predicted_lab`` (3,) and ``predicted_delta_e_00`` are of the exact parts added to the pile as
    it is believed to be; ``expected_delta_e_00`` counts the hand and the pile's doubt too, and
    ``gain`` is by how much that is nearer than leaving it. ``risk`` is the chance of making it
    worse by more than `WORSE`. ``growth`` is what is added beside what is corrected, and
    ``counted_parts`` how many parts the latter is counted as in the words, so that all additions
    are half or whole parts.
    """

    additions: tuple[Addition, ...]
    predicted_lab: Array
    predicted_delta_e_00: float
    expected_delta_e_00: float
    gain: float
    risk: float
    growth: float
    counted_parts: float
    words: str


@dataclass(frozen=True, eq=False)
class Advice:
    """What to do about a pile: ``corrections`` best first, none where it is to be left.

    ``divide`` means that they are for a third of the pile. ``fresh`` asks for the recipe to be
    mixed anew. ``words`` tell the painter what to do; ``why_none`` why nothing is to be added,
    "" where something is. ``delta_e_00`` is how far off the pile is believed to be, and
    ``doubt_delta_e_00`` how well that is known: half of all truths lie within.
    """

    corrections: tuple[Correction, ...]
    divide: bool
    fresh: bool
    words: str
    why_none: str
    delta_e_00: float
    doubt_delta_e_00: float


def correct(
    pile: Pile,
    target_lab: Array,
    ingredients: Sequence[Ingredient],
    *,
    doubt: Array,
    round_number: int = 1,
    curves: OpenCurves | None = None,
) -> Advice:
    """Return what to add to a pile.

    Args:
        pile: what it is believed to be.
        target_lab: the target, (3,).
        ingredients: what is at hand.
        doubt: the covariance of the pile's Lab, (3, 3).
        round_number: 1 for a pile that was not corrected yet, and one more for each correction.
        curves: what is not known of the tubes that are added; None where they are known.
    """
    advice = _beside(pile, target_lab, doubt)
    distance, known = advice.delta_e_00, advice.doubt_delta_e_00
    if distance <= max(known, EYE):
        return _nothing(advice, NOT_SEEN if known < distance else LEAVE_IT)
    if round_number > MOST_CORRECTIONS:
        fresh = distance > CLOSED
        return _nothing(advice, START_FRESH if fresh else GOOD_ENOUGH, fresh)
    if not ingredients:
        return _nothing(advice, NOTHING_AT_HAND, fresh=True)
    return _advised(advice, _Case(pile, target_lab, tuple(ingredients), doubt, curves))


def nothing(pile: Pile, target_lab: Array, doubt: Array, why: str) -> Advice:
    """Return the advice to add nothing, and why: one of the sentences above."""
    return _nothing(_beside(pile, target_lab, doubt), why)


def _beside(pile: Pile, target_lab: Array, doubt: Array) -> Advice:
    lab = pile.lab
    known, _ = uncertainty(lab, doubt)
    return Advice((), False, False, "", "", float(delta_e_00(lab, target_lab)), known)


@dataclass(frozen=True, eq=False)
class _Case:
    """One pile to be corrected, as `correct` is given it."""

    pile: Pile
    target_lab: Array
    ingredients: tuple[Ingredient, ...]
    doubt: Array
    curves: OpenCurves | None

    def ways(self, share: float) -> Additions:
        """Return ways to correct a share of the pile, with as much paint as the whole may take."""
        part = replace(self.pile, parts=share * self.pile.parts)
        return search(part, self.target_lab, self.ingredients, MOST_GROWTH * self.pile.parts)

    def corrections(self, found: Additions, share: float) -> tuple[Correction, ...]:
        """Return the few best ways that are worth it, each with other ingredients."""
        best = found.pick(found.each_way()[:JUDGED])
        told = [self._told(best, row, share) for row in range(len(best.parts))]
        worth = [
            (objective, each)
            for objective, each in zip(best.objective, told, strict=True)
            if each.gain >= LEAST_GAIN and each.risk <= MOST_RISK
        ]
        limit = worth[0][0] + RIVAL if worth else 0.0
        return tuple(each for objective, each in worth if objective <= limit)[:SHOWN]

    def _told(self, ways: Additions, row: int, share: float) -> Correction:
        amounts = [
            (self.ingredients[member], float(parts))
            for member, parts in zip(ways.members[row], ways.parts[row], strict=True)
            if parts > 0.0
        ]
        part = replace(self.pile, parts=share * self.pile.parts)
        growth = sum(parts for _, parts in amounts) / part.parts
        before, after = self._drawn(self._mixed(part, amounts), ways.hand[row], growth)
        amounts = list(in_order(amounts))
        return Correction(
            additions=tuple(Addition(ingredient, parts) for ingredient, parts in amounts),
            predicted_lab=ways.lab[row],
            predicted_delta_e_00=float(ways.distance[row]),
            expected_delta_e_00=float(after.mean()),
            gain=float((before - after).mean()),
            risk=float(np.mean(after > before + WORSE)),
            growth=growth,
            counted_parts=multiple(part.parts) * part.parts,
            words=instructions(part, amounts, multiple(part.parts), divided=share < 1.0),
        )

    def _mixed(self, part: Pile, amounts: Sequence[Amount]) -> Array:
        """Return the Lab, (draws, 3), of exact parts of tubes as they may truly be.

        A tube four times as strong errs by far more than one a quarter as strong, so curves are
        drawn, not slopes: along the three ways in which what is open moves the colour.
        """
        added = [ingredient for ingredient, _ in amounts]
        palette = Palette(
            np.stack([part.absorption, *(one.absorption for one in added)]),
            np.stack([part.scattering, *(one.scattering for one in added)]),
            part.surface,
        )
        laid = np.array([part.parts, *(parts for _, parts in amounts)])
        if self.curves is None:
            return palette.lab(laid)[None]
        curves = np.stack([self.curves.of(one) for one in added])
        moved = np.einsum("ncb,nbm->cm", palette.lab_by_curves(laid)[1:], curves)
        _, _, ways = np.linalg.svd(moved, full_matrices=False)
        ln_off = np.einsum("dw,wm,nbm->dnb", normal_draws(8)[:, 5:], ways, curves)
        factors = laid[1:, None] * np.exp(ln_off)
        k = laid[0] * part.absorption + (factors[..., :BANDS] * palette.absorption[1:]).sum(axis=1)
        s = laid[0] * part.scattering + (factors[..., BANDS:] * palette.scattering[1:]).sum(axis=1)
        return reflectance_to_lab(film(k, s, part.surface))

    def _drawn(self, mixed: Array, hand: Array, growth: float) -> tuple[Array, Array]:
        """Return the dE00 of many true piles, uncorrected and corrected by many hands, (draws,).

        ``mixed`` (draws, 3) or (1, 3) is what exact parts make of the pile that is believed; what
        is not known of that is thinned by what is added to it.
        """
        draws = normal_draws(8)
        values, vectors = np.linalg.eigh(self.doubt)
        off = draws[:, :3] * np.sqrt(np.maximum(values, 0.0)) @ vectors.T
        corrected = mixed + off / (1.0 + growth) + draws[:, 3:5] @ hand.T
        left = self.pile.lab + off
        return delta_e_00(left, self.target_lab), delta_e_00(corrected, self.target_lab)


def _advised(advice: Advice, case: _Case) -> Advice:
    """Correct the whole pile, or a third of it where that comes nearer by far, or neither."""
    ways = case.ways(1.0)
    whole = case.corrections(ways, 1.0)
    if whole and whole[0].predicted_delta_e_00 <= max(NEAR, advice.doubt_delta_e_00):
        return replace(advice, corrections=whole, words=whole[0].words)
    third = case.corrections(case.ways(THIRD), THIRD)
    if third and (not whole or third[0].gain >= whole[0].gain + DIVIDING_GAINS):
        return replace(advice, corrections=third, divide=True, words=third[0].words)
    if whole:
        return replace(advice, corrections=whole, words=whole[0].words)
    return _why_none(advice, case, ways)


def _why_none(advice: Advice, case: _Case, ways: Additions) -> Advice:
    """Say which dimension cannot be closed, or that nothing is sure to gain."""
    if advice.delta_e_00 <= CLOSED:
        return _nothing(advice, NOT_SURE)
    wrong = max(misses(case.pile.lab, case.target_lab), key=lambda miss: abs(miss.size))
    left = [_left(ways.lab[row], case.target_lab, wrong) for row in range(len(ways.lab))]
    row = int(np.argmin(left))
    closer = ""
    if left[row] <= abs(wrong.size) / 2.0:
        used = ways.members[row][ways.parts[row] > 0.0]
        closer = named([case.ingredients[member] for member in used])
    then = difference_words(ways.lab[row], case.target_lab)
    off = wrong.words or difference_words(case.pile.lab, case.target_lab) or "a little off"
    return _nothing(advice, cannot_close(off, closer, then or "no nearer"), fresh=True)


def _left(lab: Array, target_lab: Array, wrong: Miss) -> float:
    """Return how far a dimension is still off, 0 where it is no longer told."""
    return next(
        (
            abs(miss.size)
            for miss in misses(lab, target_lab)
            if {miss.above, miss.below} & {wrong.above, wrong.below}
        ),
        0.0,
    )


def _nothing(advice: Advice, why: str, fresh: bool = False) -> Advice:
    words = f"{why} {MIX_FRESH}" if fresh and why != START_FRESH else why
    return replace(advice, words=words, why_none=why, fresh=fresh)
