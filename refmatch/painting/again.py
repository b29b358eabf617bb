"""The same puddle again, weeks later: as it ended, in as much as is wanted."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.painting.ended import Ended, ended
from refmatch.painting.model import Painting
from refmatch.painting.record import place_of
from refmatch.painting.record_words import figure
from refmatch.recipe.amounts import millilitres
from refmatch.recipe.doubt import covariance
from refmatch.recipe.mixture import Palette
from refmatch.recipe.model import Laid, Step
from refmatch.recipe.steps import mixing_steps
from refmatch.target import Target

FINE = 100_000
"""Into how many parts the puddle is divided to reckon its steps: far finer than any hand."""

BY_MASS = Flag(
    "volume_unknown",
    "This box counts its parts by mass, and how heavy its paints are is not known: weigh out the "
    "shares, or the parts; how much they make in millilitres cannot be told.",
)


@dataclass(frozen=True, eq=False)
class TubeAgain:
    """So many parts of a tube, their share of the puddle, and how much that is.

    ``volume_ml`` is None in a box that counts by mass.
    """

    tube: str
    parts: float
    share: float
    volume_ml: float | None


@dataclass(frozen=True, eq=False)
class LastSeen:
    """The puddle as it was last seen: when, its colour (3,), and how far that is off.

    ``delta_e_00`` is from the target as it then was, ``delta_e_00_from_now`` from the colour that
    the box now expects of the same parts.
    """

    date: str
    lab: Array
    delta_e_00: float
    delta_e_00_from_now: float


@dataclass(frozen=True, eq=False)
class Again:
    """A puddle to be mixed again; ``lab`` (3,) and its covariance are what the box expects now."""

    target: Target
    ended: Ended
    amount_ml: float
    tubes: tuple[TubeAgain, ...]
    lab: Array
    covariance: Array
    delta_e_00: float
    seen: LastSeen | None
    steps: tuple[Step, ...]
    box: Box
    finish: str
    flags: tuple[Flag, ...]


def mixed_again(painting: Painting, label: str, amount_ml: float, box: Box) -> Again:
    """Return how to mix a target's puddle again.

    Args:
        painting: the painting, with its record.
        label: the target's label, or the number of its slip.
        amount_ml: how much of it, above 0.
        box: the box as it is now.

    Raises:
        PaintingError: no such target, or no recipe. UsageError: no such amount.
        UnknownTube: the box has no such tube any more.
    """
    if not 0.0 < amount_ml < math.inf:
        raise UsageError("An amount is millilitres above 0, such as --amount 20.")
    target = painting.targets[place_of(painting, label)]
    found = ended(painting, target.label)
    tubes = [box.tube(tube) for tube, _ in found.parts]
    parts = np.array([share for _, share in found.parts])
    palette = Palette.of(tubes, box.surface)
    lab, laid = palette.lab(parts), _tubes(found, box, amount_ml)
    return Again(
        target=target,
        ended=found,
        amount_ml=amount_ml,
        tubes=laid,
        lab=lab,
        covariance=covariance(palette, tubes, parts, lab),
        delta_e_00=float(delta_e_00(lab, target.lab)),
        seen=_last_seen(painting, found, lab),
        steps=_steps(laid, box, target.lab),
        box=box,
        finish=painting.finish,
        flags=() if box.parts == "volume" else (BY_MASS,),
    )


def _tubes(found: Ended, box: Box, amount_ml: float) -> tuple[TubeAgain, ...]:
    whole = sum(share for _, share in found.parts)
    by_volume = box.parts == "volume"
    rows = []
    for tube, parts in found.parts:
        volume = amount_ml * parts / whole if by_volume else None
        rows.append(TubeAgain(box.tube(tube).name, parts, parts / whole, volume))
    return tuple(rows)


def _last_seen(painting: Painting, found: Ended, lab: Array) -> LastSeen | None:
    if found.seen is None:
        return None
    seen = found.seen
    date = next(look.date for look in painting.looks if look.photo.sha256 == seen.look)
    return LastSeen(date, seen.lab, seen.delta_e_00, float(delta_e_00(seen.lab, lab)))


def _steps(tubes: Sequence[TubeAgain], box: Box, target_lab: Array) -> tuple[Step, ...]:
    """Return the order of mixing, every amount told as much as is to be laid out."""
    amounts = {each.tube: _amount(each) for each in tubes}
    parts = {each.tube: each.parts for each in tubes}
    laid = [Laid(each.tube, max(1, round(FINE * each.share))) for each in tubes]
    return tuple(
        step
        if step.tube is None
        else replace(
            step,
            text=step.text.replace(f"{step.parts} {step.tube}", amounts[step.tube], 1),
            parts=parts[step.tube],
        )
        for step in mixing_steps(laid, box, target_lab)
    )


def _amount(each: TubeAgain) -> str:
    if each.volume_ml is None:
        return f"{figure(each.parts)} {each.tube}"
    return f"{millilitres(each.volume_ml)} of {each.tube}"
