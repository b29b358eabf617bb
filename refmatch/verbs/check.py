"""A dab against its target: how far off the pile is, and what to do about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from refmatch.errors import CardError, RefmatchError, UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.painting.model import Painting
from refmatch.painting.own_box import box_of, looked_at
from refmatch.painting.record import place_of
from refmatch.painting.rounds import Parts
from refmatch.painting.store import mark_of, open_folder
from refmatch.photo.load import load
from refmatch.photo.photo import Photo
from refmatch.say.sentence import sentence_of
from refmatch.swatch.checked import ALONE, Checks, Job
from refmatch.swatch.finish import STATES, WET
from refmatch.swatch.lamp import Light, light_said
from refmatch.swatch.own_camera import SAME
from refmatch.swatch.pile import Ingredient, puddle
from refmatch.verbs.card import dab_card_of
from refmatch.verbs.learning import learn_if_on
from refmatch.verbs.looking.by_dab_card import seen_by_dab_card
from refmatch.verbs.looking.judged import Terms, judged
from refmatch.verbs.looking.known import way_of
from refmatch.verbs.looking.palette import jobs_of, puddles_of
from refmatch.verbs.looking.pointed import Places, Reference, seen_where_pointed
from refmatch.verbs.looking.recorded import LookSaid, record
from refmatch.verbs.looking.seen import Seen
from refmatch.verbs.mix import generic_flags, open_box, parse_lab, portions_of


@dataclass(frozen=True)
class CheckAsked:
    """A photo of dabs, and what is known of it.

    ``places`` are where dab and known things lie, None where the painting's dab card tells.
    ``target`` is "L,a,b" and ``recipe`` what is in the pile, each "TUBE=PARTS"; of a painting
    both are known. ``light`` is kelvins, a lamp's name or "same"; ``puddles`` are others on the
    palette, each "NAME:TUBE=PARTS,TUBE=PARTS".
    """

    photo: Path
    places: Places | None = None
    target: str | None = None
    recipe: tuple[str, ...] = ()
    box: Path | None = None
    light: str | None = None
    state: str = WET
    reference_lab: str | None = None
    reference_recipe: tuple[str, ...] = ()
    puddles: tuple[str, ...] = ()
    painting: Path | None = None
    target_label: str | None = None


def check(asked: CheckAsked) -> Checks:
    """Look at the dabs in a photo, judge each against its target, and say what to add.

    With a painting every look is put into its record, and its box learns where that is wanted.

    Raises:
        UsageError: something is missing or cannot be together. PhotoError, HoleError, BoxError,
            PaintingError, CardError, TargetError, OutputError: what they say.
    """
    _check_words(asked)
    if asked.painting is None:
        return _alone(asked)
    return _of_painting(asked, asked.painting)


def _alone(asked: CheckAsked) -> Checks:
    if asked.places is None or asked.target is None or not asked.recipe:
        raise UsageError(
            'Say where the dab is, --hole X,Y,D, what it should be, --target "L,a,b", and what is '
            'in it, --recipe "TUBE=PARTS"; or give a --painting, which knows.'
        )
    box, photo = open_box(asked.box), load(asked.photo)
    job = Job(ALONE, parse_lab(asked.target), _parts(asked.recipe, box))
    seen = _pointed(photo, ALONE, asked, asked.places, box)
    return _judged(asked, box, (job,), seen, {ALONE: _puddles(asked, box)})


def _of_painting(asked: CheckAsked, folder: Path) -> Checks:
    mark = mark_of(folder)
    painting = open_folder(folder).painting
    box = looked_at(open_box(asked.box), painting.finish) if asked.box else box_of(painting)
    photo = load(asked.photo)
    seen, labels = _seen_of(asked, folder, painting, box, photo)
    jobs = jobs_of(painting, labels, _parts(asked.recipe, box), photo.sha256)
    puddles = {
        label: (*puddles_of(painting, box, label), *_puddles(asked, box)) for label in labels
    }
    found = _judged(asked, box, jobs, seen, puddles)
    today = date.today().isoformat()
    said = LookSaid(today, asked.light or "", asked.state, found.way, seen.beside)
    record(folder, asked.photo, found.found, said, (painting, mark))
    return _with_learnt(folder, found)


def _with_learnt(folder: Path, found: Checks) -> Checks:
    """Let the box learn where its painter wants that; what was found is told in any case."""
    try:
        learned = learn_if_on(folder)
    except RefmatchError as error:
        flag = Flag("not_learnt", f"The box has not learnt from this photo: {sentence_of(error)}")
        return replace(found, flags=(*found.flags, flag))
    if learned is None or learned.update is None:
        return found
    learnt = tuple(change.words for change in learned.changes if change.is_other)
    return replace(found, learnt=learnt)


def _seen_of(
    asked: CheckAsked, folder: Path, painting: Painting, box: Box, photo: Photo
) -> tuple[Seen, tuple[str, ...]]:
    """Return what is seen, and the labels of the targets to judge."""
    if asked.places is not None:
        if asked.target_label is None:
            raise UsageError(
                "Say whose dab it is that lies there, with --target-label LABEL; or print a dab "
                "card with 'refmatch card --painting FOLDER', which tells of itself."
            )
        label = painting.targets[place_of(painting, asked.target_label)].label
        return _pointed(photo, label, asked, asked.places, box), (label,)
    seen = seen_by_dab_card(photo, dab_card_of(folder))
    if asked.target_label is not None:
        label = painting.targets[place_of(painting, asked.target_label)].label
        if label not in seen.spots:
            raise CardError(
                f"The window of '{label}' is empty or lies outside '{photo.path.name}'; paint its "
                "dab and photograph the whole card."
            )
        return seen, (label,)
    known = {target.label for target in painting.targets}
    labels = tuple(label for label in seen.spots if label in known)
    if not labels:
        raise CardError(
            f"No dab is on the card in '{photo.path.name}'; paint one in its window first."
        )
    return seen, labels


def _pointed(photo: Photo, label: str, asked: CheckAsked, places: Places, box: Box) -> Seen:
    return seen_where_pointed(photo, label, places, box, _reference(asked, box))


def _reference(asked: CheckAsked, box: Box) -> Reference | None:
    if asked.reference_lab is None:
        return None
    return Reference(parse_lab(asked.reference_lab), _parts(asked.reference_recipe, box))


def _judged(
    asked: CheckAsked,
    box: Box,
    jobs: tuple[Job, ...],
    seen: Seen,
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
        raise UsageError(
            f"The box '{box.name}' was not made from a photo by this refmatch, so there is no "
            "light to be the same; leave --light out, or name the lamp."
        )
    return SAME


def _parts(recipe: Sequence[str], box: Box) -> Parts:
    """Read parts of tubes; () where nothing is said."""
    if not recipe:
        return ()
    return tuple((tube.name, share) for tube, share in portions_of(recipe, box) if share > 0.0)


def _puddles(asked: CheckAsked, box: Box) -> list[Ingredient]:
    return [_puddle(text, box) for text in asked.puddles]


def _puddle(text: str, box: Box) -> Ingredient:
    """Read another puddle on the palette, "NAME:TUBE=PARTS,TUBE=PARTS"."""
    name, colon, recipe = text.partition(":")
    if not colon or not name.strip() or not recipe.strip():
        raise UsageError(
            f"'{text}' is not a puddle; write NAME:TUBE=PARTS,TUBE=PARTS, such as "
            '"grey:ultramarine=1,burnt sienna=1,titanium white=4".'
        )
    return puddle(name.strip(), box, _parts(recipe.split(","), box))


def _check_words(asked: CheckAsked) -> None:
    """Refuse what cannot be, before any photo is read.

    Raises:
        UsageError: so it is.
    """
    if asked.state not in STATES:
        raise UsageError(f"A dab is {', '.join(STATES)}; not '{asked.state}'.")
    pointed = asked.places is not None and asked.places.reference is not None
    if pointed != (asked.reference_lab is not None):
        raise UsageError(
            "A reference needs both its place, --reference-hole X,Y,D, and its colour, "
            '--reference-lab "L,a,b".'
        )
    if asked.reference_recipe and not pointed:
        raise UsageError("--reference-recipe is for a reference: say where it lies, too.")
    if asked.painting is None and asked.target_label is not None:
        raise UsageError("--target-label names a target of a painting; give its --painting FOLDER.")
    if asked.painting is not None and asked.target is not None:
        raise UsageError(
            "A painting knows its targets; name one with --target-label, not --target."
        )
    if asked.recipe and asked.painting is not None and asked.target_label is None:
        raise UsageError("--recipe is of one pile; name its target with --target-label LABEL.")
