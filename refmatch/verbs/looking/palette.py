"""What is on a painter's palette: the pile of each target, and the puddles beside it."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.paint.box import Box
from refmatch.painting.model import Painting
from refmatch.painting.own_box import options_for
from refmatch.painting.record import (
    corrections_done,
    left_over,
    parts_after,
    pile_now,
    rounds_of,
)
from refmatch.painting.rounds import Parts
from refmatch.swatch.checked import Job
from refmatch.swatch.pile import Ingredient, puddle

LEFT_OVER = "left over"
"""What remains of a pile that was given up or divided: good for greys, or to be drawn from."""


def jobs_of(painting: Painting, labels: Sequence[str], own: Parts, look: str) -> tuple[Job, ...]:
    """Return what is to be judged: the piles of targets, by exact label, as they now are.

    ``own`` is what a painter says is in the pile, () where the record knows; ``look`` is the
    SHA-256 of the photo, since one that was looked at before shows the pile as it then was.

    Raises:
        PaintingError: a target has no recipe, so nothing is mixed for it.
    """
    return tuple(_job(painting, label, own, look) for label in labels)


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
            found.append(puddle(f"{other}, {LEFT_OVER}", box, left))
    return found


def _job(painting: Painting, label: str, own: Parts, look: str) -> Job:
    now = pile_now(painting, label, look)
    place = [target.label for target in painting.targets].index(label)
    return Job(
        label=label,
        target_lab=painting.targets[place].lab,
        parts=own or now.parts,
        pile=now.pile,
        number=now.number,
        corrections=corrections_done(painting, label, look),
        options=options_for(painting, place),
    )
