"""Value studies: the picture in two, three, five or seven values, and seen through a squint.

Values come first: if the lights and darks are right, much else may be wrong. Two
values part light from shadow; more are the steps of a grey study. The thresholds are
the picture's own, those of Otsu's method, which makes each level as even as it can be;
so a picture in a high key is parted among its lights. All of it is in Munsell value,
0 black to 10 white.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.hues import luminance_from_value, value_from_luminance
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
from refmatch.flag import Flag
from refmatch.photo.light.balance import Balance
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Photo, Working, overview

LEVELS = (2, 3, 5, 7)

STEPS = 256
"""Values are counted in steps of 10/256, finer than any eye."""

DETAIL = 0.012
"""Shapes narrower than half this part of the shorter side are left out of a study."""

SQUINT = 0.02
"""Standard deviation of the squint's blur as a part of the shorter side."""

Bytes = npt.NDArray[np.uint8]


@dataclass(frozen=True, eq=False)
class ValueStudy:
    """A picture in a few values.

    ``image`` (rows, columns) holds each pixel's level, 0 the darkest. ``values`` are
    the levels' Munsell values, of the mean light of each; ``thresholds`` the values
    between them, one fewer; ``shares`` their parts of the picture, 0 to 1.
    """

    image: Bytes
    values: tuple[float, ...]
    thresholds: tuple[float, ...]
    shares: tuple[float, ...]
    flags: tuple[Flag, ...] = ()


@dataclass(frozen=True, eq=False)
class Squint:
    """A picture through half-closed eyes: blurred light, and its Munsell values.

    ``xyz`` (rows, columns, 3) is balanced, white Y = 1; ``value`` (rows, columns).
    """

    xyz: Array
    value: Array


def study(picture: Photo | Working, balance: Balance, levels: int = 2) -> ValueStudy:
    """Return the picture in 2, 3, 5 or 7 values.

    A photo is studied at overview size; for a larger image pass `Photo.working`.
    A picture with fewer different values than levels gets as many as it has, and a flag.

    Raises:
        UsageError: another number of levels.
    """
    if levels not in LEVELS:
        raise UsageError("unknown_value_levels", levels=levels)
    working = overview(picture) if isinstance(picture, Photo) else picture
    luminance, covered = _balanced(working, balance)[..., 1], working.covered
    steps = _simplified(_steps_of(luminance))
    counts = np.bincount(steps[covered], minlength=STEPS).astype(float)
    starts = best_starts(counts, min(levels, int(np.count_nonzero(counts))))
    image = np.searchsorted(starts[1:], steps, side="right").astype(np.uint8)
    level, light = image[covered], np.clip(luminance[covered], 0.0, 1.0)
    area = np.bincount(level, minlength=len(starts))
    light = np.bincount(level, light, len(starts)) / area
    return ValueStudy(
        image=image,
        values=tuple(value_from_luminance(100.0 * light).tolist()),
        thresholds=_thresholds(counts, starts),
        shares=tuple((area / area.sum()).tolist()),
        flags=_few_values(levels, len(starts)),
    )


def squint(picture: Photo | Working, balance: Balance) -> Squint:
    """Return the picture blurred as light is blurred by the lashes: bright spots spread."""
    xyz = _balanced(picture, balance)
    blur_px = SQUINT * min(xyz.shape[:2])
    blurred = opencv().GaussianBlur(xyz, (0, 0), blur_px, borderType=opencv().BORDER_REPLICATE)
    return Squint(blurred, value_from_luminance(100.0 * blurred[..., 1]))


def best_starts(counts: Array, levels: int) -> npt.NDArray[np.intp]:
    """Return the first step of each level, so that levels are as even as can be.

    ``counts`` (steps,) is the histogram; ``levels`` at most its occupied steps. The
    sum of squares within levels is the least there is, found by dynamic
    programming. For two levels this is the threshold of Otsu 1979, IEEE Trans.
    SMC 9, 62-66, doi:10.1109/TSMC.1979.4310076; for more, his section IV, solved
    as by Fisher 1958, J. American Statistical Association 53, 789-798,
    doi:10.1080/01621459.1958.10501479.
    """
    occupied = np.flatnonzero(counts)
    within = _squares_within(occupied.astype(float), counts[occupied])
    count = len(occupied)
    least = within[0]  # least[j]: best sum for steps 0 .. j in the levels so far
    came_from = []
    for _ in range(1, levels):
        # split[i, j]: the last level is i .. j
        split = np.r_[np.inf, least[:-1]][:, None] + within
        came_from.append(np.argmin(split, axis=0))
        least = np.min(split, axis=0)
    last, starts = count - 1, []
    for choice in reversed(came_from):
        starts.append(int(choice[last]))
        last = starts[-1] - 1
    return occupied[[0, *reversed(starts)]]


def _squares_within(steps: Array, counts: Array) -> Array:
    """Return the sum of squares about the mean of steps i .. j, at [i, j]; infinite for j < i."""
    zeroth, first, second = (np.r_[0.0, np.cumsum(counts * steps**power)] for power in (0, 1, 2))
    n, s, q = (total[None, 1:] - total[:-1, None] for total in (zeroth, first, second))
    with np.errstate(divide="ignore", invalid="ignore"):
        squares = np.maximum(q - s**2 / n, 0.0)
    squares[np.tril_indices(len(steps), -1)] = np.inf
    return np.asarray(squares)


def _balanced(picture: Photo | Working, balance: Balance) -> Array:
    working = overview(picture) if isinstance(picture, Photo) else picture
    matrix = balance.matrix.astype(np.float32)
    return np.asarray(np.einsum("...j,ij->...i", working.xyz, matrix))


def _steps_of(luminance: Array) -> Bytes:
    """Return Munsell value in steps, without inverting the standard's quintic per pixel."""
    edges = luminance_from_value(np.linspace(0.0, 10.0, STEPS + 1)[1:-1]) / 100.0
    return np.searchsorted(edges, luminance, side="right").astype(np.uint8)


def _simplified(steps: Bytes) -> Bytes:
    """Leave out small shapes but keep borders where they are: a median, not a blur."""
    width = 2 * round(DETAIL * min(steps.shape) / 2.0) + 1
    return np.asarray(opencv().medianBlur(steps, width), dtype=np.uint8)


def _thresholds(counts: Array, starts: npt.NDArray[np.intp]) -> tuple[float, ...]:
    """Return the Munsell values midway between the levels' neighbouring occupied steps."""
    occupied = np.flatnonzero(counts)
    before = occupied[np.searchsorted(occupied, starts[1:]) - 1]
    return tuple(((before + 1 + starts[1:]) / 2.0 * 10.0 / STEPS).tolist())


def _few_values(asked: int, values: int) -> tuple[Flag, ...]:
    if values == asked:
        return ()
    return (Flag("few_values", values=values),)
