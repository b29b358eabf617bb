"""The box that a painting keeps a copy of, as its paint is looked at."""

from __future__ import annotations

from dataclasses import replace

from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml
from refmatch.paint.kubelka_munk import FINISHES
from refmatch.painting.model import Painting


def box_of(painting: Painting) -> Box:
    """Return the painting's whole box, with the skin that the painting asks for.

    Raises:
        BoxError: the copy cannot be read.
    """
    box = box_from_toml(painting.box, "the painting's box")
    return replace(box, surface=replace(box.surface, f=FINISHES[painting.finish]))
