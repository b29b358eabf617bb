"""The whole photo at a bounded size, averaged as light and not as codes.

A strip of rows at a time is turned to linear light and averaged over squares
of whole pixels, so that the full picture never exists as floats.
"""

from __future__ import annotations

import math

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.photo.decoded import Kind, Samples
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Bools, Photo, Working, clipped_samples
from refmatch.photo.transform import ColourTransform

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
    means, clipped = [], []
    for top in range(0, photo.height_px, rows):
        strip = np.ascontiguousarray(photo.samples[top : top + rows : stride, ::stride])
        means.append(_mean_xyz(strip, transform, across))
        clipped.append(_mean_clipped(strip, kind, across))
    return Working(np.concatenate(means), 1.0 / side, np.concatenate(clipped))


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
