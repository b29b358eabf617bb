"""Dabs that the printed card tells where to look for."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from pathlib import Path

from refmatch.card.chart.read import ChartUse
from refmatch.card.compose import check_made_for
from refmatch.card.form import read_card_file
from refmatch.card.layout import Card, PaintWindow, Window
from refmatch.card.patch import Patch
from refmatch.card.read import CardRead, DabRead
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.swatch.dab import Channels, Known, PhotoDab
from refmatch.verbs.dabs.by_chart import known_of_chart, use_of_chart
from refmatch.verbs.dabs.found import DabsFound, at_end, error_of, grey_of, numbers_of


def card_for(path: Path, box: Box) -> Card:
    """Read a card's file, and see that it was made for this box.

    Raises:
        CardError: it cannot be read, or is another box's.
    """
    card = read_card_file(path)
    check_made_for(card, box)
    return card


def found_by_card(
    reads: Sequence[CardRead], card: Card, box: Box, left_out: Collection[PaintWindow] = ()
) -> DabsFound:
    """Return what the pages of a card hold; empty windows, and those ``left_out``, do not count."""
    numbers = numbers_of(box)
    dabs: list[PhotoDab] = []
    known: list[Known] = []
    flags: list[Flag] = []
    chart: list[Known] = []
    charts: list[ChartUse] = []
    for number, read in enumerate(reads):
        patches = known_of_chart(read.chart, number)
        chart += patches
        charts.append(use_of_chart(read.chart, patches, read.photo))
        paper = float(read.paper[1])
        known.append(_grey_card(card.neutral_value, read.grey, paper, number))
        flags += read.flags
        for dab in read.dabs:
            if dab.window in left_out:
                continue
            flags += dab.flags
            if not is_empty(dab):
                dabs.append(_photo_dab(dab, card, numbers, (paper, number)))
    return DabsFound(tuple(dabs), tuple(known), tuple(flags), tuple(chart), tuple(charts))


def is_empty(dab: DabRead[Window]) -> bool:
    """Return whether a window seems to hold no paint."""
    return any(flag.name == "looks_empty" for flag in dab.flags)


def _photo_dab(
    dab: DabRead[PaintWindow], card: Card, numbers: Mapping[str, int], where: tuple[float, int]
) -> PhotoDab:
    window = dab.window
    mix = {window.tube: float(window.parts)}
    if window.white_parts:
        mix[card.white] = float(window.white_parts)
    high, low = _ends(dab.patch)
    return PhotoDab(
        label=window.label,
        tubes=tuple(numbers[tube] for tube in mix),
        parts=tuple(mix.values()),
        xyz=dab.patch.xyz,
        sigma=error_of(dab.patch.spread),
        high=high,
        low=low,
        shading=dab.patch.shading,
        paper=where[0],
        photo=where[1],
    )


def _grey_card(lstar: float, patch: Patch, paper: float, photo: int) -> Known:
    high, low = _ends(patch)
    return Known(
        label="grey card",
        reflectance=grey_of(lstar),
        xyz=patch.xyz,
        sigma=error_of(patch.spread),
        high=high,
        low=low,
        shading=patch.shading,
        paper=paper,
        photo=photo,
    )


def _ends(patch: Patch) -> tuple[Channels, Channels]:
    return at_end(patch.clipped_high), at_end(patch.clipped_low)
