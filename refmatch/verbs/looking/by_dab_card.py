"""Dabs that the printed dab card tells where to look for, and all that is known beside them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from refmatch.card.dab_card.layout import DabCard, TargetWindow
from refmatch.card.dab_card.read import Dab, DabCardRead, read_dab_card
from refmatch.card.layout import PaintWindow
from refmatch.card.patch import Patch
from refmatch.errors import CardError
from refmatch.flag import Flag
from refmatch.painting.rounds import GREY, PAINT, Beside
from refmatch.photo.photo import Photo
from refmatch.swatch.dab import Spot
from refmatch.verbs.dabs.found import at_end, error_of
from refmatch.verbs.looking.saved import patches_beside, saved
from refmatch.verbs.looking.seen import Seen


def seen_by_dab_card(photo: Photo, card: DabCard) -> Seen:
    """Return what a photo of one page of a dab card shows.

    Empty windows have no spot, but a flag under their label.

    Raises:
        CardError: the card cannot be found or used, no dab is painted on that page, or neither a
            grey card nor a chart is there.
    """
    read = read_dab_card(photo, card)
    paper = float(read.paper[1])
    spots = {
        dab.window.target: _spot(dab.patch, paper)
        for dab in read.dabs
        if isinstance(dab.window, TargetWindow)
    }
    if not spots:
        raise CardError(
            f"No dab is painted on page {read.page} of the dab card in '{photo.path.name}'; paint "
            "at least one through its window, and photograph the page again."
        )
    flags_of = {
        dab.window.target: dab.flags
        for dab in (*read.dabs, *read.empty)
        if isinstance(dab.window, TargetWindow)
    }
    outlines = {
        dab.window.target: dab.outline_px
        for dab in read.dabs
        if isinstance(dab.window, TargetWindow)
    }
    return Seen(spots, _beside(read, card, paper), _flags(read, card), flags_of, outlines)


def _spot(patch: Patch, paper: float) -> Spot:
    return Spot(
        xyz=patch.xyz,
        sigma=error_of(patch.spread),
        high=at_end(patch.clipped_high),
        low=at_end(patch.clipped_low),
        shading=patch.shading,
        paper=paper,
    )


def _beside(read: DabCardRead, card: DabCard, paper: float) -> tuple[Beside, ...]:
    found = []
    if read.grey is not None:
        lab = np.array([card.neutral_value, 0.0, 0.0])
        found.append(Beside(GREY, saved(_spot(read.grey, paper)), lab=lab))
    for dab in read.dabs:
        if isinstance(dab.window, PaintWindow):
            parts = ((dab.window.tube, float(dab.window.parts)),)
            found.append(Beside(PAINT, saved(_spot(dab.patch, paper)), parts=parts))
    return (*found, *patches_beside(read.chart))


def _flags(read: DabCardRead, card: DabCard) -> tuple[Flag, ...]:
    """Return what is to be said of the photo, white and black paint among it."""
    paints = [dab for dab in (*read.dabs, *read.empty) if isinstance(dab.window, PaintWindow)]
    return (
        *card.flags,
        *read.flags,
        *(flag for dab in paints for flag in dab.flags),
        *_empty(read.empty),
        *_elsewhere(read, card),
    )


def _empty(dabs: Sequence[Dab]) -> Iterator[Flag]:
    names = [each.window.target for each in dabs if isinstance(each.window, TargetWindow)]
    if names:
        told = ", ".join(f"'{name}'" for name in names)
        yield Flag("windows_empty", f"No paint is seen in the windows of {told}.")


def _elsewhere(read: DabCardRead, card: DabCard) -> Iterator[Flag]:
    others = sorted({each.page for each in card.targets} - {read.page})
    if others:
        told = " and ".join(str(page) for page in others)
        yield Flag(
            "other_pages",
            f"The photo shows page {read.page} of the dab card; check the dabs of page {told} "
            "with a photo of their own.",
        )
