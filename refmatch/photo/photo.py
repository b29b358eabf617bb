"""A photo in memory: its own samples, and linear light made only where it is asked for."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.photo.decoded import Samples
from refmatch.photo.opencv import opencv
from refmatch.photo.transform import ColourTransform

Bools = npt.NDArray[np.bool_]
End = Literal["either", "high", "low"]


@dataclass(frozen=True, eq=False)
class Photo:
    """An upright, cropped photo at its file's own depth.

    ``samples`` (rows, columns, channels) is uint8, uint16 or float32 and may be
    a view. Every coordinate is that of the cropped photo, the one the painter
    sees; ``left_px`` and ``top_px`` say where its corner lies in the whole one.
    ``sha256`` is that of the untouched file.
    """

    path: Path
    samples: Samples
    transform: ColourTransform
    bit_depth: int
    sha256: str
    left_px: int = 0
    top_px: int = 0
    flags: tuple[Flag, ...] = ()

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
        return clipped_samples(self.region(top, left, rows, columns), self.transform.kind, end)

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
        """Return the whole photo in linear light at a bounded size; see `working.reduce`."""
        from refmatch.photo.working import reduce

        return reduce(self, longest_side_px)


@dataclass(frozen=True, eq=False)
class Working:
    """The whole photo, small: each pixel is the mean light of a square of the photo's.

    ``xyz`` float32 (rows, columns, 3), as `Photo.linear`. ``scale`` is working
    pixels per photo pixel, so that ``x_photo = x_working / scale``. ``clipped``
    (rows, columns) marks pixels a tenth or more of which is clipped.
    """

    xyz: Array
    scale: float
    clipped: Bools


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
    found = np.zeros(samples.shape[:2], np.bool_)
    for i in range(samples.shape[-1]):  # a channel at a time: far quicker than any(axis=-1)
        if end != "high":
            found |= samples[..., i] == low
        if end != "low":
            found |= samples[..., i] == high
    return found


def ends_of(samples: Samples) -> tuple[float, float]:
    """Return the lowest and the highest code of the samples' type."""
    return (0, 1.0) if samples.dtype.kind == "f" else (0, int(np.iinfo(samples.dtype).max))
