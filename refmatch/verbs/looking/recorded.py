"""Looks at dabs, put into the painting's record: one photo, and what it said of each pile."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.painting.model import Painting
from refmatch.painting.record import with_round
from refmatch.painting.rounds import Added, Advised, Beside, Look, Parts, Round
from refmatch.painting.store import Mark, keep_check, save
from refmatch.recipe.model import Recipe
from refmatch.swatch.checked import Checked
from refmatch.swatch.correct import Correction
from refmatch.swatch.pile import Pile
from refmatch.verbs.looking.saved import saved


@dataclass(frozen=True, eq=False)
class LookSaid:
    """What is to be remembered of a photo beside what it showed."""

    date: str
    light: str
    state: str
    way: str
    beside: tuple[Beside, ...]


def record(
    folder: Path,
    photo: Path,
    found: Sequence[Checked],
    said: LookSaid,
    over: tuple[Painting, Mark],
) -> Painting:
    """Keep a photo and what it said of each pile, and return the painting as saved.

    ``over`` is the painting as it was read, and the mark by which its folder was then known.

    Raises:
        StaleRevision: another program has saved the painting meanwhile. OutputError: it cannot be
            written.
    """
    painting, mark = over
    kept = keep_check(folder, photo)
    look = Look(kept, said.date, said.light, said.state, said.way, said.beside)
    for each in found:
        painting = with_round(painting, look, round_of(each, kept.sha256))
    return save(folder, painting, over=mark)


def round_of(found: Checked, look: str) -> Round:
    """Return a judged pile as the record keeps it."""
    job, advice = found.job, found.advice
    return Round(
        target=job.label,
        target_lab=job.target_lab,
        pile=job.pile,
        number=job.number,
        look=look,
        spot=saved(found.spot),
        parts=job.parts,
        measured_lab=found.measured_lab,
        measured_covariance=found.measured_covariance,
        lab=found.lab,
        covariance=found.covariance,
        delta_e_00=advice.delta_e_00,
        verdict=found.verdict.name,
        words=found.verdict.words,
        corrections=tuple(_advised(each) for each in advice.corrections),
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


def _advised(each: Correction) -> Advised:
    additions = tuple(
        Added(addition.ingredient.name, addition.parts, addition.ingredient.own_parts)
        for addition in each.additions
    )
    return Advised(additions, each.predicted_lab, each.predicted_delta_e_00, each.words)
