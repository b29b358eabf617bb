"""What moves a puddle of the painting each way, by the tubes that are on the table."""

from __future__ import annotations

from dataclasses import dataclass, replace

from refmatch.flag import Flag
from refmatch.painting.own_box import box_of
from refmatch.painting.record import PileNow, belief_now, pile_now, place_of
from refmatch.recipe.doubt import generic_flags
from refmatch.recipe.nudge import Lesson, teach
from refmatch.swatch.believed import box_as_believed
from refmatch.verbs.studio.desk import Desk


@dataclass(frozen=True, eq=False)
class PuddleNudged:
    """A lesson on the puddle of a target, as it is now believed to be."""

    label: str
    now: PileNow
    lesson: Lesson
    flags: tuple[Flag, ...]


def nudges_of(desk: Desk, hole: str) -> PuddleNudged:
    """Return the lesson on a target's puddle; ``hole`` is its hole's key, else its label.

    Raises:
        PaintingError: there is no such target, or it has no recipe.
    """
    sitting = desk.sitting()
    painting = sitting.painting
    keys = [one.key for one in sitting.holes]
    place = keys.index(hole) if hole in keys else place_of(painting, hole)
    label = painting.targets[place].label
    now, box = pile_now(painting, label), box_of(painting)
    belief = belief_now(painting, label, box)
    held = box if belief is None else box_as_believed(box, now.parts, belief.pile)
    on_table = [tube for tube in box.tubes if tube.name not in painting.asked.away]
    puddle = [(held.tube(name), share) for name, share in now.parts]
    lesson = teach(box, puddle, on_table)
    known = {None, *(tube.name for tube in on_table)}
    instead = tuple(nudge for nudge in lesson.instead if nudge.tube in known)
    return PuddleNudged(label, now, replace(lesson, instead=instead), generic_flags(box.tubes))
