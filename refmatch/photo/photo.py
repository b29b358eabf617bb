"""A photo in memory: its own samples, and linear light made only where it is asked for."""

from __future__ import annotations

import math
import weakref
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.photo.decoded import Bools, Kind, Samples
from refmatch.photo.opencv import opencv
from refmatch.photo.transform import ColourTransform

End = Literal["either", "high", "low"]


@dataclass(frozen=True, eq=False)
class Photo:
    """An upright, cropped photo at its file's own depth.

    ``samples`` (rows, columns, channels) is uint8, uint16 or float32 and may be
    a view. Every coordinate is that of the cropped photo, the one the painter
    sees; ``left_px`` and ``top_px`` say where its corner lies in the whole one.
    ``sha256`` is that of the untouched file. ``opaque`` (rows, columns) says where there is
    a photo, None where there is one everywhere: what is transparent is left out of all.
    """

    path: Path
    samples: Samples
    transform: ColourTransform
    bit_depth: int
    sha256: str
    left_px: int = 0
    top_px: int = 0
    flags: tuple[Flag, ...] = ()
    opaque: Bools | None = None

    @property
    def width_px(self) -> int:
        """Width of the cropped photo."""
        return int(self.samples.shape[1])

    @property
    def height_px(self) -> int:
        """Height of the cropped photo."""
        return int(self.samples.shape[0])

    @property
    def profile_name(self) -> str:
        """The colour profile's own name, or "sRGB, assumed"."""
        return self.transform.name

    def linear(self, top: int, left: int, rows: int, columns: int) -> Array:
        """Return a region as XYZ of the ICC D50 white, white Y = 1, linear in light.

        float32, (rows, columns, 3), unbalanced; values outside sRGB are kept.

        Raises:
            ValueError: the region does not lie within the photo.
        """
        return self.transform.xyz(self.region(top, left, rows, columns))

    def clipped(
        self, top: int, left: int, rows: int, columns: int, *, end: End = "either"
    ) -> Bools:
        """Say where the file's own samples have run out: any channel at an end of its scale.

        ``end`` asks for the high end alone (blown out), the low end alone, or
        either. Shape (rows, columns). What is clipped may be any colour beyond.
        """
        clipped = clipped_samples(self.region(top, left, rows, columns), self.transform.kind, end)
        if self.opaque is None:
            return clipped
        return clipped & self.opaque[top : top + rows, left : left + columns]

    def region(self, top: int, left: int, rows: int, columns: int) -> Samples:
        """Return a view of the file's own samples, (rows, columns, channels).

        Raises:
            ValueError: the region does not lie within the photo.
        """
        bottom, right = top + rows, left + columns
        if top < 0 or left < 0 or bottom > self.height_px or right > self.width_px:
            raise ValueError("the region does not lie within the photo")
        return self.samples[top:bottom, left:right]

    def working(self, longest_side_px: int = 1024) -> Working:
        """Return the whole photo in linear light at a bounded size; see `reduce`."""
        return reduce(self, longest_side_px)


@dataclass(frozen=True, eq=False)
class Working:
    """The whole photo, small: each pixel is the mean light of a square of the photo's.

    ``xyz`` float32 (rows, columns, 3), as `Photo.linear`. ``scale`` is working
    pixels per photo pixel, so that ``x_photo = x_working / scale``. ``clipped``
    (rows, columns) marks pixels a tenth or more of which is clipped; ``covered``
    (rows, columns) those in which nothing is transparent.
    """

    xyz: Array
    scale: float
    clipped: Bools
    covered: Bools


def clipped_samples(samples: Samples, kind: str, end: End = "either") -> Bools:
    """Say which pixels have a channel at an end of its scale; shape (rows, columns).

    Floats end at exactly 0 and 1; beyond these they are wide of the gamut, not
    clipped. Inks run out only at bare paper, or with every ink full.
    """
    low, high = ends_of(samples)
    if kind == "cmyk":
        at_low, at_high = (samples == high).all(axis=-1), (samples == low).all(axis=-1)
        return {"either": at_low | at_high, "high": at_high, "low": at_low}[end]
    if end == "either" and samples.dtype == np.uint8 and samples.shape[-1] == 3:
        inside = opencv().inRange(np.ascontiguousarray(samples), (1, 1, 1), (254, 254, 254))
        return np.asarray(inside == 0)
    clipped = np.zeros(samples.shape[:2], np.bool_)
    for i in range(samples.shape[-1]):  # a channel at a time: far quicker than any(axis=-1)
        if end != "high":
            clipped |= samples[..., i] == low
        if end != "low":
            clipped |= samples[..., i] == high
    return clipped


