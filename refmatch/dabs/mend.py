"""Mending a dab that was read wrongly: what a painter sees better than the reader.

A dab may be left out, be other paint than its window asks for, or lie elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.card import Card, PaintWindow
from refmatch.dabs.patch import Patch, dab_flags, empty_flags, pixels_under, summarise
from refmatch.dabs.read import CardRead, DabRead
from refmatch.errors import UsageError
from refmatch.photo.hole import Hole
from refmatch.photo.photo import Photo

MOST_PARTS = 99


@dataclass(frozen=True)
class Paint:
    """What was really painted: parts of a tube, and parts of the card's white."""

    tube: str
    parts: int
    white_parts: int


@dataclass(frozen=True)
class Mend:
    """What a painter says of one dab; None where the reader is right."""

    left_out: bool = False
    paint: Paint | None = None
    spot: Hole | None = None


def check_paint(paint: Paint, card: Card) -> None:
    """See that a card's tubes can have been mixed so.

    Raises:
        UsageError: no such tube on the card, or no such parts.
    """
    if paint.tube not in {tube.name for tube in card.tubes}:
        raise UsageError("tube_not_on_card", tube=paint.tube)
    if not (1 <= paint.parts <= MOST_PARTS and 0 <= paint.white_parts <= MOST_PARTS):
        raise UsageError("dab_parts", most=MOST_PARTS)
    if paint.tube == card.white and paint.white_parts:
        raise UsageError("white_in_white", tube=paint.tube)


def patch_under(photo: Photo, read: CardRead, hole: Hole) -> Patch:
    """Read a hole of a page's photo on the scale of its dabs.

    Raises:
        CardError: the hole lies outside the photo.
    """
    pixels = pixels_under(photo, read.found.homography, hole)
    return summarise(pixels, read.shading.at(pixels.at_mm))


def as_painted(window: PaintWindow, mend: Mend) -> PaintWindow:
    """Return a window as it was painted."""
    if mend.paint is None:
        return window
    paint = mend.paint
    return replace(window, tube=paint.tube, parts=paint.parts, white_parts=paint.white_parts)


def mended(
    dab: DabRead[PaintWindow], mend: Mend, card: Card, paper: Array, patch: Patch | None
) -> DabRead[PaintWindow]:
    """Return a dab as a painter says it is; ``patch`` is what was read under the mend's spot.

    Whether paint that lies elsewhere hides is not asked: no bar is known beside it.
    """
    window = as_painted(dab.window, mend)
    over_bar = patch or dab.over_bar
    patch = patch or dab.patch
    flags = dab_flags(window, patch, over_bar, paper)
    if not card.is_white(window.tube):
        flags += empty_flags(window, patch, paper)
    return replace(
        dab,
        window=window,
        patch=patch,
        over_bar=over_bar,
        flags=flags,
    )
