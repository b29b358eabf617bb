"""What is read of a photo: dabs of known tubes, and surfaces whose colour is known."""

from __future__ import annotations

from dataclasses import dataclass

from refmatch.colorimetry.spectrum import Array

Channels = tuple[bool, bool, bool]
NONE_CLIPPED: Channels = (False, False, False)


@dataclass(frozen=True, eq=False)
class PhotoDab:
    """Parts of tubes that were mixed, painted and photographed.

    ``tubes`` are numbers in the row of tubes that is calibrated. ``xyz`` (3,) is the dab's mean
    as the photo decodes it: linear, D50, white at Y = 1. ``sigma`` (3,) is its standard error in
    the same, how uneven the dab is. ``high`` and ``low`` say which of red, green and blue
    lie at the end of the file's scale: there the mean is a bound. ``hand`` is the relative error
    of each part. ``photo`` numbers the photo it is in, from 0, where there are several.
    """

    label: str
    tubes: tuple[int, ...]
    parts: tuple[float, ...]
    xyz: Array
    sigma: Array
    high: Channels = NONE_CLIPPED
    low: Channels = NONE_CLIPPED
    hand: float = 0.05
    photo: int = 0


@dataclass(frozen=True, eq=False)
class Known:
    """A surface of known ``reflectance`` (31,) in the photo: a grey card, a patch of a chart."""

    label: str
    reflectance: Array
    xyz: Array
    sigma: Array
    high: Channels = NONE_CLIPPED
    low: Channels = NONE_CLIPPED
    photo: int = 0
