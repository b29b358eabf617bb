"""Reading the card: the colour of every dab, with the unevenness of the light divided out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.card.cautions import dab_flags, empty_flags, grey_flags
from refmatch.card.chart.read import ChartRead, read_chart
from refmatch.card.find import Found, find
from refmatch.card.layout import BAR_INSET_MM, GREY_INSET_MM, WINDOW_INSET_MM, Card, Window
from refmatch.card.light import light_on
from refmatch.card.patch import Patch, PlacePixels, pixels_of, summarise
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


@dataclass(frozen=True, eq=False)
class DabRead:
    """One dab as the photo has it.

    ``patch`` is its light: linear, of the ICC D50 white, unbalanced, the shading divided out.
    ``outline_px`` (4, 2) is the window in the photo, ``over_bar`` the paint drawn out over the
    black bar.
    """

    window: Window
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
class CardRead:
    """One page as a photo has it: every dab, the grey card, the paper.

    ``paper`` (3,) and ``grey.xyz`` are on the dabs' scale. ``shading_residual`` is relative,
    ``homography_residual_mm`` on the page. ``chart`` is a 24-patch chart that lies beside it.
    """

    page: int
    photo: str
    found: Found
    dabs: tuple[DabRead, ...]
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
    told = " and ".join(str(page) for page in missing)
    text = f"No photo shows page {told} of the card; the dabs there are not used."
    flag = Flag("page_missing", text)
    return tuple(replace(read, flags=(*read.flags, flag)) for read in reads)


def read_page(photo: Photo, card: Card) -> CardRead:
    """Find the card in a photo and read every dab of its page.

    Raises:
        CardError: the card cannot be found or used (`find`), or its grey card is missing.
    """
    found = find(photo, card)
    light = light_on(photo, card, found)
    shading, paper = light.shading, light.paper
    grey = _grey(photo, card, found, shading, paper)
    dabs = tuple(
        _dab(photo, found, window, shading, paper) for window in card.windows_on(found.page)
    )
    dabs = tuple(
        dab if card.is_white(dab.window.tube) else _maybe_empty(dab, paper) for dab in dabs
    )
    chart = read_chart(photo)
    return CardRead(
        page=found.page,
        photo=photo.path.name,
        found=found,
        dabs=dabs,
        grey=grey,
        paper=paper,
        shading=shading,
        flags=(*found.flags, *light.flags, *grey_flags(grey), *(chart.flags if chart else ())),
        chart=chart,
    )


def _dab(photo: Photo, found: Found, window: Window, shading: Shading, paper: Array) -> DabRead:
    homography = found.homography
    pixels = pixels_of(photo, homography, window.place.inset(WINDOW_INSET_MM))
    patch = summarise(pixels, shading.at(pixels.at_mm))
    below = pixels_of(photo, homography, window.bar.inset(BAR_INSET_MM))
    over_bar = summarise(below, shading.at(below.at_mm))
    return DabRead(
        window=window,
        outline_px=homography.outline_px(window.place),
        patch=patch,
        over_bar=over_bar,
        flags=dab_flags(window, patch, over_bar, paper),
    )


def _maybe_empty(dab: DabRead, paper: Array) -> DabRead:
    return replace(dab, flags=(*dab.flags, *empty_flags(dab.window, dab.patch, paper)))


def _grey(photo: Photo, card: Card, found: Found, shading: Shading, paper: Array) -> Patch:
    """Read the grey card.

    Raises:
        CardError: its place shows the printed cross, or something as bright as paper.
    """
    place = card.grey_on(found.page).place
    pixels = pixels_of(photo, found.homography, place.inset(GREY_INSET_MM))
    if _cross_shows(pixels, shading, paper):
        raise CardError(
            f"The grey card is missing in '{photo.path.name}': the cross of its place shows; "
            "lay the grey card over the cross and photograph the page again."
        )
    patch = summarise(pixels, shading.at(pixels.at_mm))
    lightness = np.array([card.neutral_value, 0.0, 0.0])
    expected = float(lab_to_xyz(lightness, ICC_WHITE)[1]) / 100.0 / PAPER_REFLECTS
    if patch.xyz[1] > min(AS_BRIGHT_AS_PAPER * expected + 0.2, 1.1) * paper[1]:
        raise CardError(
            f"What lies at the grey card's place in '{photo.path.name}' is too bright for a grey "
            f"of L* {card.neutral_value:g}; lay the grey card there, or make the card again "
            "with the right --neutral-value."
        )
    return patch


def _cross_shows(pixels: PlacePixels, shading: Shading, paper: Array) -> bool:
    luminance = pixels.xyz[:, 1] / shading.at(pixels.at_mm) / paper[1]
    dark, bright = np.percentile(luminance, (10.0, 75.0))
    return bool(dark < CROSS_BLACK and bright > CROSS_WHITE)
