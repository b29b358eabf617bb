"""What moves a puddle of the painting each way, by the tubes that are on the table."""

from __future__ import annotations

from dataclasses import dataclass, replace

from refmatch.painting.own_box import box_of
from refmatch.painting.record import PileNow, pile_now, place_of
from refmatch.verbs.nudge import Nudged, nudge
from refmatch.verbs.studio.desk import Desk


@dataclass(frozen=True, eq=False)
class PuddleNudged:
    """A lesson on the puddle of a target, as it is now."""

    label: str
    now: PileNow
    nudged: Nudged


def nudges_of(desk: Desk, hole: str) -> PuddleNudged:
    """Return the lesson on a target's puddle; ``hole`` is its hole's key, else its label.

    Raises:
        PaintingError: there is no such target, or it has no recipe.
    """
    sitting = desk.sitting()
    painting = sitting.painting
    keys = [each.key for each in sitting.holes]
    place = keys.index(hole) if hole in keys else place_of(painting, hole)
    label = painting.targets[place].label
    now, box = pile_now(painting, label), box_of(painting)
    on_table = [tube.name for tube in box.tubes if tube.name not in painting.asked.away]
    portions = [f"{tube}={share!r}" for tube, share in now.parts]
    nudged = nudge(portions, box, on_table)
    instead = tuple(each for each in nudged.lesson.instead if each.tube in (None, *on_table))
    lesson = replace(nudged.lesson, instead=instead)
    return PuddleNudged(label, now, replace(nudged, lesson=lesson))
