"""Reading a card: the colour of every dab, with the unevenness of the light divided out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

import numpy as np

from refmatch.card.cautions import dab_flags, empty_flags, grey_flags
from refmatch.card.chart.read import ChartRead, read_chart
from refmatch.card.find import Found, find
from refmatch.card.layout import (
    BAR_INSET_MM,
    GREY_INSET_MM,
    WINDOW_INSET_MM,
    Card,
    Frame,
    PaintWindow,
    W,
    Window,
)
from refmatch.card.light import PageLight, light_on
from refmatch.card.patch import Patch, PlacePixels, pixels_of, summarise
from refmatch.card.place import Place
from refmatch.card.shading import Shading
from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.errors import CardError
from refmatch.flag import Flag
from refmatch.photo.photo import Photo

CROSS_BLACK, CROSS_WHITE = 0.25, 0.6
"""Of the paper's light: where a tenth is darker and a quarter brighter, the cross is seen."""

AS_BRIGHT_AS_PAPER = 1.6
"""A grey this many times brighter than its L* says is no grey card."""

PAPER_REFLECTS = 0.85
"""Plain office paper (common practice, no source)."""

Each = TypeVar("Each", bound=Window)


@dataclass(frozen=True, eq=False)
class DabRead(Generic[W]):
    """One dab as the photo has it.

    ``patch`` is its light: linear, of the ICC D50 white, unbalanced, the shading divided out.
    ``outline_px`` (4, 2) is the window in the photo, ``over_bar`` the paint drawn out over the
    black bar.
    """

    window: W
    outline_px: Array
    patch: Patch
    over_bar: Patch
    flags: tuple[Flag, ...]

    @property
    def xyz(self) -> Array:
        """The patch's mean, (3,)."""
        return self.patch.xyz

    @property
    def shading(self) -> float:
        """How many times as bright as elsewhere the light on it is."""
        return self.patch.shading

    @property
    def clipped(self) -> Array:
        """The share of pixels at either end of the file's scale, (channels,): there, a bound."""
        return self.patch.clipped_high + self.patch.clipped_low


@dataclass(frozen=True, eq=False)
class PageSeen:
    """A page of a card found in a photo, and the light that falls on it."""

    photo: Photo
    found: Found
    light: PageLight

    @property
    def page(self) -> int:
        """Which page it is, from 1."""
        return self.found.page

    @property
    def flags(self) -> tuple[Flag, ...]:
        """What to beware of in the whole page."""
        return (*self.found.flags, *self.light.flags)

    def pixels(self, place: Place) -> tuple[PlacePixels, Array]:
        """Return the pixels of a place, and the shading (n,) on each.

        Raises:
            CardError: the place lies outside the photo.
        """
        pixels = pixels_of(self.photo, self.found.homography, place)
        return pixels, self.light.shading.at(pixels.at_mm)

    def patch(self, place: Place) -> Patch:
        """Return the light of a place.

        Raises:
            CardError: the place lies outside the photo.
        """
        return summarise(*self.pixels(place))


@dataclass(frozen=True, eq=False)
class CardRead:
    """One page of a calibration card as a photo has it: every dab, the grey card, the paper.

    ``paper`` (3,) and ``grey.xyz`` are on the dabs' scale. ``shading_residual`` is relative,
    ``homography_residual_mm`` on the page. ``chart`` is a 24-patch chart that lies beside it.
    """

    page: int
    photo: str
    found: Found
    dabs: tuple[DabRead[PaintWindow], ...]
    grey: Patch
    paper: Array
    shading: Shading
    flags: tuple[Flag, ...]
    chart: ChartRead | None = None

    @property
    def shading_residual(self) -> float:
        """How far the paper misses the smooth surface, relative, root mean square."""
        return self.shading.residual

    @property
    def homography_residual_mm(self) -> float:
        """How far the markers miss a flat page, root mean square."""
        return self.found.homography.residual_mm


