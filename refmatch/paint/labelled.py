"""A tube as its label names it: known, ready mixed, or taken to be as its nearest neighbour."""

from __future__ import annotations

from refmatch.paint.box import Tube, built_in_tube
from refmatch.paint.fit.belief import tube_beside
from refmatch.paint.library import find_paint
from refmatch.paint.names import Neighbour


def tube_labelled(
    label: str, name: str | None = None, grade: str = "artist", strength: float = 1.0
) -> Tube:
    """Return a tube of what a label names, under any name.

    A colorant that has no curves here is taken to be as its nearest neighbour; the tube's flag says
    what that costs in doubt.

    Raises:
        UnknownTube: nothing has that name. BoxError: an ambiguous name, an unknown grade.
    """
    found = find_paint(label)
    if not isinstance(found, Neighbour):
        return built_in_tube(label, name, grade, strength)
    return tube_beside(name or label.strip(), [found.label], found.neighbour, grade, strength)
