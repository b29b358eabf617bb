"""Reading the chart: the colour of every patch at the photo's own size, what spoils it left out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.card.chart.colours import Likeness, even_light, likeness, places
from refmatch.card.chart.find import ChartFound, find_chart
from refmatch.card.homography import Homography
from refmatch.card.patch import Patch, pixels_of, summarise
from refmatch.card.place import Place
from refmatch.colorimetry.display import XYZ_TO_SRGB
from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.photo.photo import Photo
from refmatch.swatch.chart import chart_patches, correction
from refmatch.swatch.dab import Known
from refmatch.swatch.tone import lightness

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
        bool((np.maximum(each.clipped_high, each.clipped_low) >= CLIPPED_SHARE).any())
        for each in used
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

    found: ChartFound
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
    found = find_chart(photo)
    if found is None:
        return None
    seen = [each for each in _patches(photo, found) if each.patch.kept >= LEAST_KEPT]
    like = likeness(_codes(seen))
    used = _bare([_evenly_lit(each, like) for each in seen], like)
    if len(used) < FEWEST_USED:
        used = ()
    left_out = tuple(sorted(set(range(len(places()))) - {each.number for each in used}))
    flags = chart_flags([each.patch for each in used], len(left_out), photo.path.name)
    return ChartRead(found, used, left_out, flags)


def _patches(photo: Photo, found: ChartFound) -> list[ChartPatch]:
    """Read every patch that lies within the photo."""
    homography = Homography(found.to_photo, found.residual, ())
    side, size = 2.0 * found.half * (1.0 - INSET), (photo.width_px, photo.height_px)
    read = []
    for number, (outline, (x, y)) in enumerate(zip(found.outlines_px(), places(), strict=True)):
        if (outline < 0.0).any() or (outline > size).any():
            continue
        pixels = pixels_of(photo, homography, Place(x - side / 2.0, y - side / 2.0, side, side))
        patch = summarise(pixels, np.ones(len(pixels.xyz)))
        edge = places().max()
        read.append(ChartPatch(number, (float(x / edge), float(y / edge)), outline, patch))
    return read


def _codes(patches: list[ChartPatch]) -> Array:
    """Return lightness channel by channel, (24, 3); what is not there is not a number."""
    codes = np.full((len(places()), 3), np.nan)
    for each in patches:
        codes[each.number] = lightness(np.maximum(100.0 * each.patch.xyz @ XYZ_TO_SRGB.T, 0.0))
    return codes


def _bare(patches: list[ChartPatch], like: Likeness) -> tuple[ChartPatch, ...]:
    """Leave out patches that something covers: the others tell what the camera would see of them.

    A camera that makes colours strong moves a yellow far from any straight line, and is believed.
    """
    plain = [each for each in patches if like.miss[each.number] <= SUSPECT]
    try:
        camera = correction([_known(each) for each in plain])
    except ValueError:
        return tuple(plain)
    lab = camera.lab(np.stack([each.patch.xyz for each in patches]))
    away = delta_e_00(lab, reflectance_to_lab(np.stack([each.reflectance for each in patches])))
    return tuple(
        each
        for each, off in zip(patches, away, strict=True)
        if like.miss[each.number] <= SUSPECT or off <= COVERED_DELTA_E_00
    )


def _known(each: ChartPatch) -> Known:
    high, low = each.patch.clipped_high, each.patch.clipped_low
    clipped = bool((np.maximum(high, low) >= CLIPPED_SHARE).any())
    at_end = (clipped, clipped, clipped)
    return Known("", each.reflectance, xyz=each.patch.xyz, sigma=each.patch.spread, high=at_end)


def _evenly_lit(each: ChartPatch, like: Likeness) -> ChartPatch:
    """Divide out how the light falls off over the chart, as its known colours show it."""
    patch = each.patch
    factor = even_light(patch.xyz, like, each.number)
    even = replace(patch, xyz=patch.xyz / factor, spread=patch.spread / factor, shading=factor)
    return replace(each, patch=even)
