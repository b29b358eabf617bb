"""What the record says of a puddle: what is in it now, and how it came to be so.

A puddle's parts are the recipe's until something is worked into it. Each round tells what was
meant to be in it when it was photographed, and what was done then; so what is in it now follows
from its last round alone, and nothing but rounds is kept. An addition counts in the pile's own
parts: half a part into a pile of twelve makes twelve and a half.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple, TypeVar

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.additions import CORE, LET_DOWN, PUDDLE, Ingredient, Parts, Pile, puddle
from refmatch.dabs.belief import Belief, pile_of_colour
from refmatch.dabs.correct import THIRD
from refmatch.dabs.spot import DRY
from refmatch.errors import PaintingError
from refmatch.paint.box import Box
from refmatch.paint.portions import LET_DOWN_NAME
from refmatch.painting.model import (
    Added,
    Curves,
    Done,
    Look,
    Painting,
    Pencilled,
    Round,
    chosen_recipe,
)
from refmatch.painting.own_box import place_in_photo
from refmatch.recipe.doubt import covariance
from refmatch.recipe.mixture import Palette

LEFT_OVER = ", left over"
"""Ends the name of what remains of a puddle that was given up or divided."""

_PUT_BY = " (hole {} is not there)"

T = TypeVar("T")
OfTarget = TypeVar("OfTarget", Round, Pencilled)


class PileNow(NamedTuple):
    """What is in the puddle of a target: net parts of its tubes.

    ``pile`` counts the piles mixed for the target from 1; ``number`` is that of the next look at
    this one, 1 for a pile that was not looked at yet.
    """

    parts: Parts
    pile: int
    number: int


def place_of(painting: Painting, label: str) -> int:
    """Return which target a painter means: its label in any case, else the number of its slip.

    Raises:
        PaintingError: there is none such; the sentence lists those there are.
    """
    labels = [target.label for target in painting.targets]
    if label in labels:
        return labels.index(label)
    wanted = label.strip().casefold()
    near = [place for place, known in enumerate(labels) if known.casefold() == wanted]
    if near:
        return near[0]
    if wanted.isdecimal() and 1 <= int(wanted) <= len(labels):
        return int(wanted) - 1
    raise PaintingError("no_such_target", label=label, known=tuple(labels))


def rounds_of(painting: Painting, label: str) -> tuple[Round, ...]:
    """Return the rounds of the target of exactly this label, oldest first."""
    return tuple(row for row in painting.rounds if row.target == label)


def last_dry(painting: Painting, label: str) -> Array | None:
    """Return the Lab of the last dab of a target that was dry when it was looked at, if any."""
    dry = {look.photo.sha256 for look in painting.looks if look.state == DRY}
    seen = [row.lab for row in rounds_of(painting, label) if row.look in dry]
    return seen[-1] if seen else None


def pile_now(painting: Painting, label: str, look: str = "") -> PileNow:
    """Return what is in the puddle of a target now.

    Where nothing was looked at yet, that is what was pencilled in, else the recipe chosen; where it
    was mixed anew, what it was mixed of; else what the last round found, with what was done then.

    Args:
        painting: the painting.
        label: names the target, as for `place_of`.
        look: the SHA-256 of a photo; where that was looked at before, the pile is told as it then
            was, since the photo shows no other.

    Raises:
        PaintingError: there is no such target, or it has no recipe yet.
    """
    place = place_of(painting, label)
    rounds = rounds_of(painting, painting.targets[place].label)
    for row in rounds:
        if look and row.look == look:
            return PileNow(row.parts, row.pile, row.number)
    if not rounds:
        own = pencilled_parts(painting, painting.targets[place].label)
        return PileNow(own or recipe_parts(painting, place), 1, 1)
    last = rounds[-1]
    if last.done is not None and last.done.anew:
        parts = worked_in((), last.done) or recipe_parts(painting, place)
        return PileNow(parts, last.pile + 1, 1)
    return PileNow(parts_after(last), last.pile, last.number + 1)


def pencilled_parts(painting: Painting, label: str) -> Parts:
    """Return what the first puddle of the target of exactly this label was mixed of, if said."""
    return next((one.parts for one in painting.pencilled if one.target == label), ())


def with_pencilled(painting: Painting, label: str, parts: Parts) -> Painting:
    """Return the painting with what a first puddle was mixed of; () is as by its recipe."""
    others = tuple(one for one in painting.pencilled if one.target != label)
    return replace(painting, pencilled=(*others, Pencilled(label, parts)) if parts else others)


def belief_now(painting: Painting, label: str, box: Box) -> Belief | None:
    """Return what the puddle of a target is believed to be: as last seen, and what was done since.

    None where only the box tells of it: it was not looked at yet, or mixed anew of something that
    no photo tells of.

    Raises:
        PaintingError: there is no such target. UnknownTube: the box lacks what is in the puddle.
    """
    rounds = rounds_of(painting, painting.targets[place_of(painting, label)].label)
    if not rounds:
        return None
    last = rounds[-1]
    if last.done is not None and last.done.anew:
        return _of_fresh(last, worked_in((), last.done), box)
    return _worked_on(last, box)


def belief_before(painting: Painting, label: str, box: Box, look: str) -> Belief | None:
    """Return what a puddle was believed to be before a photo of it, named by its SHA-256.

    None where no earlier photo shows this pile. ``label`` is the target's own.

    Raises:
        UnknownTube: the box lacks what is in the puddle.
    """
    rounds = rounds_of(painting, label)
    known = [one.look for one in rounds]
    earlier = rounds[: known.index(look)] if look in known else rounds
    if not earlier or (earlier[-1].done is not None and earlier[-1].done.anew):
        return None
    return _worked_on(earlier[-1], box)


def _worked_on(last: Round, box: Box) -> Belief:
    """Return a puddle as a round found it, with what was worked into it then."""
    belief = belief_of(last, box)
    if last.done is None:
        return belief
    added = [(ingredient(added, box), added.parts) for added in last.done.additions]
    return belief.with_added(added, THIRD if last.done.divided else 1.0)


def belief_of(row: Round, box: Box) -> Belief:
    """Return a puddle as a round found it, with the skin of a box.

    Raises:
        UnknownTube: the box lacks what is in the puddle.
    """
    if row.curves is None:
        return Belief(pile_of_colour(box, row.parts, row.lab), row.covariance)
    whole = sum(share for _, share in row.parts)
    return Belief(Pile(row.curves[0], row.curves[1], whole, box.surface), row.covariance)


def _of_fresh(last: Round, parts: Parts, box: Box) -> Belief | None:
    """Return the recipe told to be mixed anew, by the tubes as the photo has them, where it was."""
    if last.fresh_curves is None or dict(parts) != dict(last.fresh_parts):
        return None
    tubes, amounts = [box.tube(name) for name, _ in parts], np.array([share for _, share in parts])
    pile = Pile(last.fresh_curves[0], last.fresh_curves[1], float(amounts.sum()), box.surface)
    return Belief(pile, covariance(Palette.of(tubes, box.surface), tubes, amounts, pile.lab))


def ingredient(added: Added, box: Box) -> Ingredient:
    """Return what was added, as it was believed to be, else as the box has it.

    Raises:
        UnknownTube: the box lacks what is in it, and nothing else tells.
    """
    if added.curves is not None:
        whole = sum(share for _, share in added.own)
        own = tuple((tube, share / whole) for tube, share in added.own)
        absorption, scattering = np.array(added.curves)
        return Ingredient(added.name, PUDDLE, absorption, scattering, own)
    kind = LET_DOWN if LET_DOWN_NAME.fullmatch(added.name) else PUDDLE
    return puddle(added.name, box, added.own, kind)


def neighbour(painting: Painting, label: str, parts: float, box: Box) -> Added:
    """Return parts of a target's puddle, as it is now, to be worked into another.

    Raises:
        PaintingError: there is no such target, or it has no recipe.
    """
    belief = belief_now(painting, label, box)
    curves = None if belief is None else curves_of(belief.pile)
    return Added(label, parts, pile_now(painting, label).parts, curves)


def of_left_over(painting: Painting, label: str, parts: float, box: Box) -> Added | None:
    """Return parts of what remains of a target's puddle, None where nothing does."""
    last = _round_left(painting, label)
    if last is None:
        return None
    curves = curves_of(belief_of(last, box).pile)
    return Added(f"{label}{LEFT_OVER}", parts, last.parts, curves)


