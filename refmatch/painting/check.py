"""A dab against its target: how far off the puddle is, and what to do about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs import dab_card as dab_form
from refmatch.dabs.additions import PUDDLE, Ingredient, Parts, puddle
from refmatch.dabs.beside import DabPhoto, way_of
from refmatch.dabs.camera import SAME, Light, light_said
from refmatch.dabs.checked import ALONE, Checked, Checks, Job, judged
from refmatch.dabs.correct import Correction
from refmatch.dabs.dab_card import DabCard, as_it_stands
from refmatch.dabs.spot import STATES, WET
from refmatch.dabs.spots import Places, Reference, on_dab_card, pointed_to
from refmatch.errors import CardError, RefmatchError, UsageError
from refmatch.flag import Flag, flag_of
from refmatch.paint.box import Box
from refmatch.paint.box_file import open_box
from refmatch.paint.portions import in_tubes
from refmatch.painting.learning import learn_if_on
from refmatch.painting.model import Added, Advised, Look, Painting, Round
from refmatch.painting.own_box import box_of, looked_at, options_for
from refmatch.painting.record import (
    belief_before,
    corrections_done,
    curves_of,
    ingredient,
    neighbour,
    of_left_over,
    pile_now,
    place_of,
    rounds_of,
    with_round,
)
from refmatch.painting.store import Mark, keep_check, mark_of, open_folder, read_painting, save
from refmatch.photo.load import load
from refmatch.photo.photo import Photo
from refmatch.recipe.doubt import generic_flags
from refmatch.recipe.model import Recipe


def job_of(painting: Painting, label: str, own: Parts, look: str, box: Box) -> Job:
    """Return what is to be judged: the puddle of a target, by exact label, as it now is.

    ``own`` is what a painter says is in it, () where the record knows; ``look`` is the SHA-256 of
    the photo, since one that was looked at before shows the puddle as it then was.

    Raises:
        PaintingError: the target has no recipe, so nothing is mixed for it.
    """
    now = pile_now(painting, label, look)
    place = [target.label for target in painting.targets].index(label)
    return Job(
        label=label,
        target_lab=painting.targets[place].lab,
        parts=own or now.parts,
        pile=now.pile,
        number=now.number,
        corrections=corrections_done(painting, label, look),
        options=options_for(painting, place),
        # an earlier look tells nothing of a puddle that the painter says is of other parts
        belief=None if own else belief_before(painting, label, box, look),
    )


def puddles_of(painting: Painting, box: Box, label: str) -> list[Ingredient]:
    """Return the puddles that other targets have on the palette, and what was left over.

    Only what was looked at is surely there.
    """
    puddles = []
    for other in (target.label for target in painting.targets):
        rounds = rounds_of(painting, other)
        if other != label and rounds and not (rounds[-1].done and rounds[-1].done.anew):
            puddles.append(ingredient(neighbour(painting, other, 1.0, box), box))
        if left := of_left_over(painting, other, 1.0, box):
            puddles.append(ingredient(left, box))
    return puddles


def record(
    folder: Path, dabs: Sequence[Checked], look: Look, over: tuple[Painting, Mark]
) -> Painting:
    """Put a kept photo and what it said of each puddle on record; return the painting as saved.

    ``over`` is the painting as it was read, and the mark by which its folder was then known.

    Raises:
        StaleRevision: another program has saved the painting meanwhile. OutputError: it cannot be
            written.
    """
    painting, mark = over
    for checked in dabs:
        painting = with_round(painting, look, round_of(checked, look.photo.sha256))
    return save(folder, painting, over=mark)


def round_of(checked: Checked, look: str) -> Round:
    """Return a judged puddle as the record keeps it."""
    job, advice = checked.job, checked.advice
    return Round(
        target=job.label,
        target_lab=job.target_lab,
        pile=job.pile,
        number=job.number,
        look=look,
        spot=checked.spot,
        parts=job.parts,
        measured_lab=checked.measured_lab,
        measured_covariance=checked.measured_covariance,
        lab=checked.lab,
        covariance=checked.covariance,
        delta_e_00=advice.delta_e_00,
        verdict=checked.verdict.name,
        words=checked.verdict.words,
        corrections=tuple(_advised(correction) for correction in advice.corrections),
        divide=advice.divide,
        fresh=advice.fresh,
        advice=advice.words,
        fresh_parts=_net(checked.fresh),
        curves=np.array(curves_of(checked.pile)),
        fresh_curves=None
        if checked.fresh_pile is None
        else np.array(curves_of(checked.fresh_pile)),
    )


def _net(recipe: Recipe | None) -> Parts:
    if recipe is None:
        return ()
    return tuple((portion.tube, portion.parts) for portion in recipe.portions)


def _added(into: Ingredient, parts: float) -> Added:
    """Return an addition as the record keeps it; another puddle as it is now believed to be."""
    curves = curves_of(into) if into.kind == PUDDLE else None
    return Added(into.name, parts, into.own_parts, curves)


def _advised(correction: Correction) -> Advised:
    additions = tuple(
        _added(addition.ingredient, addition.parts) for addition in correction.additions
    )
    lab, distance = correction.predicted_lab, correction.predicted_delta_e_00
    return Advised(additions, lab, distance, correction.words)


DAB_CARD = "dab-card.json"
"""The layout of a painting's dab card, in its folder."""


