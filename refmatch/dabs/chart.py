"""Reading the chart: the colour of every patch at the photo's own size, what spoils it left out."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.display import SRGB_TO_XYZ, XYZ_TO_SRGB
from refmatch.colorimetry.lab import delta_e_00, lab_to_xyz, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.camera import lightness, linear_of
from refmatch.dabs.card import Rectangle
from refmatch.dabs.chart_colours import chart_patches, correction
from refmatch.dabs.chart_grid import Lattice, lattices, quads_in
from refmatch.dabs.find import Homography, project
from refmatch.dabs.patch import Patch, pixels_of, summarise
from refmatch.dabs.spot import Known, Spot
from refmatch.flag import Flag
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Photo, reduced

# Is it the chart, and which way round does it lie? Its colours tell.
#
# Seen and known colours are compared on the lightness scale of CIELAB, channel by channel of linear
# sRGB. There another exposure, white balance or contrast is a straight line, and light that falls
# off is a slope across the chart.

COLUMNS, ROWS = 6, 4
BLACK_LIFT = 0.16
"""Lightness is a cube root less this: a gain multiplies what lies above it."""

FEWEST_ALIKE = 16
"""Patches that must agree: the others may be covered, in shade or blown out."""

LEAST_SHARE = 0.88
"""Of the colours' variance, explained; 24 other colours in a grid reach 0.5 (see accuracy.md)."""

CONTRAST = (0.35, 2.5)
"""Within which the line's steepness must lie, in each channel."""


@dataclass(frozen=True, eq=False)
class Likeness:
    """How well 24 colours are those of the chart.

    ``share`` of the variance is explained by the patches that agree; ``miss`` (24,) is how far
    each is off, in lightness, 0 to 1, root mean square of the channels; ``slope`` (2,) is how the
    light falls off along columns and rows.
    """

    share: float
    miss: Array
    is_chart: bool
    slope: Array


def places() -> Array:
    """Return column and row of each patch from the chart's middle, (24, 2)."""
    rows, columns = np.divmod(np.arange(COLUMNS * ROWS), COLUMNS)
    return np.stack([columns - (COLUMNS - 1) / 2.0, rows - (ROWS - 1) / 2.0], axis=-1)


@functools.cache
def known_codes() -> Array:
    """Return the lightness, (24, 3), of the chart's patches in each channel."""
    xyz = lab_to_xyz(reflectance_to_lab(chart_patches()), ICC_WHITE)
    codes = lightness(np.maximum(xyz @ XYZ_TO_SRGB.T, 0.0))
    codes.flags.writeable = False
    return codes


def likeness(codes: Array) -> Likeness:
    """Compare lightness seen, (24, 3), with the chart's: least squares, the worst left out.

    What is not a number was not seen.
    """
    known = np.asarray(np.isfinite(codes).all(axis=1))
    if known.sum() < FEWEST_ALIKE:
        return Likeness(0.0, np.full(len(codes), np.inf), False, np.zeros(2))
    wanted, kept = np.where(known[:, None], codes, 0.0), known
    for count in (*range(int(known.sum()), FEWEST_ALIKE, -2), FEWEST_ALIKE):
        rows = np.repeat(kept, 3)
        coefficients = np.linalg.lstsq(_terms()[rows], wanted.ravel()[rows], rcond=None)[0]
        off = wanted - (_terms() @ coefficients).reshape(-1, 3)
        miss = np.where(known, np.sqrt(np.mean(off**2, axis=1)), np.inf)
        kept = np.zeros(len(codes), bool)
        kept[np.argsort(miss)[:count]] = True
    spread = np.sum((codes[kept] - codes[kept].mean(axis=0)) ** 2)
    share = 1.0 - float(3.0 * np.sum(miss[kept] ** 2) / max(spread, 1e-9))
    steep = coefficients[3:6]
    sound = bool((steep > CONTRAST[0]).all() and (steep < CONTRAST[1]).all())
    return Likeness(share, miss, sound and share > LEAST_SHARE, coefficients[6:])


