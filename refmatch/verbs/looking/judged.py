"""Dabs judged: what each pile is, how far from its target, and what to do about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import lch_differences
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.painting.rounds import REFERENCE, Beside
from refmatch.recipe.model import Recipe
from refmatch.swatch.believed import box_as_found
from refmatch.swatch.checked import ALONE, Checked, Job
from refmatch.swatch.correct import correct
from refmatch.swatch.dab import Spot
from refmatch.swatch.finish import SUNK
from refmatch.swatch.gates import STRAINED
from refmatch.swatch.lamp import Light
from refmatch.swatch.look import Looked, look
from refmatch.swatch.pile import Ingredient, Pile, ingredients_of, pile_of
from refmatch.swatch.words import judge
from refmatch.target import Target
from refmatch.verbs.looking.known import known_of, parts_of, references_told, same_pigments
from refmatch.verbs.looking.seen import Seen
from refmatch.verbs.mix import mix

SURPRISING = 3.5
"""How many standard errors photo and recipe may be apart: chance alone does it once in 150."""


@dataclass(frozen=True)
class Terms:
    """How dabs are looked at: the light as far as it is told, and how they dried."""

    light: Light | None
    state: str


def judged(
    box: Box,
    jobs: Sequence[Job],
    seen: Seen,
    terms: Terms,
    puddles: Mapping[str, Sequence[Ingredient]],
) -> tuple[tuple[Checked, ...], tuple[Flag, ...]]:
    """Return each pile that a photo shows judged, and what is to be said of the photo.

    ``puddles`` are, for each target's label, the other puddles that are on the palette.

    Raises:
        UnknownTube: a pile holds none of the box's tubes. UsageError: no such light.
    """
    shown = [job for job in jobs if job.label in seen.spots]
    parts = np.stack([parts_of(box, job.parts) for job in shown])
    spots = [seen.spots[job.label] for job in shown]
    known = known_of(seen.beside, box, shown[0].parts, terms.state)
    told = references_told(seen.beside, box)
    looked = look(box, parts, spots, known, light=terms.light, state=terms.state, told=told)
    found = tuple(
        _checked(box, job, number, looked, (seen, puddles.get(job.label, ())))
        for number, job in enumerate(shown)
    )
    return found, (*seen.flags, *_photo_flags(seen.beside, box, shown[0], looked, terms.state))


def _checked(
    box: Box,
    job: Job,
    number: int,
    looked: Looked,
    around: tuple[Seen, Sequence[Ingredient]],
) -> Checked:
    seen, puddles = around
    measured, found = looked.measured, looked.estimated
    pile, covariance = looked.piles[number], found.covariance_of(number)
    lab = pile.lab
    advice = correct(
        pile,
        job.target_lab,
        (*ingredients_of(box, job.parts), *puddles),
        doubt=covariance,
        round_number=job.corrections + 1,
    )
    fresh = _fresh(box, job, looked) if advice.fresh else None
    d_l, d_c, d_h = lch_differences(lab, job.target_lab)
    spot = seen.spots[job.label]
    return Checked(
        job=job,
        spot=spot,
        measured_lab=measured.lab[number],
        measured_covariance=measured.covariance_of(number),
        lab=lab,
        covariance=covariance,
        pile=pile,
        delta_lstar=float(d_l),
        delta_cstar=float(d_c),
        delta_hstar=float(d_h),
        verdict=judge(lab, job.target_lab, advice.doubt_delta_e_00),
        advice=advice,
        fresh=fresh,
        fresh_pile=_pile_of(fresh, box, looked),
        flags=(*seen.flags_of.get(job.label, ()), *_dab_flags(job, spot, found.surprise[number])),
    )


def _fresh(box: Box, job: Job, looked: Looked) -> Recipe | None:
    """Return the best recipe from the tubes as this photo has them."""
    target = Target(job.label, job.target_lab)
    recipes = mix([target], box_as_found(box, looked.estimated), job.options).answers[0].recipes
    return recipes[0] if recipes else None


def _pile_of(fresh: Recipe | None, box: Box, looked: Looked) -> Pile | None:
    if fresh is None:
        return None
    portions = [(portion.tube, portion.parts) for portion in fresh.portions]
    return pile_of(box_as_found(box, looked.estimated), portions)


def _dab_flags(job: Job, spot: Spot, surprise: float) -> tuple[Flag, ...]:
    flags = []
    dab = "The dab" if job.label == ALONE else f"The dab of '{job.label}'"
    if spot.is_clipped:
        flags.append(
            Flag(
                "clipped_dab",
                f"{dab} is at an end of the photo's scale, so the photo tells only a bound; "
                "photograph it again, a little darker or lighter.",
            )
        )
    if surprise > SURPRISING:
        flags.append(
            Flag(
                "recipe_doubted",
                f"{dab} and its recipe are farther apart than both can be wrong: is it the right "
                "dab, and is its recipe what was mixed?",
            )
        )
    return tuple(flags)


def _photo_flags(
    beside: Sequence[Beside], box: Box, job: Job, looked: Looked, state: str
) -> tuple[Flag, ...]:
    flags = []
    references = [each for each in beside if each.kind == REFERENCE]
    if any(not same_pigments(box, each.parts, job.parts) for each in references):
        flags.append(
            Flag(
                "metameric_reference",
                "The reference is not made of the dab's pigments, or nobody said so: what looks "
                "alike to you may look other to the camera, by about 1 dE00 and more by lamplight.",
            )
        )
    if looked.measured.strain > STRAINED:
        flags.append(
            Flag(
                "strained_light",
                "What is known in the photo does not agree with any camera; is the grey card or "
                "the chart in the shade, or in another light than the dab? Photograph it again.",
            )
        )
    if state == SUNK:
        flags.append(
            Flag(
                "sunk",
                "A sunk dab looks lighter and greyer than it is; it is judged as it will look "
                "oiled out or varnished, which in darks is less sure.",
            )
        )
    return tuple(flags)
