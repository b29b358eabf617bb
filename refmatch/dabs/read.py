"""Reading a card: the colour of every dab, with the unevenness of the light divided out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.card import (
    BAR_INSET_MM,
    GREY_INSET_MM,
    WINDOW_INSET_MM,
    Card,
    Frame,
    PaintWindow,
    Rectangle,
    W,
    Window,
)
from refmatch.dabs.chart import ChartRead, read_chart
from refmatch.dabs.find import PagePosition, find
from refmatch.dabs.patch import (
    Patch,
    PlacePixels,
    dab_flags,
    empty_flags,
    grey_flags,
    pixels_of,
    summarise,
)
from refmatch.errors import CardError
from refmatch.flag import Flag
from refmatch.photo.photo import Photo

# How unevenly the light falls: a smooth surface through the plain paper, to divide by.

POWERS = tuple((i, j) for i in range(4) for j in range(4) if i + j <= 3)
"""Of x and y: a cubic follows a lamp near one corner, and still cannot follow a dab."""

TUKEY = 4.685
"""Standard deviations beyond which a stretch of paper counts for nothing (Beaton & Tukey
1974, doi:10.1080/00401706.1974.10489171)."""

LEAST_DEVIATION = 0.003
ROUNDS = 20
TRIALS = 400
"""Of six stretches each: where a third of the paper is stained, one in ten is clean."""

QUADRATIC = tuple(n for n, (i, j) in enumerate(POWERS) if i + j <= 2)
START_DEVIATION = 0.015
MOST_CONDITION = 1e4
"""How well a quadratic alone follows the light of a lamp."""


@dataclass(frozen=True, eq=False)
class Shading:
    """The light on the page relative to its mean: ``exp`` of a polynomial in x and y.

    ``residual`` is the relative root mean square by which the paper that counts misses it,
    ``evenness`` the darkest paper's light over the brightest's, and ``used`` (n,) how much
    each stretch of paper counts, 0 to 1.
    """

    coefficients: Array
    middle_mm: Array
    half_mm: float
    residual: float
    evenness: float
    used: Array

    def at(self, points_mm: Array) -> Array:
        """Return the factor at points of the page, (..., 2) to (...)."""
        factor: Array = np.exp(_terms(points_mm, self.middle_mm, self.half_mm) @ self.coefficients)
        return factor


def fit_shading(points_mm: Array, luminance: Array) -> Shading:
    """Fit the surface to the paper's luminance (n,) at points (n, 2), stains left out.

    Least squares in ln light, weighted again and again by how well each stretch agrees, from
    a start that stains cannot pull. The mean factor over the paper is 1.
    """
    corners = points_mm.min(axis=0), points_mm.max(axis=0)
    middle = (corners[0] + corners[1]) / 2.0
    half = float((corners[1] - corners[0]).max() / 2.0)
    terms, light = _terms(points_mm, middle, half), np.log(np.maximum(luminance, 1e-6))
    miss = _start(terms[:, QUADRATIC], light)
    deviation = max(_deviation(miss), START_DEVIATION)
    for _ in range(ROUNDS):
        weights = np.clip(1.0 - (miss / (TUKEY * deviation)) ** 2, 0.0, None) ** 2
        root = np.sqrt(weights)[:, None]
        coefficients = np.linalg.lstsq(terms * root, light * root[:, 0], rcond=None)[0]
        miss = light - terms @ coefficients
        deviation = max(_deviation(miss), LEAST_DEVIATION)
    factor = np.exp(terms @ coefficients)
    coefficients[0] -= np.log(np.average(factor, weights=weights))
    return Shading(
        coefficients=coefficients,
        middle_mm=middle,
        half_mm=half,
        residual=float(np.sqrt(np.average(miss**2, weights=weights))),
        evenness=float(factor.min() / factor.max()),
        used=weights,
    )


def _start(terms: Array, light: Array) -> Array:
    """Return how far each stretch misses the quadratic that most of them lie closest to.

    Least median of squares over exact fits of few points (Rousseeuw 1984,
    doi:10.1080/01621459.1984.10477105); the same points are drawn each time.
    """
    draw = np.random.default_rng(0)
    count = terms.shape[1]
    chosen = np.argsort(draw.random((TRIALS, len(light))), axis=1)[:, :count]
    matrices = terms[chosen]
    sound = np.linalg.cond(matrices) < MOST_CONDITION
    fitted = np.linalg.solve(matrices[sound], light[chosen][sound][..., None])[..., 0]
    misses = light - fitted @ terms.T
    best = np.median(np.abs(misses), axis=1).argmin()
    miss: Array = misses[best]
    return miss


def _deviation(miss: Array) -> float:
    return 1.4826 * float(np.median(np.abs(miss)))


def _terms(points_mm: Array, middle_mm: Array, half_mm: float) -> Array:
    x, y = np.moveaxis((points_mm - middle_mm) / half_mm, -1, 0)
    return np.stack([x**i * y**j for i, j in POWERS], axis=-1)


# The light on the page, read from its plain paper: how it falls, and of how many kinds it is.

CLIPPED_SHARE = 0.1
MOST_CLIPPED = 0.4
UNEVEN_LIGHT = 0.4
ROUGH_LIGHT = 0.02
MIXED_LIGHT_DELTA_E_00 = 3.0
"""Where paper counts as blown out, a page as lost, and where the flags begin; our own choice."""


def light_on(
    photo: Photo, card: Frame[Window], position: PagePosition
) -> tuple[Shading, Array, tuple[Flag, ...]]:
    """Return the shading on a page, its paper's own XYZ (3,) with that divided out, and flags.

    Paper that is blown out does not count.

    Raises:
        CardError: too much of the paper is blown out.
    """
    places = [stretch.place for stretch in card.papers_on(position.page)]
    pixels = [pixels_of(photo, position.homography, place) for place in places]
    patches = [summarise(lit, np.ones(len(lit.xyz))) for lit in pixels]
    clipped = np.array([(patch.clipped_high > CLIPPED_SHARE).any() for patch in patches])
    if clipped.mean() > MOST_CLIPPED:
        raise CardError("paper_blown_out", photo=photo.path.name)
    xyz = np.array([patch.xyz for patch in patches])[~clipped]
    points = np.array([place.centre_mm for place in places])[~clipped]
    shading = fit_shading(points, xyz[:, 1])
    even = xyz / shading.at(points)[:, None]
    paper = np.average(even, axis=0, weights=shading.used)
    return shading, paper, _flags(shading, even, paper, int(clipped.sum()))


def _flags(shading: Shading, even: Array, paper: Array, clipped: int) -> tuple[Flag, ...]:
    lab = xyz_to_lab(even[shading.used > 0.5], paper)
    apart = float(np.percentile(delta_e_00(lab[:, None], lab[None]), 98.0))
    flags = []
    if clipped:
        flags.append(Flag("paper_clipped", places=clipped))
    if shading.evenness < UNEVEN_LIGHT:
        flags.append(Flag("uneven_light", percent=100.0 * shading.evenness))
    if shading.residual > ROUGH_LIGHT:
        flags.append(Flag("rough_light", percent=100.0 * shading.residual))
    if apart >= MIXED_LIGHT_DELTA_E_00:
        flags.append(Flag("mixed_light", apart=apart))
    return tuple(flags)


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
class PhotoPage:
    """A page of a card in a photo, the light that falls on it, and what to beware of.

    ``paper`` (3,) is its white, with the shading divided out.
    """

    photo: Photo
    position: PagePosition
    shading: Shading
    paper: Array
    flags: tuple[Flag, ...]

    @property
    def page(self) -> int:
        """Which page it is, from 1."""
        return self.position.page

    def pixels(self, place: Rectangle) -> tuple[PlacePixels, Array]:
        """Return the pixels of a place, and the shading (n,) on each.

        Raises:
            CardError: the place lies outside the photo.
        """
        pixels = pixels_of(self.photo, self.position.homography, place)
        return pixels, self.shading.at(pixels.at_mm)

    def patch(self, place: Rectangle) -> Patch:
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
    position: PagePosition
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
        return self.position.homography.residual_mm


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
    shot = find_page(photo, card)
    paper, grey = shot.paper, read_grey(shot, card)
    dabs = tuple(
        dab if card.is_white(dab.window.tube) else _maybe_empty(dab, paper)
        for dab in read_dabs(shot, card)
    )
    chart = read_chart(photo)
    return CardRead(
        page=shot.page,
        photo=photo.path.name,
        position=shot.position,
        dabs=dabs,
        grey=grey,
        paper=paper,
        shading=shot.shading,
        flags=(*shot.flags, *grey_flags(grey), *(chart.flags if chart else ())),
        chart=chart,
    )


def find_page(photo: Photo, card: Frame[Window]) -> PhotoPage:
    """Find the page that a photo shows, and how the light falls on it.

    Raises:
        CardError: the card cannot be found or used (`find`), or its paper is blown out.
    """
    place = find(photo, card)
    shading, paper, flags = light_on(photo, card, place)
    return PhotoPage(photo, place, shading, paper, (*place.flags, *flags))


def read_dabs(page: PhotoPage, card: Frame[W]) -> tuple[DabRead[W], ...]:
    """Read what lies in every window of a page; whether it is paint at all is not asked."""
    return tuple(_dab(page, window) for window in card.windows_on(page.page))


def _dab(page: PhotoPage, window: Each) -> DabRead[Each]:
    patch = page.patch(window.place.inset(WINDOW_INSET_MM))
    over_bar = page.patch(window.bar.inset(BAR_INSET_MM))
    return DabRead(
        window=window,
        outline_px=page.position.homography.outline_px(window.place),
        patch=patch,
        over_bar=over_bar,
        flags=dab_flags(window, patch, over_bar, page.paper),
    )


def _maybe_empty(dab: DabRead[W], paper: Array) -> DabRead[W]:
    return replace(dab, flags=(*dab.flags, *empty_flags(dab.window, dab.patch, paper)))


def read_grey(page: PhotoPage, card: Frame[Window]) -> Patch:
    """Read the grey card.

    Raises:
        CardError: its place shows the printed cross, or something as bright as paper.
    """
    name, paper = page.photo.path.name, page.paper
    pixels, shading = page.pixels(card.grey_on(page.page).place.inset(GREY_INSET_MM))
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
