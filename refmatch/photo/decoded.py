"""What every file format is turned into before colour is thought of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from refmatch.flag import Flag

Samples = npt.NDArray[Any]
"""(rows, columns, channels), uint8, uint16 or float32, as the file holds them."""

Kind = Literal["grey", "rgb", "cmyk"]
CHANNELS: dict[Kind, int] = {"grey": 1, "rgb": 3, "cmyk": 4}


@dataclass(frozen=True, eq=False)
class Decoded:
    """A file's samples and what the file says about them.

    ``samples`` may carry alpha as one channel more than its ``kind`` has.
    ``icc`` is the embedded profile; ``stated_space`` names a colour space the
    file states in another way (Exif, a PNG chunk, HEIF code points).
    ``orientation`` is Exif's 1 to 8.
    """

    samples: Samples
    kind: Kind
    bit_depth: int
    icc: bytes | None = None
    stated_space: str | None = None
    orientation: int = 1
    flags: tuple[Flag, ...] = ()


def by_channels(samples: Samples) -> tuple[Samples, Kind]:
    """Give grey samples their channel axis and tell grey from RGB, alpha or not."""
    if samples.ndim == 2:
        samples = samples[:, :, None]
    return samples, "grey" if samples.shape[2] <= 2 else "rgb"


def orient(samples: Samples, orientation: int) -> Samples:
    """Turn the samples upright by Exif's orientation 1 to 8 (CIPA DC-008, 4.6.4); a view."""
    if orientation in (5, 6, 7, 8):
        samples = samples.swapaxes(0, 1)
    if orientation in (3, 4, 7, 8):
        samples = samples[::-1]
    if orientation in (2, 3, 6, 7):
        samples = samples[:, ::-1]
    return samples


def flatten_alpha(samples: Samples) -> tuple[Samples, bool]:
    """Lay a photo with alpha over white paper; say whether anything shone through.

    Blended in the file's own encoding, as picture viewers do, a strip at a time.
    """
    colour, alpha = samples[..., :-1], samples[..., -1]
    top = 1.0 if samples.dtype.kind == "f" else float(np.iinfo(samples.dtype).max)
    if np.all(alpha == samples.dtype.type(top)):
        return colour, False
    flat = np.empty(colour.shape, samples.dtype)
    for first in range(0, len(samples), 256):
        rows = slice(first, first + 256)
        share = alpha[rows, :, None].astype(np.float32) / top
        blend = colour[rows] * share + top * (1.0 - share)
        flat[rows] = blend if samples.dtype.kind == "f" else np.rint(blend)
    return flat, True