def dab_card_of(painting: Path) -> DabCard:
    """Return the dab card last printed of a painting, as far as it still holds; see its flags.

    Raises:
        PaintingError: no painting, or a damaged one. CardError: it has no dab card, a damaged one,
            or one whose targets are all gone.
    """
    planned = read_painting(painting)
    card = dab_form.read_card_file(dab_card_layout(painting))
    return still_standing(card, planned, box_of(planned))


def still_standing(card: DabCard, painting: Painting, box: Box) -> DabCard:
    """Return the card with those windows that still mean what they say; flags tell of the rest.

    Raises:
        CardError: no target stands.
    """
    now = {target.label: target.lab for target in painting.targets}
    return as_it_stands(card, now, box, painting.title)


def dab_card_layout(painting: Path) -> Path:
    """Return where the layout of a painting's dab card lies."""
    return Path(painting) / DAB_CARD


@dataclass(frozen=True, eq=False)
class CheckAsked:
    """A photo of dabs, and what is known of it.

    ``places`` are where dab and known things lie, None where the painting's dab card tells.
    ``target_lab`` (3,) is the target and ``recipe`` what is in the puddle; of a painting both are
    known. ``light`` is kelvins, a lamp's name or "same"; ``puddles`` are others on the palette, by
    name.
    """

    photo: Path
    places: Places | None = None
    target_lab: Array | None = None
    recipe: Parts = ()
    box: Path | None = None
    light: str | None = None
    state: str = WET
    reference: Reference | None = None
    puddles: tuple[tuple[str, Parts], ...] = ()
    painting: Path | None = None
    target_label: str | None = None


def check(asked: CheckAsked) -> Checks:
    """Look at the dabs in a photo, judge each against its target, and say what to add.

    With a painting every look is put into its record, and its box learns where that is wanted.

    Raises:
        UsageError: something is missing or cannot be together. PhotoError, HoleError, BoxError,
            PaintingError, CardError, TargetError, OutputError: what they say.
    """
    if asked.state not in STATES:
        raise UsageError("no_such_state", state=asked.state, states=tuple(STATES))
    if asked.painting is None:
        return _alone(asked)
    return _of_painting(asked, asked.painting)


def _alone(asked: CheckAsked) -> Checks:
    if asked.places is None or asked.target_lab is None or not asked.recipe:
        raise UsageError("dab_unknown")
    box, photo = open_box(asked.box), load(asked.photo)
    job = Job(ALONE, asked.target_lab, _named(asked.recipe, box))
    spots = pointed_to(photo, ALONE, asked.places, box, _reference(asked, box))
    return _judged(asked, box, (job,), spots, {ALONE: _puddles(asked, box)})