def ends_of(samples: Samples) -> tuple[float, float]:
    """Return the lowest and the highest code of the samples' type."""
    return (0, 1.0) if samples.dtype.kind == "f" else (0, int(np.iinfo(samples.dtype).max))


# The whole photo at a bounded size, averaged as light and not as codes.
#
# A strip of rows at a time is turned to linear light and averaged over squares
# of whole pixels, so that the full picture never exists as floats.

STRIP_SAMPLES = 3_000_000
MOST_SLOW_PIXELS = 6_000_000
CLIPPED_SHARE = 0.1


def reduce(photo: Photo, longest_side_px: int) -> Working:
    """Average squares of pixels until the longer side is at most ``longest_side_px``.

    The square's side is a whole number, so the result's longer side lies
    between half of what is allowed and all of it; a square that hangs over
    the right or lower edge repeats the last pixels. Where the profile is not
    additive, and so fifty times slower, a photo of more than `MOST_SLOW_PIXELS`
    is sampled evenly instead, at least nine pixels of each square.
    """
    transform, kind = photo.transform, photo.transform.kind
    side = max(1, -(-max(photo.width_px, photo.height_px) // longest_side_px))
    stride = 1 if transform.additive else _stride(photo, side)
    across = -(-side // stride)
    side = across * stride
    rows = side * max(1, STRIP_SAMPLES // (3 * photo.width_px * side))
    means, clipped, covered = [], [], []
    for top in range(0, photo.height_px, rows):
        strip = np.ascontiguousarray(photo.samples[top : top + rows : stride, ::stride])
        means.append(_mean_xyz(strip, transform, across))
        clipped.append(_mean_clipped(strip, kind, across))
        if photo.opaque is not None:
            covered.append(_share_opaque(photo.opaque[top : top + rows], side))
    xyz, ends = np.concatenate(means), np.concatenate(clipped)
    share = np.concatenate(covered) if covered else np.ones(ends.shape, np.float32)
    whole = share >= share.max()  # of a photo all holes, at least the squares that have most of it
    return Working(xyz, 1.0 / side, ends & whole, whole)


def _stride(photo: Photo, side: int) -> int:
    wanted = math.ceil(math.sqrt(photo.width_px * photo.height_px / MOST_SLOW_PIXELS))
    return max(1, min(wanted, side // 3))


def _mean_xyz(strip: Samples, transform: ColourTransform, side: int) -> Array:
    """Average in linear device light where channels add up: the matrix can wait."""
    additive = transform.additive
    if additive is None:
        return mean_of_squares(transform.xyz(strip), side)
    return additive.xyz(mean_of_squares(additive.light(strip), side))


def _mean_clipped(strip: Samples, kind: Kind, side: int) -> Bools:
    """Say which squares are clipped in a tenth or more of their pixels."""
    clipped = clipped_samples(strip, kind).view(np.uint8)[:, :, None]
    return mean_of_squares(clipped.astype(np.float32), side)[..., 0] >= CLIPPED_SHARE


def _share_opaque(opaque: Bools, side: int) -> Array:
    """Return how much of each square there is; what is transparent would be mixed into the mean."""
    height, width = opaque.shape
    padded = np.pad(opaque, ((0, -height % side), (0, -width % side)), mode="edge")
    squares = padded.reshape(padded.shape[0] // side, side, padded.shape[1] // side, side)
    return np.asarray(squares.mean(axis=(1, 3), dtype=np.float32))


def mean_of_squares(values: Array, side: int) -> Array:
    """Return the means of squares of ``side`` pixels, float32, channels kept."""
    if side == 1:
        return values
    height, width, channels = values.shape
    below, beside = -height % side, -width % side
    if below or beside:
        values = np.pad(values, ((0, below), (0, beside), (0, 0)), mode="edge")
    size = ((width + beside) // side, (height + below) // side)
    cv2 = opencv()
    mean: Array = cv2.resize(values, size, interpolation=cv2.INTER_AREA)
    return mean.reshape(size[1], size[0], channels)


# The whole photo at the few small sizes at which it is judged and shown.

OVERVIEW_PX = 320
"""Longest side at most: the squint of a painter, who sees masses and not leaves."""

_by_size: weakref.WeakKeyDictionary[Photo, dict[int, Working]] = weakref.WeakKeyDictionary()


def overview(photo: Photo) -> Working:
    """Return the photo at the one small size at which light, masses and values are judged."""
    return reduced(photo, OVERVIEW_PX)


def reduced(photo: Photo, longest_side_px: int) -> Working:
    """Return the photo at a bounded size; a pass over a large photo is made only once a size."""
    sizes = _by_size.setdefault(photo, {})
    if longest_side_px not in sizes:
        sizes[longest_side_px] = photo.working(longest_side_px)
    return sizes[longest_side_px]