def curves_of(of: Pile | Ingredient) -> Curves:
    """Return K and S of one part of a puddle, as the record keeps them."""
    return tuple(of.absorption.tolist()), tuple(of.scattering.tolist())


def recipe_parts(painting: Painting, place: int) -> Parts:
    """Return the net parts of the recipe chosen for a target.

    Raises:
        PaintingError: it has no recipe.
    """
    recipe = chosen_recipe(painting, place)
    if recipe is None:
        label = painting.targets[place].label
        raise PaintingError("nothing_mixed", target=label)
    return _sum([(portion.tube, portion.parts) for portion in recipe.portions])


def parts_after(row: Round) -> Parts:
    """Return what is in a pile after what was done in a round, mixing anew apart."""
    if row.done is None or row.done.anew:
        return row.parts
    return worked_in(row.parts, row.done)


def worked_in(parts: Parts, done: Done) -> Parts:
    """Return a pile's parts after dividing and adding."""
    kept = THIRD if done.divided else 1.0
    own = [part for added in done.additions for part in own_parts(added)]
    return _sum([*((tube, kept * share) for tube, share in parts), *own])


def own_parts(added: Added) -> Parts:
    """Return the tubes of an addition in the parts that went in."""
    whole = sum(share for _, share in added.own)
    return tuple((tube, added.parts * share / whole) for tube, share in added.own)


