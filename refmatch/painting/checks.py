"""Puddles of a painting to be checked, and checks put into its record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box
from refmatch.painting.model import Painting
from refmatch.painting.record import (
    LEFT_OVER,
    corrections_done,
    left_over,
    parts_after,
    pile_now,
    rounds_of,
    with_round,
)
from refmatch.painting.rounds import Added, Advised, Look, Round
from refmatch.painting.store import Mark, keep_check, save
from refmatch.recipe.model import Recipe
from refmatch.recipe.solve import Options
from refmatch.swatch.beside import Beside
from refmatch.swatch.checked import Checked, Job
from refmatch.swatch.correct import Correction
from refmatch.swatch.pile import Ingredient, Parts, Pile, puddle


@dataclass(frozen=True, eq=False)
class LookSaid:
    """What is to be remembered of a photo beside what it showed."""

    date: str
    light: str
    state: str
    way: str
    beside: tuple[Beside, ...]


def job_of(painting: Painting, label: str, own: Parts, look: str, options: Options) -> Job:
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
        options=options,
    )


def puddles_of(painting: Painting, box: Box, label: str) -> list[Ingredient]:
    """Return the puddles that other targets have on the palette, and what was left over.

    Only what was looked at is surely there.
    """
    found = []
    for other in (target.label for target in painting.targets):
        rounds = rounds_of(painting, other)
        if other != label and rounds and not (rounds[-1].done and rounds[-1].done.anew):
            found.append(puddle(other, box, parts_after(rounds[-1])))
        if left := left_over(painting, other):
            found.append(puddle(f"{other}{LEFT_OVER}", box, left))
    return found


def record(
    folder: Path,
    photo: Path,
    found: Sequence[Checked],
    said: LookSaid,
    over: tuple[Painting, Mark],
) -> Painting:
    """Keep a photo and what it said of each puddle, and return the painting as saved.

    ``over`` is the painting as it was read, and the mark by which its folder was then known.

    Raises:
        StaleRevision: another program has saved the painting meanwhile. OutputError: it cannot be
            written.
    """
    painting, mark = over
    kept = keep_check(folder, photo)
    look = Look(kept, said.date, said.light, said.state, said.way, said.beside)
    for checked in found:
        painting = with_round(painting, look, round_of(checked, kept.sha256))
    return save(folder, painting, over=mark)


def round_of(found: Checked, look: str) -> Round:
    """Return a judged puddle as the record keeps it."""
    job, advice = found.job, found.advice
    return Round(
        target=job.label,
        target_lab=job.target_lab,
        pile=job.pile,
        number=job.number,
        look=look,
        spot=found.spot,
        parts=job.parts,
        measured_lab=found.measured_lab,
        measured_covariance=found.measured_covariance,
        lab=found.lab,
        covariance=found.covariance,
        delta_e_00=advice.delta_e_00,
        verdict=found.verdict.name,
        words=found.verdict.words,
        corrections=tuple(_advised(correction) for correction in advice.corrections),
        divide=advice.divide,
        fresh=advice.fresh,
        advice=advice.words,
        fresh_parts=_net(found.fresh),
        curves=_curves(found.pile),
        fresh_curves=None if found.fresh_pile is None else _curves(found.fresh_pile),
    )


def _curves(pile: Pile) -> Array:
    return np.stack([pile.absorption, pile.scattering])


def _net(recipe: Recipe | None) -> Parts:
    if recipe is None:
        return ()
    return tuple((portion.tube, portion.parts) for portion in recipe.portions)


def _advised(correction: Correction) -> Advised:
    additions = tuple(
        Added(addition.ingredient.name, addition.parts, addition.ingredient.own_parts)
        for addition in correction.additions
    )
    lab, distance = correction.predicted_lab, correction.predicted_delta_e_00
    return Advised(additions, lab, distance, correction.words)
