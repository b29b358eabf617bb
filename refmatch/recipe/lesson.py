"""What moves a puddle lighter, duller, warmer, and what greys it, in the painter's own tubes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.box_file import built_in_box
from refmatch.paint.portions import portions_of
from refmatch.recipe.doubt import generic_flags
from refmatch.recipe.neutral import GreyString, grey_string
from refmatch.recipe.nudge import Lesson, teach


@dataclass(frozen=True, eq=False)
class Nudged:
    """A lesson on a puddle of ``portions`` (tube, parts), its string to grey, and the box."""

    box: Box
    portions: tuple[tuple[str, float], ...]
    lesson: Lesson
    to_grey: GreyString
    flags: tuple[Flag, ...]


def nudge(portions: Sequence[str], box: Box | None, among: Sequence[str] = ()) -> Nudged:
    """Return what moves a puddle of parts such as ``["ultramarine=3", "PW6=1"]`` each way.

    Without a box, the one that comes with refmatch is tried, and any built-in pigment may be
    in the puddle. ``among`` names the only tubes to try; none named means all.

    Raises:
        UsageError: a portion is not TUBE=PARTS, or no part is above 0.
        UnknownTube: no such tube; the sentence lists the near names.
    """
    puddle = portions_of(portions, box)
    tried = box or built_in_box()
    only = [tried.tube(name) for name in among] or None
    return Nudged(
        box=tried,
        portions=tuple((tube.name, parts) for tube, parts in puddle),
        lesson=teach(tried, puddle, only),
        to_grey=grey_string(tried, puddle, only),
        flags=generic_flags([*(tube for tube, _ in puddle), *tried.tubes]),
    )
