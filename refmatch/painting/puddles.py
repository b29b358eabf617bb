"""Which holes one puddle serves: two of the same colour are mixed once.

A hand does not mix one colour twice alike, and a painter should not be asked to. So a hole whose
colour an earlier hole has too takes that one's recipe, until something of its own is asked of it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.painting.asked import AskedHole
from refmatch.target import Target

SAME_DELTA_E_00 = 1.0
"""Up to here two colours pass for one: about the least difference seen edge to edge (common
practice, no source), and less than any hand mixes twice."""


def same_colours(targets: Sequence[Target]) -> tuple[int, ...]:
    """Return for each target the place of the first that has its colour, its own where none has.

    What stands first has no other before it, so that three do not drift apart in a row.
    """
    first_of: list[int] = []
    for place, target in enumerate(targets):
        before = [first for first in dict.fromkeys(first_of) if first_of[first] == first]
        near = _near(target, [targets[first] for first in before])
        first_of.append(place if near is None else before[near])
    return tuple(first_of)


def served_by(holes: Sequence[AskedHole], firsts: Sequence[int]) -> tuple[int, ...]:
    """Return for each hole the place of the hole whose puddle serves it, or its own.

    ``firsts`` are those of `same_colours`. A puddle serves one layer, with one medium in it.
    """
    return tuple(
        place if is_its_own(hole) or _coat(hole) != _coat(holes[first]) else first
        for place, (hole, first) in enumerate(zip(holes, firsts, strict=True))
    )


def is_its_own(hole: AskedHole) -> bool:
    """Say whether something is asked of a hole's mix that no other puddle need be."""
    return hole.alone or bool(hole.without or hole.insist or hole.choice)


def _coat(hole: AskedHole) -> tuple[object, ...]:
    return hole.layer, hole.medium, hole.medium_percent


def _near(target: Target, others: Sequence[Target]) -> int | None:
    if not others:
        return None
    far = delta_e_00(np.array([other.lab for other in others]), target.lab)
    return int(np.argmin(far)) if far.min() <= SAME_DELTA_E_00 else None
