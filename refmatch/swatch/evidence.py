"""What photos show of piles whose recipes are known: what a box can learn from."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, replace

from refmatch.swatch.camera import Light
from refmatch.swatch.dab import Known, PhotoDab


@dataclass(frozen=True, eq=False)
class Evidence:
    """What one photo shows: piles, tubes numbered as in the box, and what else in it is known.

    White and black as squeezed are piles of one tube: they tell of their tubes too. All spots have
    ``photo`` 0. ``light`` is a lamp's name or kelvins, `own_camera.SAME`, or None where nobody
    knows. Photos of one ``sitting`` show the same piles at the same time, so that they cannot
    confirm each other; None is a sitting of its own.
    """

    dabs: tuple[PhotoDab, ...]
    known: tuple[Known, ...]
    light: Light | None = None
    sitting: Hashable = None


def by_light(photos: Sequence[Evidence]) -> Iterator[tuple[Light | None, tuple[int, ...]]]:
    """Yield each light and the numbers of the photos taken in it; most photos first, then oldest.

    What a camera makes of colours hangs on the light, so photos of one light share one camera.
    """
    groups: dict[Light | None, list[int]] = {}
    for number, photo in enumerate(photos):
        groups.setdefault(photo.light, []).append(number)
    for light, group in sorted(groups.items(), key=lambda item: (-len(item[1]), item[1])):
        yield light, tuple(group)


def sittings(photos: Sequence[Evidence]) -> list[int]:
    """Return for each photo the number of the first photo of its sitting."""
    first: dict[Hashable, int] = {}
    return [
        number if photo.sitting is None else first.setdefault(photo.sitting, number)
        for number, photo in enumerate(photos)
    ]


def numbered(photos: Sequence[Evidence]) -> tuple[list[PhotoDab], list[Known]]:
    """Return all dabs and all that is known, the photos numbered from 0."""
    dabs = [replace(dab, photo=n) for n, each in enumerate(photos) for dab in each.dabs]
    known = [replace(spot, photo=n) for n, each in enumerate(photos) for spot in each.known]
    return dabs, known
