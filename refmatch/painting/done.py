"""What the painter did after a look at a puddle, put into the painting's record."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.additions import CORE, Parts
from refmatch.dabs.belief import Belief
from refmatch.errors import PaintingError, UnknownTube, UsageError
from refmatch.paint.box import Box
from refmatch.paint.portions import LET_DOWN_NAME
from refmatch.painting.model import Added, Advised, Done, Painting, Round
from refmatch.painting.own_box import box_of
from refmatch.painting.record import (
    BY_ITS_RECIPE,
    BY_THE_FRESH,
    LEFT_OVER,
    RECIPE,
    PileNow,
    anew_words,
    belief_now,
    done_words,
    first_words,
    last_round,
    neighbour,
    of_left_over,
    pencilled_parts,
    pile_now,
    place_of,
    recipe_parts,
    rounds_of,
    with_done,
    with_pencilled,
    worked_in,
)
from refmatch.painting.store import Mark, mark_of, open_folder, save


@dataclass(frozen=True)
class DidAsked:
    """What the painter says was done.

    ``correction`` is the number of one that was told, 1 for the first; ``added`` is what else went
    in, names and parts counted in the puddle's own; ``divided`` means that it went into a third of
    the puddle; ``anew`` that another was mixed instead: of ``added`` where that is given, else by
    the recipe that the check told, else by the recipe chosen. Before any check, ``anew`` of
    ``added`` pencils in what the first puddle was mixed of.
    """

    correction: int | None = None
    added: Parts = ()
    divided: bool = False
    anew: bool = False


@dataclass(frozen=True, eq=False)
class Recorded:
    """What was put into the record, what the puddle now holds.

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
    target = painting.targets[place_of(painting, label)].label
    if asked.anew and asked.added and not rounds_of(painting, target):
        return _pencilled_in(folder, painting, target, asked.added, over=mark)
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
    )


def _pencilled_in(
    folder: Path, painting: Painting, target: str, mixed: Parts, *, over: Mark
) -> Recorded:
    """Record what a first puddle was really mixed of, before any look at it."""
    before = pencilled_parts(painting, target)
    additions = tuple(_at_hand(name, parts, painting, None) for name, parts in mixed)
    done = Done(False, additions, first_words(additions), anew=True)
    painting = save(folder, with_pencilled(painting, target, worked_in((), done)), over=over)
    old = tuple(Added(tube, share, ((tube, 1.0),)) for tube, share in before)
    return Recorded(
        painting=painting,
        target=target,
        target_lab=painting.targets[place_of(painting, target)].lab,
        done=done,
        replaced=Done(False, old, first_words(old), anew=True) if old else None,
        now=pile_now(painting, target),
        belief=None,
    )


def take_back(folder: Path, label: str) -> Painting:
    """Take back what was said to be done after the last round of a target: it waits again.

    Before any round that is what was pencilled in: the puddle is as by its recipe.

    Raises:
        PaintingError: no painting, no such target, or no round yet.
    """
    mark = mark_of(folder)
    painting = open_folder(folder).painting
    target = painting.targets[place_of(painting, label)].label
    if pencilled_parts(painting, target) and not rounds_of(painting, target):
        return save(folder, with_pencilled(painting, target, ()), over=mark)
    last = last_round(painting, label)
    return save(folder, with_done(painting, last.target, None), over=mark)


def check_asked(asked: DidAsked) -> None:
    """Refuse what cannot have been done.

    Raises:
        UsageError: so it is.
    """
    if asked == DidAsked():
        raise UsageError("nothing_done")
    if asked.anew and (asked.divided or asked.correction is not None):
        raise UsageError("anew_and_corrected")


def done_of(asked: DidAsked, painting: Painting, last: Round) -> Done:
    """Return what was done after a round, in the form that the record keeps.

    Raises:
        PaintingError, UsageError, UnknownTube: as in `did`.
    """
    if asked.anew:
        return _mixed_anew(asked, painting, last)
    advised: tuple[Added, ...] = ()
    if asked.correction is not None:
        advised = _advice(last, asked.correction).additions
        if asked.divided and not last.divide:
            raise UsageError(
                "correction_of_the_whole",
                number=asked.correction,
                tube=advised[0].name,
                parts=advised[0].parts,
            )
    divided = asked.divided or (asked.correction is not None and last.divide)
    additions = (*advised, *(_at_hand(name, parts, painting, last) for name, parts in asked.added))
    return Done(divided, additions, done_words(additions, divided=divided))


def _mixed_anew(asked: DidAsked, painting: Painting, last: Round) -> Done:
    """Return what another pile was mixed of; a recipe as it now is, since it may yet change."""
    if asked.added:
        additions = tuple(_at_hand(name, parts, painting, last) for name, parts in asked.added)
        return Done(False, additions, anew_words(additions), anew=True)
    parts = last.fresh_parts or recipe_parts(painting, place_of(painting, last.target))
    whole = Added(RECIPE, sum(share for _, share in parts), parts)
    return Done(False, (whole,), BY_THE_FRESH if last.fresh_parts else BY_ITS_RECIPE, anew=True)


def _advice(last: Round, number: int) -> Advised:
    """Return a correction by its number, 1 for the first."""
    if 1 <= number <= len(last.corrections):
        return last.corrections[number - 1]
    if not last.corrections:
        raise PaintingError("no_correction_told", target=last.target)
    raise PaintingError(
        "no_such_correction", target=last.target, number=number, count=len(last.corrections)
    )


def _at_hand(name: str, parts: float, painting: Painting, last: Round | None) -> Added:
    """Return an addition: a tube, a let-down of it, the core, or the puddle of another target.

    A puddle goes before what only part of a tube's name says.
    """
    box = box_of(painting)
    if (let_down := LET_DOWN_NAME.fullmatch(name)) is not None:
        tube, white = box.tube(let_down["tube"]).name, int(let_down["white"])
        own = ((tube, 1.0), (box.white.name, float(white)))
        return Added(f"{tube}, 1 to {white} white", parts, own)
    if name.casefold() == CORE:
        if last is None:
            raise UsageError("core_of_nothing")
        return Added(CORE, parts, _core(painting, last, box))
    tubes = {tube.name.casefold() for tube in box.tubes}
    puddles = {target.label.casefold() for target in painting.targets}
    if name.casefold() in puddles - tubes:
        return _of_another(name, parts, painting, UnknownTube(name, tubes, box.name))
    try:
        tube = box.tube(name).name
    except UnknownTube as unknown:
        return _of_another(name, parts, painting, unknown)
    return Added(tube, parts, ((tube, 1.0),))


def _of_another(name: str, parts: float, painting: Painting, unknown: UnknownTube) -> Added:
    """Return an addition of another target's puddle, or of what was left over of one."""
    box = box_of(painting)
    whole = name.removesuffix(LEFT_OVER)
    try:
        label = painting.targets[place_of(painting, whole)].label
    except PaintingError:
        raise unknown from None
    if whole == name:
        return neighbour(painting, label, parts, box)
    left = of_left_over(painting, label, parts, box)
    if left is None:
        raise PaintingError("nothing_left_over", target=label)
    return left


def _core(painting: Painting, last: Round, box: Box) -> Parts:
    """Return the colours, without white, that the pile was begun with."""
    begun = next(row for row in rounds_of(painting, last.target) if row.pile == last.pile)
    colours = tuple(row for row in begun.parts if not box.tube(row[0]).is_white)
    if not colours:
        raise PaintingError("no_core", target=last.target)
    return colours