def read_card(photos: Sequence[Photo], card: Card) -> tuple[CardRead, ...]:
    """Read the card from a photo of each page, in the pages' order.

    A page may be photographed more than once; pages that nobody photographed are flagged.

    Raises:
        CardError: as `read_page`.
    """
    reads = sorted((read_page(photo, card) for photo in photos), key=lambda read: read.page)
    missing = sorted(set(range(1, card.pages + 1)) - {read.page for read in reads})
    if not missing:
        return tuple(reads)
    flag = Flag("page_missing", pages=tuple(missing))
    return tuple(replace(read, flags=(*read.flags, flag)) for read in reads)


def read_page(photo: Photo, card: Card) -> CardRead:
    """Find the calibration card in a photo and read every dab of its page.

    Raises:
        CardError: the card cannot be found or used (`find`), or its grey card is missing.
    """
    seen = see_page(photo, card)
    paper, grey = seen.light.paper, read_grey(seen, card)
    dabs = tuple(
        dab if card.is_white(dab.window.tube) else _maybe_empty(dab, paper)
        for dab in read_dabs(seen, card)
    )
    chart = read_chart(photo)
    return CardRead(
        page=seen.page,
        photo=photo.path.name,
        found=seen.found,
        dabs=dabs,
        grey=grey,
        paper=paper,
        shading=seen.light.shading,
        flags=(*seen.flags, *grey_flags(grey), *(chart.flags if chart else ())),
        chart=chart,
    )


def see_page(photo: Photo, card: Frame[Window]) -> PageSeen:
    """Find the page that a photo shows, and how the light falls on it.

    Raises:
        CardError: the card cannot be found or used (`find`), or its paper is blown out.
    """
    found = find(photo, card)
    return PageSeen(photo, found, light_on(photo, card, found))


def read_dabs(seen: PageSeen, card: Frame[W]) -> tuple[DabRead[W], ...]:
    """Read what lies in every window of a page; whether it is paint at all is not asked."""
    return tuple(_dab(seen, window) for window in card.windows_on(seen.page))


def _dab(seen: PageSeen, window: Each) -> DabRead[Each]:
    patch = seen.patch(window.place.inset(WINDOW_INSET_MM))
    over_bar = seen.patch(window.bar.inset(BAR_INSET_MM))
    return DabRead(
        window=window,
        outline_px=seen.found.homography.outline_px(window.place),
        patch=patch,
        over_bar=over_bar,
        flags=dab_flags(window, patch, over_bar, seen.light.paper),
    )


def _maybe_empty(dab: DabRead[W], paper: Array) -> DabRead[W]:
    return replace(dab, flags=(*dab.flags, *empty_flags(dab.window, dab.patch, paper)))


def read_grey(seen: PageSeen, card: Frame[Window]) -> Patch:
    """Read the grey card.

    Raises:
        CardError: its place shows the printed cross, or something as bright as paper.
    """
    name, paper = seen.photo.path.name, seen.light.paper
    pixels, shading = seen.pixels(card.grey_on(seen.page).place.inset(GREY_INSET_MM))
    if _cross_shows(pixels, shading, paper):
        raise CardError("grey_card_missing", photo=name)
    patch = summarise(pixels, shading)
    lightness = np.array([card.neutral_value, 0.0, 0.0])
    expected = float(lab_to_xyz(lightness, ICC_WHITE)[1]) / 100.0 / PAPER_REFLECTS
    if patch.xyz[1] > min(AS_BRIGHT_AS_PAPER * expected + 0.2, 1.1) * paper[1]:
        raise CardError("grey_too_bright", photo=name, lstar=card.neutral_value)
    return patch


def _cross_shows(pixels: PlacePixels, shading: Array, paper: Array) -> bool:
    luminance = pixels.xyz[:, 1] / shading / paper[1]
    dark, bright = np.percentile(luminance, (10.0, 75.0))
    return bool(dark < CROSS_BLACK and bright > CROSS_WHITE)