def even_light(xyz: Array, like: Likeness, number: int) -> float:
    """Return by how much the light over one patch makes it brighter than at the chart's middle.

    ``xyz`` (3,) is what the photo decodes it as, white Y = 1; so the factor holds for a surface as
    light as this, whatever the camera's tone curve.
    """
    linear = np.maximum(100.0 * xyz @ XYZ_TO_SRGB.T, 0.0)
    fall = float(like.slope @ places()[number]) / COLUMNS
    even = linear_of(lightness(linear) - fall * (known_codes()[number] + BLACK_LIFT))
    luminance = SRGB_TO_XYZ[1]
    return float(np.clip(luminance @ linear / max(luminance @ even, 1e-6), 0.2, 5.0))


@functools.cache
def _terms() -> Array:
    """Return the straight line of each channel and the slope of the light, (72, 8)."""
    codes = known_codes()
    terms = np.zeros((len(codes), 3, 8))
    for channel in range(3):
        terms[:, channel, channel] = 1.0
        terms[:, channel, 3 + channel] = codes[:, channel]
    terms[:, :, 6:] = (codes + BLACK_LIFT)[..., None] * places()[:, None, :] / COLUMNS
    return terms.reshape(-1, 8)


# Finding a 24-patch chart in a photo: where its patches lie, or that there is none.

LONGEST_SIDE_PX = 2400
"""The chart is looked for at this size: its gaps are two pixels wide where it is small."""

LEAST_WITHIN = 0.7
"""Of the spots on a lattice, within the chart's four rows and six columns."""

GRID: Array = np.linspace(-0.5, 0.5, 5)
"""Where a patch is looked at, in halves of its side."""

TURNS: tuple[Array, ...] = tuple(
    np.array(turn, float)
    for turn in (
        [[1, 0], [0, 1]],
        [[0, 1], [-1, 0]],
        [[-1, 0], [0, -1]],
        [[0, -1], [1, 0]],
        [[-1, 0], [0, 1]],
        [[0, 1], [1, 0]],
        [[1, 0], [0, -1]],
        [[0, -1], [-1, 0]],
    )
)
"""The chart's columns and rows in those of the lattice: four turns, and each as in a mirror."""


@dataclass(frozen=True, eq=False)
class ChartPosition:
    """Where a chart lies.

    ``to_photo`` (3, 3) takes steps from patch to patch, counted from the chart's middle, columns
    to the right, to pixels of the photo; ``half`` is half a patch's side in steps, ``residual``
    the root mean square, in steps, by which the patches seen miss a flat chart.
    """

    to_photo: Array
    half: float
    residual: float
    likeness: Likeness

    def outlines_px(self) -> Array:
        """Return the corners of all patches in the photo, (24, 4, 2), from each one's top left."""
        square = self.half * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
        return project(self.to_photo, places()[:, None] + square)


def find_chart(photo: Photo) -> ChartPosition | None:
    """Return where a 24-patch chart lies in a photo, at any turn, or None where none is seen."""
    working = reduced(photo, LONGEST_SIDE_PX)
    xyz = np.ascontiguousarray(working.xyz, np.float32)
    linear = np.maximum(opencv().transform(xyz, 100.0 * XYZ_TO_SRGB), np.float32(0.0))
    # lightness rises with light: a third of the cube roots are enough for the picture
    strongest = np.maximum(np.maximum(linear[..., 0], linear[..., 1]), linear[..., 2])
    value = np.clip(255.0 * lightness(strongest), 0.0, 255.0).astype(np.uint8)
    best: ChartPosition | None = None
    for lattice in lattices(quads_in(value)):
        for chart in _charts_on(lattice, linear, working.scale):
            if best is None or chart.likeness.share > best.likeness.share:
                best = chart
    return best


