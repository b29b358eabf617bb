"""One colour on the page: the light of its pixels, brush marks and glare left out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import chroma, delta_e_00, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.card import Rectangle, Window
from refmatch.dabs.find import Homography
from refmatch.errors import CardError
from refmatch.flag import Flag
from refmatch.photo.decoded import Bools, Samples
from refmatch.photo.hole import Hole
from refmatch.photo.photo import Photo, ends_of

MOST_PIXELS = 60_000
"""A larger patch is read at every second, third, ... pixel: its mean is known well enough."""

KEPT_WITHIN = 2.5
"""Standard deviations of luminance, as the closest half of the pixels tells them."""

HALF_OF_A_NORMAL = 0.6745
"""Half the width of the closest half of a normal distribution, in standard deviations."""

JPEG_SLACK = 2
"""Codes by which compression moves a clipped one back from the end of the scale."""

LEAST_RELATIVE, LEAST_ABSOLUTE = 0.008, 3e-4
"""The least standard deviation, of luminance: about a code of an 8-bit photo."""


@dataclass(frozen=True, eq=False)
class Patch:
    """The light of one place on the page.

    ``xyz`` (3,) is the mean of the pixels kept, white Y = 1, after the uneven light, ``shading``
    (the mean factor here), was divided out: the camera saw ``xyz * shading``. ``spread`` (3,) is
    the standard deviation of the pixels kept, ``kept`` their share and ``brighter`` the share
    left out for being brighter. ``clipped_high`` and ``clipped_low`` (channels,) tell, of all
    pixels, where the file's own samples have run out; ``pixels`` is their number.
    """

    xyz: Array
    shading: float
    spread: Array
    kept: float
    brighter: float
    clipped_high: Array
    clipped_low: Array
    pixels: int


@dataclass(frozen=True, eq=False)
class PlacePixels:
    """All pixels of a place: XYZ (n, 3), where they lie (n, 2) in mm, samples at their ends."""

    xyz: Array
    at_mm: Array
    high: Bools
    low: Bools


def pixels_of(photo: Photo, homography: Homography, place: Rectangle) -> PlacePixels:
    """Return the pixels whose centres lie within a place of the page.

    Raises:
        CardError: there are none: the place is outside the photo.
    """

    def within(_: Array, at_mm: Array) -> Bools:
        x, y = at_mm[..., 0], at_mm[..., 1]
        across = (place.x_mm <= x) & (x <= place.right_mm)
        return np.asarray(across & (place.y_mm <= y) & (y <= place.bottom_mm))

    outline = homography.outline_px(place)
    pixels = _pixels(photo, homography, (outline.min(axis=0), outline.max(axis=0)), within)
    if pixels is None:
        raise CardError("place_outside", photo=photo.path.name)
    return pixels


def pixels_under(photo: Photo, homography: Homography, hole: Hole) -> PlacePixels:
    """Return the pixels whose centres lie within a hole.

    Raises:
        CardError: there are none: the hole is outside the photo.
    """
    middle, reach = np.array([hole.x_px, hole.y_px]), hole.diameter_px / 2.0

    def within(at_px: Array, _: Array) -> Bools:
        return np.asarray(((at_px - middle) ** 2).sum(axis=-1) <= reach**2)

    pixels = _pixels(photo, homography, (middle - reach, middle + reach), within)
    if pixels is None:
        raise CardError("spot_outside")
    return pixels


def _pixels(
    photo: Photo,
    homography: Homography,
    bounds_px: tuple[Array, Array],
    within: Callable[[Array, Array], Bools],
) -> PlacePixels | None:
    """Return the pixels of a rectangle that lie ``within`` (of their px and mm), or None."""
    left, top = np.maximum(np.floor(bounds_px[0]), 0.0).astype(int).tolist()
    size = (photo.width_px, photo.height_px)
    right, bottom = np.minimum(np.ceil(bounds_px[1]), size).astype(int).tolist()
    if right <= left or bottom <= top:
        return None
    step = max(1, int(np.ceil(np.sqrt((right - left) * (bottom - top) / MOST_PIXELS))))
    rows, columns = np.mgrid[top:bottom:step, left:right:step]
    at_px = np.stack([columns, rows], axis=-1) + 0.5
    at_mm = homography.on_page_mm(at_px)
    inside = within(at_px, at_mm)
    if not inside.any():
        return None
    samples = photo.region(top, left, bottom - top, right - left)[::step, ::step]
    xyz = photo.transform.xyz(np.ascontiguousarray(samples))
    high, low = _at_ends(samples[inside])
    return PlacePixels(xyz[inside].astype(float), at_mm[inside], high, low)


def _at_ends(samples: Samples) -> tuple[Bools, Bools]:
    """Return which samples have run out at the high and at the low end of their scale."""
    low, high = ends_of(samples)
    slack = JPEG_SLACK if samples.dtype == np.uint8 else 0
    return samples >= high - slack, samples <= low + slack


def summarise(pixels: PlacePixels, shading: Array) -> Patch:
    """Average a place's pixels, each divided by the shading (n,) where it lies."""
    xyz = pixels.xyz / shading[:, None]
    keep, limit = _near_the_closest_half(xyz[:, 1])
    return Patch(
        xyz=xyz[keep].mean(axis=0),
        shading=float(shading[keep].mean()),
        spread=xyz[keep].std(axis=0),
        kept=float(keep.mean()),
        brighter=float((xyz[:, 1] > limit).mean()),
        clipped_high=pixels.high.mean(axis=0),
        clipped_low=pixels.low.mean(axis=0),
        pixels=len(xyz),
    )


