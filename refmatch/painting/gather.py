"""From what was found out about a photo to a painting that remembers it."""

from __future__ import annotations

import functools
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.comparison import compare_labelled, neighbours
from refmatch.colorimetry.viewing import viewing
from refmatch.colorimetry.words import describe
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_to_toml
from refmatch.paint.kubelka_munk import FINISHES
from refmatch.painting.model import (
    Mass,
    Painting,
    SavedFile,
    SavedHole,
    SavedValues,
    TargetWords,
)
from refmatch.painting.table import tubes_on_table
from refmatch.photo.crop import Frame
from refmatch.photo.families import Families
from refmatch.photo.light import Balance
from refmatch.photo.mask import Sample
from refmatch.photo.photo import Photo
from refmatch.photo.picture import as_jpeg, as_png, picture_of
from refmatch.photo.values import ValueStudy, grey_picture
from refmatch.recipe.model import Answer
from refmatch.target import Target, places_px

LONGEST_SIDE_PX = 1600
"""Of the balanced picture: 150 to the inch on the long side of a sheet."""


@dataclass(frozen=True, eq=False)
class Findings:
    """What the photo, the box and the solver said; targets and answers run side by side.

    Samples and targets lie in the cropped photo's pixels, as the painter sees it.
    """

    photo: Photo
    balance: Balance
    samples: tuple[Sample, ...]
    families: Families
    values: ValueStudy | None
    box: Box
    targets: tuple[Target, ...]
    answers: tuple[Answer, ...]
    flags: tuple[Flag, ...] = ()


def targets_of(samples: Iterable[Sample], families: Families) -> tuple[Target, ...]:
    """Return what the holes' colours ask for; a hole named like a mass stands for its share."""
    shares = {family.label: family.share for family in families.items}
    return tuple(
        Target(
            label=sample.label,
            lab=sample.lab,
            x_px=sample.x_px,
            y_px=sample.y_px,
            diameter_px=sample.diameter_px,
            share=shares.get(sample.label),
            flags=sample.flags,
        )
        for sample in samples
    )


def gather(found: Findings, title: str, date: str, proportion: str | None = None) -> Painting:
    """Return the painting; ``date`` is written YYYY-MM-DD."""
    photo, items, seen = found.photo, found.families.items, viewing()
    return Painting(
        title=title,
        date=date,
        photo=SavedFile(photo.path.name, photo.sha256),
        frame=Frame(photo.left_px, photo.top_px, photo.width_px, photo.height_px),
        balance=found.balance,
        viewing=f"{seen.illuminant}, {seen.observer}",
        holes=tuple(_hole(sample) for sample in found.samples),
        targets=found.targets,
        words=words_of(found.targets),
        recipes=found.answers,
        chosen=(0,) * len(found.targets),
        families=tuple(Mass(item.label, item.lab, item.share) for item in items),
        values=SavedValues(found.values.values, found.values.shares) if found.values else None,
        box=box_to_toml(found.box),
        table=tubes_on_table(found.box),
        parts_by=found.box.parts,
        finish=_finish(found.box),
        proportion=proportion,
        flags=(*photo.flags, *found.flags, *(found.values.flags if found.values else ())),
    )


def drawn(found: Findings) -> dict[str, bytes]:
    """Return the pictures that go with the painting, encoded: "balanced" and "values"."""
    balanced = picture_of(found.photo, found.balance, LONGEST_SIDE_PX)
    pictures = {"balanced": as_jpeg(balanced)}
    if found.values is not None:
        pictures["values"] = as_png(grey_picture(found.values))
    return pictures


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


def _hole(sample: Sample) -> SavedHole:
    return SavedHole(
        sample.label,
        sample.x_px,
        sample.y_px,
        sample.diameter_px,
        sample.spread_delta_e_00,
        sample.clipped_fraction,
    )


def _finish(box: Box) -> str:
    """Return the name of the finish whose share of the skin's shine is nearest the box's."""
    return min(FINISHES, key=lambda name: abs(FINISHES[name] - box.surface.f))
