"""Dabs judged: what each pile is, how far from its target, and what to do about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from refmatch.colorimetry.lab import lch_differences
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.additions import Ingredient, Parts, Pile, ingredients_of, pile_of
from refmatch.dabs.belief import Belief, Believed, box_as_estimated, look
from refmatch.dabs.beside import (
    REFERENCE,
    Beside,
    DabPhoto,
    known_of,
    lacking,
    measured_references,
    parts_of,
    same_pigments,
)
from refmatch.dabs.camera import Light
from refmatch.dabs.correct import (
    CANNOT_TELL,
    FIRST_SEE,
    LEAVE_IT,
    NOT_SEEN,
    Advice,
    OpenCurves,
    correct,
    nothing,
)
from refmatch.dabs.doubt import SURPRISING
from refmatch.dabs.gates import STRAINED
from refmatch.dabs.spot import SUNK, Spot
from refmatch.dabs.verdict import OFF, WITHIN, Apart, Verdict, judge
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.recipe.model import Recipe
from refmatch.recipe.solve import Options, lay_out, solve
from refmatch.target import Target

ALONE = "1"
"""What a dab is called that belongs to no painting."""

AS_USUAL = Options()


@dataclass(frozen=True, eq=False)
class Job:
    """A pile to be judged: its target, what is meant to be in it, and which look at it this is.

    ``options`` say how a fresh recipe may look. ``belief`` is what earlier photos and the recipe
    say of it together, with what was worked in since; None where no photo was taken before.
    """

    label: str
    target_lab: Array
    parts: Parts
    pile: int = 1
    number: int = 1
    corrections: int = 0
    options: Options = AS_USUAL
    belief: Belief | None = None


@dataclass(frozen=True, eq=False)
class Checked:
    """One pile judged.

    ``measured_lab`` is what the photo says alone, ``lab`` what recipe and photo say together, each
    with its covariance (3, 3); ``pile`` is the puddle that has this colour; ``delta_lstar``,
    ``delta_cstar`` and ``delta_hstar`` are pile minus target; ``lacks`` names what would let a
    photo tell more (`dabs.beside.lacking`). ``fresh`` is the recipe to mix anew,
    where that is advised, and ``fresh_pile`` what it makes of the tubes as this photo has them.
    """

    job: Job
    spot: Spot
    measured_lab: Array
    measured_covariance: Array
    lab: Array
    covariance: Array
    pile: Pile
    delta_lstar: float
    delta_cstar: float
    delta_hstar: float
    verdict: Verdict
    lacks: str
    advice: Advice
    fresh: Recipe | None
    fresh_pile: Pile | None
    flags: tuple[Flag, ...]


@dataclass(frozen=True, eq=False)
class Checks:
    """What was found of each pile that a photo shows.

    ``way`` names by what they were looked at, ``state`` how they dried, ``light`` what was said of
    it, None where nothing was. ``whole_card`` is whether all dabs of a card were asked for.
    ``learnt`` are the sentences of what a box has learnt from them. ``outlines`` (4, 2) are
    the dabs' windows in the photo, in pixels, by label, where a card told of them.
    """

    photo: str
    box: Box
    found: tuple[Checked, ...]
    way: str
    state: str
    light: str | None
    whole_card: bool
    flags: tuple[Flag, ...]
    learnt: tuple[str, ...] = ()
    outlines: Mapping[str, Array] = field(default_factory=dict)


def judged(
    box: Box,
    jobs: Sequence[Job],
    shown: DabPhoto,
    puddles: Mapping[str, Sequence[Ingredient]],
    *,
    light: Light | None,
    state: str,
) -> tuple[tuple[Checked, ...], tuple[Flag, ...]]:
    """Return each pile that a photo shows judged, and what is to be said of the photo.

    ``puddles`` are, for each target's label, the other puddles that are on the palette. ``light``
    is None where nobody knows; ``state`` is how the dabs dried.

    Raises:
        UnknownTube: a pile holds none of the box's tubes. UsageError: no such light.
    """
    painted = [job for job in jobs if job.label in shown.spots]
    parts = np.stack([parts_of(box, job.parts) for job in painted])
    spots = [shown.spots[job.label] for job in painted]
    known = known_of(shown.beside, box, painted[0].parts, state)
    believed = look(
        box,
        parts,
        spots,
        known,
        light=light,
        state=state,
        references=measured_references(shown.beside, box),
        earlier=tuple(job.belief for job in painted),
    )
    checks = tuple(
        _checked(box, job, number, believed, (shown, puddles.get(job.label, ())))
        for number, job in enumerate(painted)
    )
    return checks, (*shown.flags, *_photo_flags(shown.beside, box, painted[0], believed, state))


def _checked(
    box: Box,
    job: Job,
    number: int,
    believed: Believed,
    around: tuple[DabPhoto, Sequence[Ingredient]],
) -> Checked:
    shown, puddles = around
    measured, estimate = believed.measured, believed.estimated
    pile, covariance = believed.piles[number], estimate.covariance_of(number)
    lab = pile.lab
    seen = measured.lab[number], measured.covariance_of(number)
    verdict, advice = advised(box, job, number, believed, puddles)
    fresh = _fresh(box, job, believed) if advice.fresh else None
    d_l, d_c, d_h = lch_differences(lab, job.target_lab)
    spot = shown.spots[job.label]
    return Checked(
        job=job,
        spot=spot,
        measured_lab=seen[0],
        measured_covariance=seen[1],
        lab=lab,
        covariance=covariance,
        pile=pile,
        delta_lstar=float(d_l),
        delta_cstar=float(d_c),
        delta_hstar=float(d_h),
        verdict=verdict,
        lacks=lacking(shown.beside, is_clipped=spot.is_clipped),
        advice=advice,
        fresh=fresh,
        fresh_pile=_pile_of(fresh, box, believed),
        flags=(
            *shown.flags_of.get(job.label, ()),
            *_dab_flags(job, spot, is_doubted=_is_doubted(believed, number)),
        ),
    )


def advised(
    box: Box, job: Job, number: int, believed: Believed, puddles: Sequence[Ingredient] = ()
) -> tuple[Verdict, Advice]:
    """Return the verdict on dab ``number`` of those looked at, and what to do about its puddle."""
    measured, estimate = believed.measured, believed.estimated
    pile, covariance, target = (
        believed.piles[number],
        estimate.covariance_of(number),
        job.target_lab,
    )
    photo = Apart.of(measured.lab[number], measured.covariance_of(number), target)
    verdict = judge(pile.lab, target, photo, Apart.of(pile.lab, covariance, target))
    why = _why_nothing(verdict, is_doubted=_is_doubted(believed, number))
    if why is not None:
        return verdict, nothing(pile, target, covariance, why)
    return verdict, correct(
        pile,
        target,
        (*ingredients_of(box, job.parts), *puddles),
        doubt=covariance,
        round_number=job.corrections + 1,
        curves=OpenCurves(box.tubes, estimate.modes),
    )


def _is_doubted(believed: Believed, number: int) -> bool:
    return bool(believed.estimated.surprise[number] > SURPRISING)


def _why_nothing(verdict: Verdict, *, is_doubted: bool) -> str | None:
    """Return why nothing is to be added, None where something may be.

    A puddle whose parts are in doubt is known by its colour alone, and that does not tell what
    half a part of anything would make of it.
    """
    if verdict.name == WITHIN:
        belief = verdict.belief
        return NOT_SEEN if belief.p50 < belief.delta_e_00 else LEAVE_IT
    if verdict.name != OFF:
        return CANNOT_TELL
    return FIRST_SEE if is_doubted else None


def _fresh(box: Box, job: Job, believed: Believed) -> Recipe | None:
    """Return the best recipe from the tubes as this photo has them."""
    target = Target(job.label, job.target_lab)
    recipes = solve(lay_out(box_as_estimated(box, believed.estimated), job.options), target).recipes
    return recipes[0] if recipes else None


def _pile_of(fresh: Recipe | None, box: Box, believed: Believed) -> Pile | None:
    if fresh is None:
        return None
    portions = [(portion.tube, portion.parts) for portion in fresh.portions]
    return pile_of(box_as_estimated(box, believed.estimated), portions)


def _dab_flags(job: Job, spot: Spot, *, is_doubted: bool) -> tuple[Flag, ...]:
    flags, label = [], "" if job.label == ALONE else job.label
    if spot.is_clipped:
        flags.append(Flag("clipped_dab", label=label))
    if is_doubted:
        flags.append(Flag("recipe_doubted", label=label))
    return tuple(flags)


def _photo_flags(
    beside: Sequence[Beside], box: Box, job: Job, believed: Believed, state: str
) -> tuple[Flag, ...]:
    flags = []
    references = [surface for surface in beside if surface.kind == REFERENCE]
    if any(not same_pigments(box, surface.parts, job.parts) for surface in references):
        flags.append(Flag("metameric_reference"))
    if believed.measured.strain > STRAINED:
        flags.append(Flag("strained_light"))
    if state == SUNK:
        flags.append(Flag("sunk"))
    return tuple(flags)
