"""Which puddle is meant when a painter asks for the same again, weeks later."""

from __future__ import annotations

from dataclasses import dataclass

from refmatch.painting.model import Painting
from refmatch.painting.record import pile_now, place_of, recipe_parts, rounds_of
from refmatch.painting.record_words import done_words
from refmatch.painting.rounds import Parts, Round

RECIPE, ANEW, LAST, BEST = "recipe", "mixed anew", "last pile", "nearest look"
"""Where the parts of a puddle to be mixed again come from."""


@dataclass(frozen=True, eq=False)
class Ended:
    """The parts that a puddle ended with.

    ``source`` is one of `RECIPE`, `ANEW`, `LAST` and `BEST`; ``words`` say why. ``seen`` is the
    round in which a puddle of exactly these parts was looked at, None where none was.
    """

    parts: Parts
    source: str
    words: str
    seen: Round | None


def ended(painting: Painting, label: str) -> Ended:
    """Return what the puddle of a target ended with, so that it can be mixed again.

    Nothing was looked at: the recipe. It was mixed anew since: what it was mixed of. The last pile
    was to be mixed fresh and nothing was done with it: the nearest pile that was ever seen.
    Otherwise the last pile, with what was last worked into it; the two thirds of a divided pile
    that were put aside do not count, since the third is what matched.

    Raises:
        PaintingError: there is no such target, or it has no recipe.
    """
    place = place_of(painting, label)
    rounds = rounds_of(painting, painting.targets[place].label)
    if not rounds:
        parts = recipe_parts(painting, place)
        return Ended(parts, RECIPE, "By its recipe: no dab of it was looked at.", None)
    last, dates = rounds[-1], {seen.photo.sha256: seen.date for seen in painting.looks}
    if last.done is not None and last.done.anew:
        parts = pile_now(painting, label).parts
        told = "As it was mixed anew at last; that was not looked at."
        return Ended(parts, ANEW, told, None)
    if last.fresh and last.done is None:
        best = min(rounds, key=lambda each: each.delta_e_00)
        told = "The last puddle was given up, so this is the nearest that was seen"
        return Ended(best.parts, BEST, f"{told}, on {dates[best.look]}.", best)
    now = pile_now(painting, label)
    told = f"As the puddle was when it was last looked at, on {dates[last.look]}"
    if last.done is None or not (last.done.additions or last.done.divided):
        return Ended(now.parts, LAST, f"{told}.", last)
    done = done_words(last.done.additions, divided=last.done.divided)
    return Ended(now.parts, LAST, f"{told}, and then {done}; that was not looked at.", None)
