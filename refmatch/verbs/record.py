"""What the painter did after a look at a puddle, put into the painting's record."""

from __future__ import annotations

import math
import shlex
from dataclasses import dataclass
from pathlib import Path

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import PaintingError, UnknownTube, UsageError
from refmatch.paint.box import Box
from refmatch.painting.model import Painting
from refmatch.painting.own_box import box_of
from refmatch.painting.record import (
    LET_DOWN_NAME,
    PileNow,
    belief_now,
    last_round,
    left_over,
    pile_now,
    place_of,
    recipe_parts,
    rounds_of,
    with_done,
)
from refmatch.painting.record_words import (
    BY_ITS_RECIPE,
    BY_THE_TOLD,
    RECIPE,
    anew_words,
    done_words,
)
from refmatch.painting.rounds import Added, Advised, Done, Parts, Round
from refmatch.painting.store import mark_of, open_folder, save
from refmatch.swatch.believed import Belief
from refmatch.swatch.pile import CORE

LEFT_OVER = ", left over"
"""Ends the name of what remains of a puddle that was given up or divided."""

NOTHING_SAID = (
    "Say what was done: the number of the correction told, or --added TUBE=PARTS, --divided, "
    "or --mixed-anew."
)


@dataclass(frozen=True)
class DidAsked:
    """What the painter says was done.

    ``correction`` is the number of one that was told, 1 for the first; ``added`` is what else went
    in, each "TUBE=PARTS" counted in the pile's own parts; ``divided`` means that it went into a
    third of the pile; ``anew`` that another pile was mixed instead: of ``added`` where that is
    given, else by the recipe that the check told, else by the recipe chosen.
    """

    correction: int | None = None
    added: tuple[str, ...] = ()
    divided: bool = False
    anew: bool = False


@dataclass(frozen=True, eq=False)
class Recorded:
    """What was put into the record, what the puddle now holds, and what to do next.

    ``replaced`` is what was said of that round before. ``belief`` is what the puddle is now
    believed to be, None where no photo tells of it.
    """

    painting: Painting
    target: str
    target_lab: Array
    done: Done
    replaced: Done | None
    now: PileNow
    belief: Belief | None
    next: str

    @property
    def delta_e_00(self) -> float | None:
        """How far the puddle is now believed to be from its target; None where nobody knows."""
        return None if self.belief is None else float(delta_e_00(self.belief.lab, self.target_lab))


def did(folder: Path, label: str, asked: DidAsked) -> Recorded:
    """Record what was done after the last round of a target, over what was said of it before.

    Raises:
        PaintingError: no painting, no such target, no round yet, or no such correction.
        UsageError: nothing is said, or what is said cannot be together. UnknownTube: something
            added is neither in the box nor on the palette.
    """
    check_asked(asked)
    folder = Path(folder)
    mark = mark_of(folder)
    painting = open_folder(folder).painting
    last = last_round(painting, label)
    done = done_of(asked, painting, last)
    painting = save(folder, with_done(painting, last.target, done), over=mark)
    return Recorded(
        painting=painting,
        target=last.target,
        target_lab=painting.targets[place_of(painting, last.target)].lab,
        done=done,
        replaced=last.done,
        now=pile_now(painting, last.target),
        belief=belief_now(painting, last.target, box_of(painting)),
        next=_next(folder, last.target, done),
    )


def take_back(folder: Path, label: str) -> Painting:
    """Take back what was said to be done after the last round of a target: it waits again.

    Raises:
        PaintingError: no painting, no such target, or no round yet.
    """
    mark = mark_of(folder)
    painting = open_folder(folder).painting
    last = last_round(painting, label)
    return save(folder, with_done(painting, last.target, None), over=mark)


def check_asked(asked: DidAsked) -> None:
    """Refuse what cannot have been done.

    Raises:
        UsageError: so it is.
    """
    if asked == DidAsked():
        raise UsageError(NOTHING_SAID)
    if asked.anew and (asked.divided or asked.correction is not None):
        raise UsageError(
            "A puddle mixed anew was neither corrected nor divided: with --mixed-anew only --added "
            "may stand, for all that is in it where that is not the recipe."
        )


