"""The colours that a photo is asked for: its holes, or one in each of its masses."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.painting.gather import targets_of
from refmatch.photo.families import Families, Family, names
from refmatch.photo.mask import Hole, Sample
from refmatch.photo.mask import sample as sample_hole
from refmatch.target import Target
from refmatch.verbs.photo import PhotoAsked, Seen, holes_on, look, masses


@dataclass(frozen=True, eq=False)
class Wanted:
    """A photo with its masses, its holes, and the targets that they ask for."""

    seen: Seen
    families: Families
    samples: tuple[Sample, ...]
    targets: tuple[Target, ...]


def wanted(photo: PhotoAsked, holes: Sequence[str], count: int | None) -> Wanted:
    """Measure the holes asked for, or else one in each of so many masses; both where both are.

    Raises:
        RefmatchError: whatever is wrong with photo, holes or light.
    """
    seen = look(photo)
    found = _named_by_their_holes(seen, masses(seen, count))
    samples = _samples(seen, holes, count, found)
    return Wanted(seen, found, samples, targets_of(samples, found))


def _samples(
    seen: Seen, asked: Sequence[str], count: int | None, found: Families
) -> tuple[Sample, ...]:
    holes = list(holes_on(seen.photo, asked))
    if not holes or count is not None:
        taken = {hole.label for hole in holes}
        holes += [_hole(family) for family in found.items if family.label not in taken]
    return tuple(sample_hole(seen.photo, seen.balance, hole) for hole in holes)


def _named_by_their_holes(seen: Seen, found: Families) -> Families:
    """Name each mass by what its hole shows, so that a slip's name and words agree."""
    labs = [sample_hole(seen.photo, seen.balance, _hole(family)).lab for family in found.items]
    labels = names(np.stack(labs))
    items = (
        replace(family, label=label) for family, label in zip(found.items, labels, strict=True)
    )
    return replace(found, items=tuple(items))


def _hole(family: Family) -> Hole:
    return Hole(family.x_px, family.y_px, family.diameter_px, family.label)