def left_over(painting: Painting, label: str) -> Parts | None:
    """Return what remains of the last pile that was given up or divided, None where none was."""
    last = _round_left(painting, label)
    return None if last is None else last.parts


def _round_left(painting: Painting, label: str) -> Round | None:
    rounds = rounds_of(painting, painting.targets[place_of(painting, label)].label)
    left = [one for one in rounds if one.done and (one.done.anew or one.done.divided)]
    return left[-1] if left else None


def corrections_done(painting: Painting, label: str, look: str = "") -> int:
    """Return how often something was worked into the pile that is there now.

    ``look`` is as for `pile_now`: of a photo that was looked at before, only what came before it.
    """
    now = pile_now(painting, label, look)
    rounds = rounds_of(painting, painting.targets[place_of(painting, label)].label)
    of_pile = [row for row in rounds if row.pile == now.pile and row.number < now.number]
    done = [row.done for row in of_pile if row.done is not None and not row.done.anew]
    return sum(1 for row in done if row.additions)


def with_round(painting: Painting, look: Look, row: Round) -> Painting:
    """Return the painting with a round, and the look it belongs to, in its record.

    A photo is in the record once. The same photo and target again takes the old round's place, and
    what was done then stays done.

    Raises:
        ValueError: the round is of another photo.
    """
    if row.look != look.photo.sha256:
        raise ValueError("a round belongs to the photo it was seen in")
    looks = _put(
        painting.looks, look, [old.photo.sha256 == look.photo.sha256 for old in painting.looks]
    )
    same = [(old.look, old.target) == (row.look, row.target) for old in painting.rounds]
    if any(same) and row.done is None:
        row = replace(row, done=painting.rounds[same.index(True)].done)
    return replace(painting, looks=looks, rounds=_put(painting.rounds, row, same))


def with_done(painting: Painting, label: str, done: Done | None) -> Painting:
    """Return the painting with what was done after the last round of a target, None for nothing.

    What was said before of that round is replaced: only the last word counts.

    Raises:
        PaintingError: there is no such target, or no dab of it was looked at yet.
    """
    last = last_round(painting, label)
    changed = tuple(replace(row, done=done) if row is last else row for row in painting.rounds)
    return replace(painting, rounds=changed)


def with_record_of(painting: Painting, old: Painting) -> Painting:
    """Return a plan made anew, with what was seen of its dabs, and learnt from them, before.

    Rounds go by the name of their target; where it has only a number, by its place in the photo,
    since another plan counts other holes.
    """
    return replace(
        painting,
        looks=old.looks,
        rounds=relabelled(old.rounds, _keys(old), _keys(painting)),
        pencilled=relabelled(old.pencilled, _keys(old), _keys(painting)),
        canvases=old.canvases,
        learnings=old.learnings,
        learns=old.learns,
    )


def _keys(painting: Painting) -> dict[str, str]:
    """Return each target's label by what tells it from others in any plan of the photo."""
    keys = {}
    for number, target in enumerate(painting.targets, start=1):
        x_px, y_px = place_in_photo(painting, target)
        place = f"at {x_px:.0f}, {y_px:.0f}{f' of {target.photo}' if target.photo else ''}"
        keys[place if target.label == str(number) else target.label] = target.label
    return keys


