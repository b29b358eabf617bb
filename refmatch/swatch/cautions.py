"""What to beware of in a photo of dabs."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.swatch.dab import Known, PhotoDab
from refmatch.swatch.photographed import Photographed

UNLIKELY = 4.5
"""A camera that is off by so many standard deviations in any way is called unusual."""


def photo_flags(
    observation: Photographed, own: Array, dabs: Sequence[PhotoDab], known: Sequence[Known]
) -> tuple[Flag, ...]:
    """Return what to say of the photos as a whole; ``own`` is what was found of the camera."""
    return (*_clipped_flags(dabs), *_camera_flags(observation, own, known))


def _clipped_flags(dabs: Sequence[PhotoDab]) -> tuple[Flag, ...]:
    clipped = [dab.label for dab in dabs if dab.is_clipped]
    if not clipped:
        return ()
    return (Flag("clipped_dabs", clipped=tuple(clipped), dabs=len(dabs)),)


def _camera_flags(
    observation: Photographed, own: Array, known: Sequence[Known]
) -> tuple[Flag, ...]:
    flags = []
    if {each.photo for each in known} < set(observation.photo.tolist()):
        flags.append(Flag("no_neutral"))
    if np.abs(own[: observation.at_shade]).max() > UNLIKELY:
        flags.append(Flag("unusual_camera"))
    return tuple(flags)