def _of_painting(asked: CheckAsked, folder: Path) -> Checks:
    mark = mark_of(folder)
    painting = open_folder(folder).painting
    box = looked_at(open_box(asked.box), painting.finish) if asked.box else box_of(painting)
    photo = load(asked.photo)
    spots, labels = _spots_of(asked, folder, painting, box, photo)
    own = _named(asked.recipe, box)
    jobs = tuple(job_of(painting, label, own, photo.sha256, box) for label in labels)
    puddles = {
        label: (*puddles_of(painting, box, label), *_puddles(asked, box)) for label in labels
    }
    checks = _judged(asked, box, jobs, spots, puddles)
    look = Look(
        photo=keep_check(folder, asked.photo),
        date=date.today().isoformat(),
        light=asked.light or "",
        state=asked.state,
        way=checks.way,
        beside=spots.beside,
    )
    record(folder, checks.found, look, (painting, mark))
    return _with_learnt(folder, checks)


def _with_learnt(folder: Path, checks: Checks) -> Checks:
    """Let the box learn where its painter wants that; what was found is told in any case."""
    try:
        learned = learn_if_on(folder)
    except RefmatchError as error:
        return replace(checks, flags=(*checks.flags, Flag("not_learnt", why=flag_of(error))))
    if learned is None or learned.update is None:
        return checks
    learnt = tuple(change.words for change in learned.changes if change.is_other)
    return replace(checks, learnt=learnt)


def _spots_of(
    asked: CheckAsked, folder: Path, painting: Painting, box: Box, photo: Photo
) -> tuple[DabPhoto, tuple[str, ...]]:
    """Return what is seen, and the labels of the targets to judge."""
    if asked.places is not None:
        if asked.target_label is None:
            raise UsageError("whose_dab")
        label = painting.targets[place_of(painting, asked.target_label)].label
        return pointed_to(photo, label, asked.places, box, _reference(asked, box)), (label,)
    spots = on_dab_card(photo, dab_card_of(folder))
    if asked.target_label is not None:
        label = painting.targets[place_of(painting, asked.target_label)].label
        if label not in spots.spots:
            raise CardError("window_empty", label=label, photo=photo.path.name)
        return spots, (label,)
    known = {target.label for target in painting.targets}
    labels = tuple(label for label in spots.spots if label in known)
    if not labels:
        raise CardError("no_dab_on_card", photo=photo.path.name)
    return spots, labels


def _reference(asked: CheckAsked, box: Box) -> Reference | None:
    reference = asked.reference
    return None if reference is None else replace(reference, parts=_named(reference.parts, box))


def _judged(
    asked: CheckAsked,
    box: Box,
    jobs: tuple[Job, ...],
    photo: DabPhoto,
    puddles: Mapping[str, Sequence[Ingredient]],
) -> Checks:
    light = _light(asked.light, box)
    dabs, flags = judged(box, jobs, photo, puddles, light=light, state=asked.state)
    used = {name for job in jobs for name, share in job.parts if share > 0.0}
    generic = generic_flags([tube for tube in box.tubes if tube.name in used])
    return Checks(
        photo=asked.photo.name,
        box=box,
        found=dabs,
        way=way_of(photo.beside),
        state=asked.state,
        light=asked.light,
        whole_card=asked.places is None and asked.target_label is None,
        flags=(*generic, *flags),
        outlines=photo.outlines,
    )


def _light(said: str | None, box: Box) -> Light | None:
    if said is None:
        return None
    if said.strip().lower() != SAME:
        return light_said(said)
    if box.camera is None:
        raise UsageError("no_own_light", box=box.name)
    return SAME


def _named(parts: Parts, box: Box) -> Parts:
    """Return parts of tubes as the box calls them."""
    return in_tubes(parts, box)


def _puddles(asked: CheckAsked, box: Box) -> list[Ingredient]:
    return [puddle(name, box, _named(parts, box)) for name, parts in asked.puddles]