def relabelled(
    rounds: tuple[OfTarget, ...], before: Mapping[str, str], after: Mapping[str, str]
) -> tuple[OfTarget, ...]:
    """Return rounds that follow their targets when these are named anew.

    Holes without a name are called by their number, so that a hole taken away hands its number to
    the next; its rounds must not go with it. They are put by under the hole's key, and come back
    when the hole does.

    Args:
        rounds: the rounds of a painting, or what was pencilled in before them.
        before: the label of each hole by its key, as the rounds have it.
        after: the same as it is to be.
    """
    names = {
        label: after.get(key, f"{label}{_PUT_BY.format(key)}") for key, label in before.items()
    }
    back = {_PUT_BY.format(key): label for key, label in after.items() if key not in before}

    def name(target: str) -> str:
        back_again = next(
            (label for ending, label in back.items() if target.endswith(ending)), None
        )
        return back_again or names.get(target, target)

    return tuple(replace(row, target=name(row.target)) for row in rounds)


def last_round(painting: Painting, label: str) -> Round:
    """Return the last round of a target.

    Raises:
        PaintingError: there is no such target, or no dab of it was looked at yet.
    """
    name = painting.targets[place_of(painting, label)].label
    rounds = rounds_of(painting, name)
    if not rounds:
        raise PaintingError("not_looked_at", target=name)
    return rounds[-1]


def _put(kept: tuple[T, ...], new: T, same: list[bool]) -> tuple[T, ...]:
    """Put something in the place of its like, or at the end where there is none."""
    if not any(same):
        return (*kept, new)
    return tuple(new if like else old for old, like in zip(kept, same, strict=True))


def _sum(portions: list[tuple[str, float]]) -> Parts:
    """Add up the parts of each tube, in the order in which the tubes first come."""
    whole: dict[str, float] = {}
    for tube, parts in portions:
        whole[tube] = whole.get(tube, 0.0) + parts
    return tuple((tube, parts) for tube, parts in whole.items() if parts > 0.0)


RECIPE = "the recipe"
"""The name of a whole recipe among what went into a puddle."""

BY_ITS_RECIPE = "mixed it anew by its recipe"
BY_THE_FRESH = "mixed it anew by the recipe that was told"
LEFT = "left it as it was"
DIVIDED = "divided it and kept a third to go on with"


def figure(parts: float) -> str:
    """Return parts as they are counted: "½", "2¼", "12"; what is no quarter to two figures."""
    quarters = round(4.0 * parts)
    if quarters and abs(4.0 * parts - quarters) < 1e-6:
        whole, over = divmod(quarters, 4)
        return f"{whole or ''}{('', '¼', '½', '¾')[over]}"
    return f"{parts:.2g}" if parts < 10.0 else f"{parts:.1f}".removesuffix(".0")


def counted(parts: float) -> str:
    """Return "½ part", "1 part", "2½ parts"."""
    return f"{figure(parts)} {'part' if parts <= 1.0 else 'parts'}"


def added_words(additions: Sequence[Added], verb: str = "added") -> str:
    """Return "added 1 part of titanium white, then ½ part of the core"."""
    clauses = (
        f"{counted(added.parts)} of {'the core' if added.name == CORE else added.name}"
        for added in additions
    )
    return f"{verb} {', then '.join(clauses)}"


def done_words(additions: Sequence[Added], *, divided: bool) -> str:
    """Return what was done to a pile in one clause; without additions, that it was only divided."""
    if divided:
        return f"{DIVIDED}, {added_words(additions)}" if additions else DIVIDED
    return added_words(additions) if additions else LEFT


def parts_line(parts: Parts) -> str:
    """Return what is in a puddle in one line: "24 titanium white + 7½ hansa yellow"."""
    return " + ".join(f"{figure(share)} {tube}" for tube, share in parts)


def anew_words(additions: Sequence[Added]) -> str:
    """Return that another pile was mixed, and of what: "mixed it anew: 3 parts of ..."."""
    return added_words(additions, "mixed it anew:").replace(", then ", ", ")


def first_words(additions: Sequence[Added]) -> str:
    """Return what a first puddle was mixed of: "mixed it of 4½ parts of ..."."""
    return added_words(additions, "mixed it of").replace(", then ", ", ")
