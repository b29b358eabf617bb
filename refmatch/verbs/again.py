"""The same puddle again, weeks later, from its painting's folder."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from refmatch.paint.box_file import read_box
from refmatch.painting.again import Again, mixed_again
from refmatch.painting.own_box import box_of, looked_at
from refmatch.painting.store import read_painting
from refmatch.verbs.mix import generic_flags


def again(label: str, folder: Path, amount_ml: float, box: Path | None = None) -> Again:
    """Return how to mix a target's puddle again, from the painting's own box or from another.

    Raises:
        PaintingError: no painting, no such target, or no recipe. UsageError: no such amount.
        BoxError: the box cannot be read, or has no such tube any more.
    """
    painting = read_painting(folder)
    tubes = box_of(painting) if box is None else looked_at(read_box(box), painting.finish)
    found = mixed_again(painting, label, amount_ml, tubes)
    used = [tubes.tube(each.tube) for each in found.tubes]
    return replace(found, flags=(*found.flags, *generic_flags(used)))
