"""Boxes from photos of dabs, as ``refmatch box photograph`` makes them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from refmatch.cli.box import _dabs_on_card, _dabs_pointed
from refmatch.dabs.camera import light_said
from refmatch.dabs.card import GREY_CARD_LSTAR
from refmatch.dabs.photographs import PhotographedBox, photographed_box
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
    own = built_in_box() if asked.box is None else read_box(asked.box)
    if asked.card is None:
        dabs = _dabs_pointed(asked.photos, asked.dabs, asked.neutral, asked.neutral_lstar, own)
    else:
        dabs = _dabs_on_card(asked.photos, asked.card, own)
    made = photographed_box(own, dabs, out.stem, light_said(asked.light) if asked.light else None)
    write_box(out, made.box)
    return made
