"""How much paint a class takes: what stands on the common table, tube by tube."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.atelier.mixes import Lesson, Seat
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Tube
from refmatch.painting.model import Painting
from refmatch.painting.planned import shares_of
from refmatch.plan.amounts import LEAST_PUDDLE_ML, PUDDLE_ML, SMALL_TUBE_ML, SPARE


@dataclass(frozen=True)
class OnTable:
    """A paint of the class: its pigments, what its tubes are called, how much, and for whom.

    ``tubes`` is how many of 37 ml hold ``volume_ml``.
    """

    pigments: tuple[str, ...]
    names: tuple[str, ...]
    volume_ml: float
    tubes: int
    users: tuple[str, ...]


def puddles_ml(painting: Painting) -> Array:
    """Return how much of each target's puddle everybody mixes, (targets,).

    What the canvas takes, with spare, where one is known; else a puddle of one size.
    """
    canvas, count = painting.asked.canvas, len(painting.targets)
    if canvas is None:
        return np.full(count, PUDDLE_ML)
    shares, _ = shares_of(painting.targets, painting.families)
    covered = canvas.film_ml * shares / shares.sum()
    return np.maximum(covered * (1.0 + SPARE), LEAST_PUDDLE_ML)


def of_seat(seat: Seat, puddles: Array) -> dict[str, float]:
    """Return millilitres of each tube that a seat's recipes take, most first."""
    owed: dict[str, float] = {}
    for mix, volume in zip(seat.mixes, puddles.tolist(), strict=True):
        total = sum(portion.parts for portion in mix.recipe.portions)
        for portion in mix.recipe.portions:
            owed[portion.tube] = owed.get(portion.tube, 0.0) + volume * portion.parts / total
    return dict(sorted(owed.items(), key=lambda pair: -round(pair[1], 9)))


def class_table(lesson: Lesson) -> tuple[OnTable, ...]:
    """Return what the whole class takes, the tutor with it, most first.

    Tubes of the same pigments count as one paint, whatever they are called.
    """
    puddles = puddles_ml(lesson.painting)
    volumes: dict[tuple[str, ...], float] = {}
    held: dict[tuple[str, ...], list[tuple[Tube, str]]] = {}
    for seat in lesson.everybody:
        for name, volume in of_seat(seat, puddles).items():
            tube = seat.box.tube(name)
            paint = (tube.pigments and tuple(sorted(tube.pigments))) or (name.lower(),)
            volumes[paint] = volumes.get(paint, 0.0) + volume
            held.setdefault(paint, []).append((tube, seat.name))
    rows = [_on_table(volumes[paint], held[paint]) for paint in volumes]
    return tuple(sorted(rows, key=lambda row: -round(row.volume_ml, 9)))


def _on_table(volume_ml: float, held: Sequence[tuple[Tube, str]]) -> OnTable:
    return OnTable(
        pigments=held[0][0].pigments,
        names=tuple(dict.fromkeys(tube.name for tube, _ in held)),
        volume_ml=volume_ml,
        tubes=math.ceil(round(volume_ml / SMALL_TUBE_ML, 6)),
        users=tuple(dict.fromkeys(user for _, user in held)),
    )
