"""Corrections as a painter would be told them: what to add, how carefully, and why nothing."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.colorimetry.words import with_halves
from refmatch.recipe.steps import CAREFUL_FROM, FEW_TOUCHES, TOUCH
from refmatch.swatch.pile import CORE, LET_DOWN, PUDDLE, Ingredient, Pile

LEAVE_IT = "Leave it: no photo like this can tell it from the target."
NOT_SEEN = "Leave it: you will not see a difference."
GOOD_ENOUGH = "Leave it: it is near, and was corrected twice; a third time seldom gains."
START_FRESH = "Two corrections did not close it: start fresh, and keep this puddle for greys."
NOTHING_AT_HAND = "There is nothing at hand to correct it with."
NOT_SURE = "Leave it: what could be added gains no more than the hand and the photo leave open."
MIX_FRESH = "Mix it fresh by the recipe, and keep this puddle for greys."
DIVIDE = "Divide the puddle: correct a third, leave the rest."

Amount = tuple[Ingredient, float]
"""An ingredient and its parts."""


def in_order(amounts: Sequence[Amount]) -> tuple[Amount, ...]:
    """Return what to add first and last: weak paint first, the strong into it by touches."""
    return tuple(sorted(amounts, key=lambda each: each[0].strength))


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
    whole, told = pile.parts, []
    for ingredient, parts in amounts:
        whole += parts
        told.append(
            f"{_amount(ingredient, multiple * parts)}{_how(ingredient, parts / whole, pile)}"
        )
    added = f"add {', then '.join(told)}."
    what = "third" if divided else "puddle"
    if multiple > 1:
        added = f"count the {what} as {multiple * pile.parts:g} parts, and {added}"
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
    return " and ".join(_name(each) for each in ingredients)


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
