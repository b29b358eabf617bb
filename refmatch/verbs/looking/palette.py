"""What is on a painter's palette: the pile of each target, and the puddles beside it."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.paint.box import Box
from refmatch.painting.model import Painting
from refmatch.painting.record import (
    corrections_done,
    left_over,
    parts_after,
    pile_now,
    rounds_of,
)
from refmatch.painting.rounds import Parts
from refmatch.recipe.solve import Options
from refmatch.swatch.checked import Job
from refmatch.swatch.pile import Ingredient, puddle
from refmatch.verbs.studio.reckoner import options_of

SAME_PLACE_PX = 0.5
"""A hole asked for is the one punched where both lie in the same place."""

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


def options_for(painting: Painting, place: int) -> Options:
    """Return how a recipe may look: as the page was asked for, or the command, else as usual."""
    if painting.asked is None:
        return painting.options or Options()
    saved, frame = painting.holes[place], painting.frame
    at = (saved.x_px + frame.left_px, saved.y_px + frame.top_px)
    holes = [
        hole
        for hole in painting.asked.holes
        if max(abs(hole.x_px - at[0]), abs(hole.y_px - at[1])) < SAME_PLACE_PX
    ]
    return options_of(painting.asked, holes[0] if holes else None)
