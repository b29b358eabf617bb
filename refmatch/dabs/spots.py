"""What a photo of dabs shows, however it is found: by a card, by a chart, by pointing.

A place of the photo becomes a `Spot`, and what is known there a `Beside`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import chroma, lab_to_xyz
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.dabs.additions import Parts
from refmatch.dabs.beside import GREY, PAINT, PATCH, REFERENCE, Beside, DabPhoto
from refmatch.dabs.card import GREY_CARD_LSTAR, PaintWindow, check_neutral
from refmatch.dabs.chart import ChartPatch, ChartRead, read_chart
from refmatch.dabs.dab_card import DabCard, TargetWindow
from refmatch.dabs.doubt import LEAST_SIGMA, UNEVEN_COUNTS
from refmatch.dabs.patch import Patch, empty_flags, grey_flags
from refmatch.dabs.read import DabRead, PhotoPage, find_page, read_dabs, read_grey
from refmatch.dabs.spot import NONE_CLIPPED, Channels, Known, Spot
from refmatch.errors import BoxError, CardError, UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube
from refmatch.photo.hole import Sample, sample
from refmatch.photo.light.balance import as_shot
from refmatch.photo.photo import Photo
from refmatch.photo.place import Place

# Reading the dab card: the light of each dab, of white and black, of grey card and chart.

NEARLY_WHITE_LSTAR, NEARLY_WHITE_CHROMA = 80.0, 12.0
"""Of a target: from here on its dab may be as white as bare paper (own choice)."""

Dab = DabRead[TargetWindow | PaintWindow]


@dataclass(frozen=True, eq=False)
class DabCardRead:
    """One page of the dab card as a photo has it.

    ``dabs`` hold paint, ``empty`` seem to hold none. ``grey`` is None where the grey card is not
    there, or not a grey card; then ``chart``, a 24-patch chart beside the card, is. ``paper`` (3,)
    is on the dabs' scale.
    """

    page: int
    dabs: tuple[Dab, ...]
    empty: tuple[Dab, ...]
    grey: Patch | None
    chart: ChartRead | None
    paper: Array
    flags: tuple[Flag, ...]


def read_dab_card(photo: Photo, card: DabCard) -> DabCardRead:
    """Find the dab card in a photo and read every dab of its page.

    Raises:
        CardError: the card cannot be found or used (`find`), or neither a grey card nor a
            24-patch chart is there.
    """
    page = find_page(photo, card)
    chart = read_chart(photo)
    grey, flags = _grey(page, card, chart)
    dabs = [_judged(dab, card, page.paper) for dab in read_dabs(page, card)]
    return DabCardRead(
        page=page.page,
        dabs=tuple(dab for dab in dabs if not is_empty(dab)),
        empty=tuple(dab for dab in dabs if is_empty(dab)),
        grey=grey,
        chart=chart,
        paper=page.paper,
        flags=(*page.flags, *flags, *(chart.flags if chart else ())),
    )


def is_empty(dab: Dab) -> bool:
    """Return whether a window seems to hold no paint."""
    return any(flag.name == "looks_empty" for flag in dab.flags)


def _grey(
    page: PhotoPage, card: DabCard, chart: ChartRead | None
) -> tuple[Patch | None, tuple[Flag, ...]]:
    """Return the grey card; a chart whose patches can be used takes its place."""
    try:
        grey = read_grey(page, card)
    except CardError as error:
        if chart is None or not chart.patches:
            raise CardError("neither_grey_nor_chart", why=error) from error
        return None, (Flag("grey_card_not_seen"),)
    return grey, grey_flags(grey)


def _judged(dab: Dab, card: DabCard, paper: Array) -> Dab:
    """Say of a dab whether there is any.

    Paint that is meant to be nearly white counts as empty only where the bar under it is bare too.
    """
    bare = any(flag.name == "hiding_unknown" for flag in dab.flags)
    if _may_be_white(dab.window, card) and not bare:
        return dab
    return replace(dab, flags=(*dab.flags, *empty_flags(dab.window, dab.patch, paper)))


def _may_be_white(window: TargetWindow | PaintWindow, card: DabCard) -> bool:
    if isinstance(window, PaintWindow):
        return window.tube == card.white
    lab = window.wanted
    return bool(lab[0] >= NEARLY_WHITE_LSTAR and chroma(lab) < NEARLY_WHITE_CHROMA)


CLIPPED_SHARE = 0.02
"""Part of a dab's pixels at an end of the file's scale from which its channel is a bound."""

BRIGHT_Y = 0.5
"""Above it a clipped hole is at the upper end of the scale, below at the lower."""


@dataclass(frozen=True)
class Places:
    """Where things lie on a photo, None where there is none.

    ``dab`` is None of a photo that shows no dab, but the canvas; ``white`` and ``black`` are dabs
    of the box's own white and black, as squeezed.
    """

    dab: Place | None = None
    neutral: Place | None = None
    neutral_lstar: float = GREY_CARD_LSTAR
    white: Place | None = None
    black: Place | None = None
    reference: Place | None = None


@dataclass(frozen=True, eq=False)
class Reference:
    """A colour that was measured: its Lab (3,), and what it is made of where it is a dab."""

    lab: Array
    parts: Parts = ()


def pointed_to(
    photo: Photo, label: str, places: Places, box: Box, reference: Reference | None = None
) -> DabPhoto:
    """Return what is seen of the dab of a target, and of all that is known beside it.

    A 24-patch chart is found by itself.

    Raises:
        UsageError: nothing known lies beside the dab, or no grey card has that L*.
        HoleError: a place lies outside the photo. BoxError: the box has no such paint.
    """
    if places.dab is None:
        raise UsageError("dab_unknown")
    dab, dab_flags = spot_at(photo, places.dab, "dab")
    around = surroundings(photo, places, box, reference)
    if not around.beside:
        raise UsageError("nothing_known_beside", photo=photo.path.name)
    return DabPhoto({label: dab}, around.beside, around.flags, {label: tuple(dab_flags)})


@dataclass(frozen=True, eq=False)
class Surroundings:
    """What is known in a photo: surfaces, where each lies, (n, 2) in pixels, and their flags."""

    beside: tuple[Beside, ...]
    px: Array
    flags: tuple[Flag, ...]


def surroundings(
    photo: Photo, places: Places, box: Box, reference: Reference | None = None
) -> Surroundings:
    """Return all that is known in a photo: what is pointed to, and a chart, found by itself.

    Raises:
        UsageError: no grey card has that L*. HoleError: a place lies outside the photo.
        BoxError: the box has no such paint.
    """
    check_neutral(places.neutral_lstar)
    beside: list[Beside] = []
    at: list[Array] = []
    flags: list[Flag] = []
    for name, place, kind, lab, parts in _pointed(places, box, reference):
        spot, raised = spot_at(photo, place, name)
        hole = place.on(photo, name)
        beside.append(Beside(kind, spot, lab, parts=parts))
        at.append(np.array([hole.x_px, hole.y_px]))
        flags += raised
    chart = read_chart(photo)
    beside += patches_beside(chart)
    at += [patch.outline_px.mean(axis=0) for patch in (chart.patches if chart else ())]
    flags += chart.flags if chart else ()
    return Surroundings(tuple(beside), np.array(at).reshape(-1, 2), tuple(flags))


def on_dab_card(photo: Photo, card: DabCard) -> DabPhoto:
    """Return what a photo of one page of a dab card shows.

    Empty windows have no spot, but a flag under their label.

    Raises:
        CardError: the card cannot be found or used, no dab is painted on that page, or neither a
            grey card nor a chart is there.
    """
    read = read_dab_card(photo, card)
    paper = float(read.paper[1])
    dabs = {dab.window.label: dab for dab in read.dabs if isinstance(dab.window, TargetWindow)}
    if not dabs:
        raise CardError("no_dab_on_page", photo=photo.path.name, page=read.page)
    flags_of = {
        dab.window.target: dab.flags
        for dab in (*read.dabs, *read.empty)
        if isinstance(dab.window, TargetWindow)
    }
    return DabPhoto(
        spots={label: spot_of(dab.patch, paper) for label, dab in dabs.items()},
        beside=_beside(read, card, paper),
        flags=_flags(read, card),
        flags_of=flags_of,
        outlines={label: dab.outline_px for label, dab in dabs.items()},
    )


def spot_at(photo: Photo, place: Place, name: str) -> tuple[Spot, tuple[Flag, ...]]:
    """Return what lies at a place, and what to beware of; ``name`` is its own.

    Raises:
        HoleError: it lies outside the photo.
    """
    read = sample(photo, as_shot(), place.on(photo, name))
    xyz, sigma = _light_of(read)
    clipped = at_end(np.full(3, read.clipped_fraction))
    bright = bool(xyz[1] > BRIGHT_Y)
    high, low = (clipped, NONE_CLIPPED) if bright else (NONE_CLIPPED, clipped)
    return Spot(xyz, sigma, high=high, low=low), read.flags


def spot_of(patch: Patch, paper: float, photo: int = 0) -> Spot:
    """Return a place of a card that was read; the photo shows white paper at ``paper``."""
    return Spot(
        xyz=patch.xyz,
        sigma=_error_of(patch.spread),
        high=at_end(patch.clipped_high),
        low=at_end(patch.clipped_low),
        shading=patch.shading,
        paper=paper,
        photo=photo,
    )


def known_of_chart(chart: ChartRead | None, photo: int = 0) -> tuple[Known, ...]:
    """Return the patches that can be used; none where no chart was found.

    A clipped patch is among them: to a fit it is a bound, and a correction leaves it out.
    """
    return () if chart is None else tuple(_patch(patch, photo) for patch in chart.patches)


def patches_beside(chart: ChartRead | None) -> Iterator[Beside]:
    """Yield the patches of a chart that can be used; none without one."""
    for patch in chart.patches if chart else ():
        spot = spot_of(patch.patch, float(patch.patch.xyz[1]))
        yield Beside(PATCH, spot, number=patch.number + 1, at=patch.at)


def black_of(box: Box) -> Tube:
    """Return the black of a box.

    Raises:
        BoxError: there is none.
    """
    if box.black is None:
        raise BoxError("no_black", box=box.name)
    return box.black


def at_end(clipped: Array) -> Channels:
    """Say of red, green and blue whether so many of the pixels, (channels,), lie at an end.

    A file of one channel, or of four inks, has its end in all three or in none.
    """
    ends = np.asarray(clipped) >= CLIPPED_SHARE
    if ends.shape != (3,):
        ends = np.full(3, bool(ends.any()))
    red, green, blue = (bool(end) for end in ends)
    return red, green, blue


def _pointed(
    places: Places, box: Box, reference: Reference | None
) -> Iterator[tuple[str, Place, str, Array | None, Parts]]:
    """Yield what is pointed to: its name and place, and what `Beside` says of it."""
    if places.neutral is not None:
        lab = np.array([places.neutral_lstar, 0.0, 0.0])
        yield "grey card", places.neutral, GREY, lab, ()
    if places.white is not None:
        yield "white", places.white, PAINT, None, ((box.white.name, 1.0),)
    if places.black is not None:
        yield "black", places.black, PAINT, None, ((black_of(box).name, 1.0),)
    if reference is not None and places.reference is not None:
        yield "reference", places.reference, REFERENCE, reference.lab, reference.parts


def _patch(patch: ChartPatch, photo: int) -> Known:
    # how the light falls was told by a surface as bright as the patch itself
    spot = spot_of(patch.patch, float(patch.patch.xyz[1]), photo)
    label = f"chart, patch {patch.number + 1}"
    return Known(label, spot, patch.reflectance, on_chart=patch.at)


def _beside(read: DabCardRead, card: DabCard, paper: float) -> tuple[Beside, ...]:
    surfaces = []
    if read.grey is not None:
        lab = np.array([card.neutral_value, 0.0, 0.0])
        surfaces.append(Beside(GREY, spot_of(read.grey, paper), lab=lab))
    for dab in read.dabs:
        if isinstance(dab.window, PaintWindow):
            parts = ((dab.window.tube, float(dab.window.parts)),)
            surfaces.append(Beside(PAINT, spot_of(dab.patch, paper), parts=parts))
    return (*surfaces, *patches_beside(read.chart))


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
    names = [dab.window.target for dab in dabs if isinstance(dab.window, TargetWindow)]
    if names:
        yield Flag("windows_empty", targets=tuple(names))


def _elsewhere(read: DabCardRead, card: DabCard) -> Iterator[Flag]:
    others = sorted({window.page for window in card.targets} - {read.page})
    if others:
        yield Flag("other_pages", page=read.page, others=tuple(others))


def _error_of(spread: Array) -> Array:
    """Return the error of a place's mean from how uneven it is, (3,) both."""
    return np.hypot(UNEVEN_COUNTS * spread, LEAST_SIGMA)


def _light_of(read: Sample) -> tuple[Array, Array]:
    """Return the mean light of a hole, (3,), white Y = 1, and its error."""
    xyz = lab_to_xyz(read.lab, PHOTO_WHITE) / PHOTO_WHITE[1]
    texture = np.sqrt(max(float(read.covariance[0, 0]), 0.0)) / 100.0
    return xyz, _error_of(np.full(3, texture) * np.cbrt(np.maximum(xyz, 1e-3)) ** 2 * 3.0)