def _charts_on(lattice: Lattice, linear: Array, scale: float) -> Iterator[ChartPosition]:
    """Yield every way in which a chart may lie on a lattice that its colours agree with.

    ``linear`` (rows, columns, 3) is the picture's linear sRGB.
    """
    for turn in TURNS:
        size = np.abs(turn) @ np.array([COLUMNS, ROWS])
        for middle in _middles(lattice.places, size):
            onto = np.eye(3)
            onto[:2, :2], onto[:2, 2] = turn, middle
            to_picture = lattice.to_picture @ onto
            like = likeness(_patch_codes(linear, to_picture, lattice.half))
            if like.is_chart:
                to_photo = np.diag([1.0 / scale, 1.0 / scale, 1.0]) @ to_picture
                yield ChartPosition(to_photo / to_photo[2, 2], lattice.half, lattice.residual, like)


def _middles(spots: Array, size: Array) -> Iterator[Array]:
    """Yield where the middle of a chart of that size (columns, rows) may lie among spots."""
    low, high = spots.min(axis=0), spots.max(axis=0)
    starts = [range(int(high[k] - size[k] + 1 - 2), int(low[k]) + 3) for k in range(2)]
    for left in starts[0]:
        for top in starts[1]:
            first = np.array([left, top])
            within = ((spots >= first) & (spots < first + size)).all(axis=1)
            if within.mean() >= LEAST_WITHIN:
                yield first + (size - 1.0) / 2.0


def _patch_codes(linear: Array, to_picture: Array, half: float) -> Array:
    """Return the mean lightness of each patch, (24, 3), not a number where one lies outside."""
    grid = half * np.stack(np.meshgrid(GRID, GRID), axis=-1).reshape(-1, 2)
    points = project(to_picture, places()[:, None] + grid)
    columns, rows = np.moveaxis(np.floor(points).astype(int), -1, 0)
    inside = (columns >= 0) & (rows >= 0) & (columns < linear.shape[1]) & (rows < linear.shape[0])
    rows, columns = np.where(inside, rows, 0), np.where(inside, columns, 0)
    means: Array = lightness(linear[rows, columns]).mean(axis=1)
    means[~inside.all(axis=1)] = np.nan
    return means


CLIPPED_SHARE = 0.02
"""Part of a patch's pixels at an end of the file's scale from which its channel is a bound."""


def chart_flags(used: Sequence[Patch], left_out: int, photo: str) -> tuple[Flag, ...]:
    """Return what to say; ``used`` is empty where too little of the chart can be read."""
    if not used:
        return (Flag("chart_unusable", photo=photo),)
    flags = [Flag("chart_used", photo=photo)]
    if left_out:
        flags.append(Flag("chart_patches_left_out", count=left_out))
    clipped = sum(
        bool((np.maximum(patch.clipped_high, patch.clipped_low) >= CLIPPED_SHARE).any())
        for patch in used
    )
    if clipped:
        flags.append(Flag("chart_clipped", count=clipped))
    return tuple(flags)


INSET = 0.3
"""Of half a patch's side, left out along its edges: blur, and the border's shadow."""

SUSPECT = 0.1
"""In lightness, 0 to 1: a patch that misses a straight line by more is looked at again."""

COVERED_DELTA_E_00 = 15.0
"""So far from what the other patches say of the camera, a patch is covered (own choice)."""

LEAST_KEPT = 0.6
"""Share of a patch's pixels that must be alike, else something lies on it, or a shadow's edge."""

FEWEST_USED = 12
"""Patches without which a chart is not used."""


@dataclass(frozen=True, eq=False)
class ChartPatch:
    """One patch as the photo has it.

    ``number`` counts from 0, row by row, the greys last; ``at`` is its column and row from the
    chart's middle, the edges of the longer side at 1. ``patch`` holds its light, the uneven light
    over the chart divided out by ``patch.shading``.
    """

    number: int
    at: tuple[float, float]
    outline_px: Array
    patch: Patch

    @property
    def reflectance(self) -> Array:
        """What such a patch reflects, (31,)."""
        row: Array = chart_patches()[self.number]
        return row


