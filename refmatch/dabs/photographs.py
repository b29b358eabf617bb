"""Dabs of known parts in photos, for a calibration: found by the printed card, or pointed to."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.dabs.box_card import check_made_for, read_card_file
from refmatch.dabs.calibrate import Calibrated, calibrate
from refmatch.dabs.camera import Light
from refmatch.dabs.card import GREY_CARD_LSTAR, Card, PaintWindow, Window
from refmatch.dabs.card_code import box_of, card_shown
from refmatch.dabs.chart import ChartRead, ChartUse, read_chart
from refmatch.dabs.chart_colours import correction
from refmatch.dabs.patch import Patch, dab_flags, empty_flags, pixels_under, summarise
from refmatch.dabs.read import CardRead, DabRead, read_card
from refmatch.dabs.spot import Known, PhotoDab, Spot
from refmatch.dabs.spots import known_of_chart, spot_at, spot_of
from refmatch.errors import UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.fit.tubes import Named
from refmatch.photo.hole import Hole
from refmatch.photo.photo import Photo
from refmatch.photo.place import Place


@dataclass(frozen=True)
class DabPointed:
    """A dab that is pointed to, and what was mixed for it: parts of a tube, and of white."""

    place: Place
    tube: str
    parts: float
    white_parts: float


@dataclass(frozen=True, eq=False)
class PhotographedDabs:
    """Dabs, their tubes numbered as in the box, and surfaces of known colour beside them.

    ``chart`` are the patches of charts; ``charts`` says of each photo whether one was found.
    """

    dabs: tuple[PhotoDab, ...]
    known: tuple[Known, ...]
    flags: tuple[Flag, ...] = ()
    chart: tuple[Known, ...] = ()
    charts: tuple[ChartUse, ...] = ()

    def painted(self, box: Box) -> tuple[tuple[int, ...], tuple[PhotoDab, ...]]:
        """Return which tubes of the box were painted, and the dabs numbered by those alone."""
        used = sorted({number for dab in self.dabs for number in dab.tubes})
        anew = {old: new for new, old in enumerate(used)}
        dabs = (
            replace(dab, tubes=tuple(anew[number] for number in dab.tubes)) for dab in self.dabs
        )
        return tuple(used), tuple(dabs)


@dataclass(frozen=True, eq=False)
class PhotographedBox:
    """A box of photographed tubes, and how well it explains its dabs (dE00, by their labels).

    ``charts`` says of each photo whether a 24-patch chart was found in it and used.
    """

    box: Box
    misses: tuple[tuple[str, float], ...]
    flags: tuple[Flag, ...]
    charts: tuple[ChartUse, ...] = ()


def photographed_box(
    box: Box, painted: PhotographedDabs, name: str, light: Light | None = None
) -> PhotographedBox:
    """Return the box of a painter's own tubes, as photos show their dabs.

    Raises:
        BoxError: no dab. UsageError: no such light.
    """
    made = calibrated(box, painted, light, name)
    misses = zip((dab.label for dab in painted.dabs), made.misses, strict=True)
    return PhotographedBox(
        made.box, tuple(misses), (*painted.flags, *flags_of(made)), painted.charts
    )


def calibrated(box: Box, shown: PhotographedDabs, light: Light | None, name: str) -> Calibrated:
    """Return the box of those tubes that were painted, as the dabs show them.

    Raises:
        BoxError: no dab. UsageError: no such light.
    """
    painted, dabs = shown.painted(box)
    return calibrate(
        [Named.of(box.tubes[number]) for number in painted],
        box.white.name,
        dabs,
        shown.known,
        light=light,
        chart=shown.chart,
        name=name,
        parts=box.parts,
    )


def flags_of(made: Calibrated) -> tuple[Flag, ...]:
    """Return all that a calibration warns of: tube by tube, then of the photo."""
    return (*(flag for tube in made.box.tubes for flag in tube.flags), *made.flags)


def dabs_on_card(photos: Sequence[Photo], file: Path, box: Box) -> PhotographedDabs:
    """Return the dabs in photos of a card, by the file that was written with it.

    Raises:
        CardError: it cannot be read, is another box's, or is not found in a photo.
    """
    card = read_card_file(file)
    check_made_for(card, box)
    return dabs_by_card(read_card(photos, card), card, box)


def dabs_on_shown_card(
    photos: Sequence[Photo], box: Box | None, lstar: float = GREY_CARD_LSTAR
) -> tuple[Box, PhotographedDabs]:
    """Return the dabs in photos of a card by the code on it, and the box that it was made for.

    Without a ``box`` that is one of the tubes that the card names.

    Raises:
        CardError: no card is seen, nothing tells which it is, or it is another box's.
    """
    card = card_shown(photos[0], box, lstar)
    start = box or box_of(card)
    check_made_for(card, start)
    return start, dabs_by_card(read_card(photos, card), card, start)


def dabs_by_card(
    reads: Sequence[CardRead], card: Card, box: Box, left_out: Collection[PaintWindow] = ()
) -> PhotographedDabs:
    """Return what the pages of a card hold; empty windows, and those ``left_out``, do not count."""
    numbers = _numbers_of(box)
    dabs: list[PhotoDab] = []
    known: list[Known] = []
    flags: list[Flag] = []
    chart: list[Known] = []
    charts: list[ChartUse] = []
    for number, read in enumerate(reads):
        patches = known_of_chart(read.chart, number)
        chart += patches
        charts.append(_use_of_chart(read.chart, patches, read.photo))
        paper = float(read.paper[1])
        known.append(_grey_card(spot_of(read.grey, paper, number), card.neutral_value))
        flags += read.flags
        for dab in read.dabs:
            if dab.window in left_out:
                continue
            flags += dab.flags
            if not is_empty(dab):
                dabs.append(_on_card(dab, card, numbers, spot_of(dab.patch, paper, number)))
    return PhotographedDabs(tuple(dabs), tuple(known), tuple(flags), tuple(chart), tuple(charts))


def dabs_by_pointing(
    photo: Photo,
    dabs: Sequence[DabPointed],
    box: Box,
    grey: Place | None = None,
    grey_lstar: float = GREY_CARD_LSTAR,
) -> PhotographedDabs:
    """Return the dabs that are pointed to, and what is known beside them.

    That is the grey card, a 24-patch chart that is found by itself, or both.

    Raises:
        UsageError: nothing in the photo is known. UnknownTube, HoleError: what they say.
    """
    numbers = _numbers_of(box)
    read = [_pointed(photo, dab, box, numbers) for dab in dabs]
    chart = read_chart(photo)
    patches = known_of_chart(chart)
    flags = [flag for _, raised in read for flag in raised] + list(chart.flags if chart else ())
    known: tuple[Known, ...] = ()
    if grey is not None:
        spot, grey_flags = spot_at(photo, grey, "grey card")
        plain = Spot(spot.xyz, spot.sigma)  # of a grey card no bound is known
        known, flags = (_grey_card(plain, grey_lstar),), [*grey_flags, *flags]
    elif not patches:
        raise UsageError("nothing_known_by_hand", photo=photo.path.name)
    return PhotographedDabs(
        dabs=tuple(dab for dab, _ in read),
        known=known,
        flags=tuple(flags),
        chart=patches,
        charts=(_use_of_chart(chart, patches, photo.path.name),),
    )


def is_empty(dab: DabRead[Window]) -> bool:
    """Return whether a window seems to hold no paint."""
    return any(flag.name == "looks_empty" for flag in dab.flags)


def _pointed(
    photo: Photo, dab: DabPointed, box: Box, numbers: Mapping[str, int]
) -> tuple[PhotoDab, tuple[Flag, ...]]:
    name = box.tube(dab.tube).name
    spot, flags = spot_at(photo, dab.place, name)
    laid = {name: dab.parts}
    if dab.white_parts:
        laid[box.white.name] = laid.get(box.white.name, 0.0) + dab.white_parts
    label = f"{name} {dab.parts:g} to {dab.white_parts:g} white"
    return _photo_dab(label, spot, laid, numbers), flags


def _on_card(
    dab: DabRead[PaintWindow], card: Card, numbers: Mapping[str, int], spot: Spot
) -> PhotoDab:
    window = dab.window
    laid = {window.tube: float(window.parts)}
    if window.white_parts:
        laid[card.white] = float(window.white_parts)
    if window.other:
        laid[window.other] = float(window.other_parts)
    return _photo_dab(window.label, spot, laid, numbers)


def _photo_dab(
    label: str, spot: Spot, laid: Mapping[str, float], numbers: Mapping[str, int]
) -> PhotoDab:
    tubes = tuple(numbers[tube] for tube in laid)
    return PhotoDab(label, spot, tubes, tuple(laid.values()))


def _grey_card(spot: Spot, lstar: float) -> Known:
    """Return a card that is grey in every band."""
    y = lab_to_xyz(np.array([lstar, 0.0, 0.0]), PHOTO_WHITE)[1] / PHOTO_WHITE[1]
    grey: Array = np.full(BANDS, float(y))
    return Known("grey card", spot, grey)


def _numbers_of(box: Box) -> dict[str, int]:
    return {tube.name: number for number, tube in enumerate(box.tubes)}


def _use_of_chart(chart: ChartRead | None, known: tuple[Known, ...], photo: str) -> ChartUse:
    """Return what is told of a photo's chart."""
    try:
        residual = correction(known).residual
    except ValueError:
        residual = None
    return ChartUse(photo, chart is not None, len(known), residual)


# Mending a dab that was read wrongly: what a painter sees better than the reader.
#
# A dab may be left out, be other paint than its window asks for, or lie elsewhere.

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
    pixels = pixels_under(photo, read.position.homography, hole)
    return summarise(pixels, read.shading.at(pixels.at_mm))


def as_painted(window: PaintWindow, mend: Mend) -> PaintWindow:
    """Return a window as it was painted."""
    if mend.paint is None:
        return window
    paint = mend.paint
    return replace(
        window,
        tube=paint.tube,
        parts=paint.parts,
        white_parts=paint.white_parts,
        other="",
        other_parts=0,
    )


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
