"""Boxes from photos of dabs, as ``refmatch box photograph`` makes them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from refmatch.cli.box import Shown, photographed
from refmatch.dabs.card import GREY_CARD_LSTAR
from refmatch.dabs.photographs import PhotographedBox
from refmatch.paint.box_file import built_in_box, read_box, write_box


@dataclass(frozen=True)
class PhotographAsked:
    """What is photographed: by a printed card, or as dabs and a neutral spot by hand."""

    photos: tuple[Path, ...]
    box: Path | None = None
    card: Path | None = None
    dabs: tuple[str, ...] = ()
    neutral: str | None = None
    neutral_lstar: float = GREY_CARD_LSTAR
    light: str | None = None


def photograph_box(asked: PhotographAsked, out: Path) -> PhotographedBox:
    """Make the box and write it."""
    shown = Shown(asked.photos, asked.card, asked.dabs, asked.neutral, asked.neutral_lstar)
    own = built_in_box() if asked.box is None else read_box(asked.box)
    made = photographed(shown, own, out.stem, asked.light)
    write_box(out, made.box)
    return made