@dataclass(frozen=True, eq=False)
class ChartRead:
    """A 24-patch chart in a photo: where it lies, and the patches that can be used.

    ``left_out`` are the numbers of the others. A chart of which too little is left has no patches.
    """

    found: ChartPosition
    patches: tuple[ChartPatch, ...]
    left_out: tuple[int, ...]
    flags: tuple[Flag, ...]


@dataclass(frozen=True)
class ChartUse:
    """What a photo gave when it was searched for a 24-patch chart.

    ``residual`` is the dE00, root mean square, by which a correction of the photo misses the
    chart's patches; None where there is no chart, or too little of one.
    """

    photo: str
    found: bool
    patches_used: int
    residual: float | None


def read_chart(photo: Photo) -> ChartRead | None:
    """Find a 24-patch chart in a photo and read it; None where there is none."""
    chart = find_chart(photo)
    if chart is None:
        return None
    kept = [patch for patch in _patches(photo, chart) if patch.patch.kept >= LEAST_KEPT]
    like = likeness(_codes(kept))
    used = _bare([_evenly_lit(patch, like) for patch in kept], like)
    if len(used) < FEWEST_USED:
        used = ()
    left_out = tuple(sorted(set(range(len(places()))) - {patch.number for patch in used}))
    flags = chart_flags([patch.patch for patch in used], len(left_out), photo.path.name)
    return ChartRead(chart, used, left_out, flags)


def _patches(photo: Photo, chart: ChartPosition) -> list[ChartPatch]:
    """Read every patch that lies within the photo."""
    homography = Homography(chart.to_photo, chart.residual, ())
    side, size = 2.0 * chart.half * (1.0 - INSET), (photo.width_px, photo.height_px)
    read = []
    for number, (outline, (x, y)) in enumerate(zip(chart.outlines_px(), places(), strict=True)):
        if (outline < 0.0).any() or (outline > size).any():
            continue
        pixels = pixels_of(photo, homography, Rectangle(x - side / 2.0, y - side / 2.0, side, side))
        patch = summarise(pixels, np.ones(len(pixels.xyz)))
        edge = places().max()
        read.append(ChartPatch(number, (float(x / edge), float(y / edge)), outline, patch))
    return read


def _codes(patches: list[ChartPatch]) -> Array:
    """Return lightness channel by channel, (24, 3); what is not there is not a number."""
    codes = np.full((len(places()), 3), np.nan)
    for patch in patches:
        codes[patch.number] = lightness(np.maximum(100.0 * patch.patch.xyz @ XYZ_TO_SRGB.T, 0.0))
    return codes


def _bare(patches: list[ChartPatch], like: Likeness) -> tuple[ChartPatch, ...]:
    """Leave out patches that something covers: the others tell what the camera would see of them.

    A camera that makes colours strong moves a yellow far from any straight line, and is believed.
    """
    plain = [patch for patch in patches if like.miss[patch.number] <= SUSPECT]
    try:
        camera = correction([_known(patch) for patch in plain])
    except ValueError:
        return tuple(plain)
    lab = camera.lab(np.stack([patch.patch.xyz for patch in patches]))
    away = delta_e_00(lab, reflectance_to_lab(np.stack([patch.reflectance for patch in patches])))
    return tuple(
        patch
        for patch, off in zip(patches, away, strict=True)
        if like.miss[patch.number] <= SUSPECT or off <= COVERED_DELTA_E_00
    )


def _known(patch: ChartPatch) -> Known:
    high, low = patch.patch.clipped_high, patch.patch.clipped_low
    clipped = bool((np.maximum(high, low) >= CLIPPED_SHARE).any())
    at_end = (clipped, clipped, clipped)
    return Known("", Spot(patch.patch.xyz, patch.patch.spread, high=at_end), patch.reflectance)


def _evenly_lit(each: ChartPatch, like: Likeness) -> ChartPatch:
    """Divide out how the light falls off over the chart, as its known colours show it."""
    patch = each.patch
    factor = even_light(patch.xyz, like, each.number)
    even = replace(patch, xyz=patch.xyz / factor, spread=patch.spread / factor, shading=factor)
    return replace(each, patch=even)