def done_of(asked: DidAsked, painting: Painting, last: Round) -> Done:
    """Return what was done after a round, in the form that the record keeps.

    Raises:
        PaintingError, UsageError, UnknownTube: as in `did`.
    """
    if asked.anew:
        return _mixed_anew(asked, painting, last)
    told: tuple[Added, ...] = ()
    if asked.correction is not None:
        told = _told(last, asked.correction).additions
        if asked.divided and not last.divide:
            raise UsageError(
                f"Correction {asked.correction} is for the whole puddle; if you divided it first, "
                "say what went into the third, such as --divided --added "
                f'"{told[0].name}={told[0].parts:g}".'
            )
    divided = asked.divided or (asked.correction is not None and last.divide)
    additions = (*told, *(_added(text, painting, last) for text in asked.added))
    return Done(divided, additions, done_words(additions, divided=divided))


def _mixed_anew(asked: DidAsked, painting: Painting, last: Round) -> Done:
    """Return what another pile was mixed of; a recipe as it now is, since it may yet change."""
    if asked.added:
        additions = tuple(_added(text, painting, last) for text in asked.added)
        return Done(False, additions, anew_words(additions), anew=True)
    parts = last.fresh_parts or recipe_parts(painting, place_of(painting, last.target))
    whole = Added(RECIPE, sum(share for _, share in parts), parts)
    return Done(False, (whole,), BY_THE_TOLD if last.fresh_parts else BY_ITS_RECIPE, anew=True)


def _told(last: Round, number: int) -> Advised:
    """Return a correction by its number, 1 for the first."""
    if 1 <= number <= len(last.corrections):
        return last.corrections[number - 1]
    if not last.corrections:
        raise PaintingError(
            f"No correction was told for '{last.target}'; say what you added with --added "
            "TUBE=PARTS."
        )
    numbers = (
        "only correction 1 was"
        if len(last.corrections) == 1
        else (f"corrections 1 to {len(last.corrections)} were")
    )
    raise PaintingError(f"There is no correction {number} for '{last.target}': {numbers} told.")


def _added(text: str, painting: Painting, last: Round) -> Added:
    """Read "TUBE=PARTS": a tube, a let-down of it, the core, or the puddle of another target."""
    name, equals, amount = text.rpartition("=")
    try:
        parts = float(amount)
    except ValueError:
        parts = math.nan
    if not equals or not name.strip() or not 0.0 < parts < math.inf:
        raise UsageError(
            f"'{text}' is not TUBE=PARTS; write it like \"titanium white=0.5\", in the puddle's "
            "own parts."
        )
    return _at_hand(name.strip(), parts, painting, last)


def _at_hand(name: str, parts: float, painting: Painting, last: Round) -> Added:
    box = box_of(painting)
    try:
        tube = box.tube(name).name
        return Added(tube, parts, ((tube, 1.0),))
    except UnknownTube as unknown:
        if name.casefold() == CORE:
            return Added(CORE, parts, _core(painting, last, box))
        if (found := LET_DOWN_NAME.fullmatch(name)) is not None:
            tube, white = box.tube(found["tube"]).name, int(found["white"])
            own = ((tube, 1.0), (box.white.name, float(white)))
            return Added(f"{tube}, 1 to {white} white", parts, own)
        return _neighbour(name, parts, painting, unknown)


def _neighbour(name: str, parts: float, painting: Painting, unknown: UnknownTube) -> Added:
    """Return an addition of another target's puddle, or of what was left over of one."""
    whole = name.removesuffix(LEFT_OVER)
    try:
        label = painting.targets[place_of(painting, whole)].label
    except PaintingError:
        raise unknown from None
    if whole == name:
        return Added(label, parts, pile_now(painting, label).parts)
    left = left_over(painting, label)
    if left is None:
        raise PaintingError(f"Nothing is left over of the puddle of '{label}'.")
    return Added(f"{label}{LEFT_OVER}", parts, left)


def _core(painting: Painting, last: Round, box: Box) -> Parts:
    """Return the colours, without white, that the pile was begun with."""
    begun = next(each for each in rounds_of(painting, last.target) if each.pile == last.pile)
    colours = tuple(each for each in begun.parts if not box.tube(each[0]).is_white)
    if not colours:
        raise PaintingError(f"The puddle of '{last.target}' is all white, so it has no core.")
    return colours


def _next(folder: Path, target: str, done: Done) -> str:
    check = f"refmatch check PHOTO {_painting_words(folder, target)}"
    if done.anew:
        return f"Paint a dab of the new puddle, and look at it: {check}"
    return f"Paint a new dab, photograph it beside the grey card, and look again: {check}"


def _painting_words(folder: Path, target: str) -> str:
    return f"--painting {shlex.quote(str(folder))} --target-label {shlex.quote(target)}"