def _near_the_closest_half(luminance: Array) -> tuple[Bools, float]:
    """Return which pixels to keep, and the luminance above which they are left out.

    The closest half is the shortest interval that holds half of the pixels: neither ridges,
    nor glare, nor a bare rim move it while they are fewer than the rest (Rousseeuw 1984,
    doi:10.1080/01621459.1984.10477105).
    """
    ordered = np.sort(luminance)
    half = len(ordered) // 2
    widths = ordered[half:] - ordered[: len(ordered) - half]
    # Codes are steps, so that many intervals may tie: the middle one is meant.
    shortest = np.flatnonzero(widths <= widths.min() + 1e-12)
    start = int(shortest[len(shortest) // 2])
    middle = float(ordered[start] + ordered[start + half]) / 2.0
    deviation = float(widths[start]) / 2.0 / HALF_OF_A_NORMAL
    least = LEAST_RELATIVE * abs(middle) + LEAST_ABSOLUTE
    reach = KEPT_WITHIN * max(deviation, least)
    return np.abs(luminance - middle) <= reach, middle + reach


# What to beware of in a dab or a grey card that was read.

CLIPPED_SHARE = 0.02
GLARE_SHARE = 0.08
LEAST_KEPT = 0.7
HIDES_DELTA_E_00 = 6.0
BARE_INK = 0.12
EMPTY_DELTA_E_00 = 5.0
UNEVEN_GREY = 0.05
"""Where the flags begin: shares of pixels, of light, dE00; our own choice."""


def dab_flags(window: Window, patch: Patch, over_bar: Patch, paper: Array) -> tuple[Flag, ...]:
    """Return what to beware of in one dab; ``paper`` (3,) is the page's white."""
    name, flags = window.label, []
    if (patch.clipped_high >= CLIPPED_SHARE).any():
        flags.append(Flag("clipped", dab=name))
    if (patch.clipped_low >= CLIPPED_SHARE).any():
        flags.append(Flag("blocked_up", dab=name))
    if patch.brighter >= GLARE_SHARE:
        flags.append(Flag("glare", dab=name, percent=100.0 * patch.brighter))
    if patch.kept < LEAST_KEPT:
        flags.append(Flag("uneven", dab=name, percent=100.0 * (1.0 - patch.kept)))
    return (*flags, *_hiding(name, patch, over_bar, paper))


def _hiding(name: str, patch: Patch, over_bar: Patch, paper: Array) -> tuple[Flag, ...]:
    """Tell a dab that the bar shows through from one that was never drawn out over it."""
    lab, below = xyz_to_lab(patch.xyz, paper), xyz_to_lab(over_bar.xyz, paper)
    if float(delta_e_00(lab, below)) <= HIDES_DELTA_E_00:
        return ()
    bare = bool(over_bar.xyz[1] < BARE_INK * paper[1] and chroma(below) < 10.0)
    return (Flag("hiding_unknown" if bare else "does_not_hide", dab=name),)


def empty_flags(window: Window, patch: Patch, paper: Array) -> tuple[Flag, ...]:
    """Return a flag where a window that is not for a white is as white as the paper."""
    lab = xyz_to_lab(patch.xyz, paper)
    if delta_e_00(lab, np.array([100.0, 0.0, 0.0])) >= EMPTY_DELTA_E_00:
        return ()
    return (Flag("looks_empty", dab=window.label),)


def grey_flags(grey: Patch) -> tuple[Flag, ...]:
    """Return what to beware of in the grey card."""
    relative = float(grey.spread[1] / max(grey.xyz[1], 1e-6))
    flags = []
    if relative > UNEVEN_GREY or grey.kept < LEAST_KEPT:
        flags.append(Flag("grey_uneven"))
    if (grey.clipped_high + grey.clipped_low >= CLIPPED_SHARE).any():
        flags.append(Flag("grey_clipped"))
    return tuple(flags)
