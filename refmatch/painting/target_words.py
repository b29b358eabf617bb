"""Each target in words, and beside its neighbours."""

from __future__ import annotations

import functools
from collections.abc import Sequence

import numpy as np

from refmatch.colorimetry.words import compare_labelled, compare_neighbours, describe, neighbours
from refmatch.painting.model import TargetWords
from refmatch.photo.hole import Sample
from refmatch.target import Target, places_px


def compared(samples: Sequence[Sample]) -> tuple[str, ...]:
    """Say what differs between each pair of neighbouring holes, value first."""
    if not samples:
        return ()
    points = np.array([(sample.hole.x_px, sample.hole.y_px) for sample in samples])
    labels = [sample.hole.label for sample in samples]
    return compare_neighbours(labels, np.stack([sample.lab for sample in samples]), points)


def words_of(targets: tuple[Target, ...]) -> tuple[TargetWords, ...]:
    """Return each target in words, and beside those of its neighbours that come before it.

    Targets are called by their numbers, as on the sheet.
    """
    beside: dict[int, list[str]] = {}
    for one, other in neighbours(len(targets), places_px(targets)):
        words = _compared(other + 1, _key(targets[other]), one + 1, _key(targets[one]))
        beside.setdefault(other, []).append(words)
    return tuple(
        TargetWords(_described(_key(target)), tuple(beside.get(index, ())))
        for index, target in enumerate(targets)
    )


LabKey = tuple[float, float, float]


def _key(target: Target) -> LabKey:
    lightness, a, b = (float(value) for value in target.lab)
    return lightness, a, b


@functools.lru_cache(512)
def _described(lab: LabKey) -> str:
    """Describe a colour; on the page all but one stay as they were."""
    return describe(np.array(lab))


@functools.lru_cache(512)
def _compared(number: int, lab: LabKey, other: int, reference: LabKey) -> str:
    return compare_labelled(str(number), np.array(lab), str(other), np.array(reference))
