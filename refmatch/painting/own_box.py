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
    return looked_at(box_from_toml(painting.box, "the painting's box"), painting.finish)


def looked_at(box: Box, finish: str) -> Box:
    """Return a box whose paint is looked at as ``finish`` says, one of `FINISHES`."""
    return replace(box, surface=replace(box.surface, f=FINISHES[finish]))
