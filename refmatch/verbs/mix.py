"""Names that checks and cards still ask for here; each has its own home."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.box_file import open_box
from refmatch.paint.portions import portions_of
from refmatch.recipe.doubt import GENERIC, generic_flags
from refmatch.recipe.model import Answer
from refmatch.recipe.solve import Options
from refmatch.recipe.together import mixed
from refmatch.target import Target, parse_lab

__all__ = ["GENERIC", "generic_flags", "mix", "open_box", "parse_lab", "portions_of"]


@dataclass(frozen=True, eq=False)
class Mixes:
    """Recipes for some targets."""

    answers: tuple[Answer, ...]
    flags: tuple[Flag, ...]


def mix(targets: Sequence[Target], box: Box, options: Options | None = None) -> Mixes:
    """Return recipes for every target from one box; see `mixed`."""
    return Mixes(mixed(targets, box, options), generic_flags(box.tubes))
