"""A dab against its target: how far off the puddle is, and what to do about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from refmatch.card.spots import Places, Reference, on_dab_card, pointed_to
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import CardError, RefmatchError, UsageError
from refmatch.flag import Flag, flag_of
from refmatch.paint.box import Box
from refmatch.paint.box_file import open_box
from refmatch.painting.checks import LookSaid, job_of, puddles_of, record
from refmatch.painting.dab_card import dab_card_of
from refmatch.painting.model import Painting
from refmatch.painting.own_box import box_of, looked_at, options_for
from refmatch.painting.record import place_of
from refmatch.painting.store import mark_of, open_folder
from refmatch.photo.load import load
from refmatch.photo.photo import Photo
from refmatch.recipe.doubt import generic_flags
from refmatch.swatch.beside import way_of
from refmatch.swatch.camera import Light, light_said
from refmatch.swatch.checked import ALONE, Checks, DabsSeen, Job, Terms, judged
from refmatch.swatch.finish import STATES, WET
from refmatch.swatch.own_camera import SAME
from refmatch.swatch.pile import Ingredient, Parts, puddle
from refmatch.verbs.learning import learn_if_on


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
    seen = pointed_to(photo, ALONE, asked.places, box, _reference(asked, box))
    return _judged(asked, box, (job,), seen, {ALONE: _puddles(asked, box)})


def _of_painting(asked: CheckAsked, folder: Path) -> Checks:
    mark = mark_of(folder)
    painting = open_folder(folder).painting
    box = looked_at(open_box(asked.box), painting.finish) if asked.box else box_of(painting)
    photo = load(asked.photo)
    seen, labels = _seen_of(asked, folder, painting, box, photo)
    own = _named(asked.recipe, box)
    jobs = tuple(_job(painting, label, own, photo.sha256) for label in labels)
    puddles = {
        label: (*puddles_of(painting, box, label), *_puddles(asked, box)) for label in labels
    }
    found = _judged(asked, box, jobs, seen, puddles)
    today = date.today().isoformat()
    said = LookSaid(today, asked.light or "", asked.state, found.way, seen.beside)
    record(folder, asked.photo, found.found, said, (painting, mark))
    return _with_learnt(folder, found)


def _job(painting: Painting, label: str, own: Parts, look: str) -> Job:
    return job_of(painting, label, own, look, options_for(painting, place_of(painting, label)))


def _with_learnt(folder: Path, found: Checks) -> Checks:
    """Let the box learn where its painter wants that; what was found is told in any case."""
    try:
        learned = learn_if_on(folder)
    except RefmatchError as error:
        return replace(found, flags=(*found.flags, Flag("not_learnt", why=flag_of(error))))
    if learned is None or learned.update is None:
        return found
    learnt = tuple(change.words for change in learned.changes if change.is_other)
    return replace(found, learnt=learnt)


def _seen_of(
    asked: CheckAsked, folder: Path, painting: Painting, box: Box, photo: Photo
) -> tuple[DabsSeen, tuple[str, ...]]:
    """Return what is seen, and the labels of the targets to judge."""
    if asked.places is not None:
        if asked.target_label is None:
            raise UsageError("whose_dab")
        label = painting.targets[place_of(painting, asked.target_label)].label
        return pointed_to(photo, label, asked.places, box, _reference(asked, box)), (label,)
    seen = on_dab_card(photo, dab_card_of(folder))
    if asked.target_label is not None:
        label = painting.targets[place_of(painting, asked.target_label)].label
        if label not in seen.spots:
            raise CardError("window_empty", label=label, photo=photo.path.name)
        return seen, (label,)
    known = {target.label for target in painting.targets}
    labels = tuple(label for label in seen.spots if label in known)
    if not labels:
        raise CardError("no_dab_on_card", photo=photo.path.name)
    return seen, labels


def _reference(asked: CheckAsked, box: Box) -> Reference | None:
    told = asked.reference
    return None if told is None else replace(told, parts=_named(told.parts, box))


def _judged(
    asked: CheckAsked,
    box: Box,
    jobs: tuple[Job, ...],
    seen: DabsSeen,
    puddles: Mapping[str, Sequence[Ingredient]],
) -> Checks:
    terms = Terms(_light(asked.light, box), asked.state)
    found, flags = judged(box, jobs, seen, terms, puddles)
    used = {name for job in jobs for name, share in job.parts if share > 0.0}
    generic = generic_flags([tube for tube in box.tubes if tube.name in used])
    return Checks(
        photo=asked.photo.name,
        box=box,
        found=found,
        way=way_of(seen.beside),
        state=asked.state,
        light=asked.light,
        whole_card=asked.places is None and asked.target_label is None,
        flags=(*generic, *flags),
        outlines=seen.outlines,
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
    return tuple((box.tube(name).name, share) for name, share in parts if share > 0.0)


def _puddles(asked: CheckAsked, box: Box) -> list[Ingredient]:
    return [puddle(name, box, _named(parts, box)) for name, parts in asked.puddles]
