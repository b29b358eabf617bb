"""From a photo of dabs to a box: the camera and the paints are found together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.camera import Camera, Light, generic_camera
from refmatch.dabs.explain import Photographed, explain
from refmatch.dabs.measured import as_known
from refmatch.dabs.own_camera import own_camera
from refmatch.dabs.spot import Known, PhotoDab
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.fit.belief import Spread
from refmatch.paint.fit.tubes import Learnt, Named, beliefs_of, check

UNLIKELY = 4.5
"""A camera that is off by so many standard deviations in any way is called unusual."""


def photo_flags(
    observation: Photographed, own: Array, dabs: Sequence[PhotoDab], known: Sequence[Known]
) -> tuple[Flag, ...]:
    """Return what to say of the photos as a whole; ``own`` is what was found of the camera."""
    return (*_clipped_flags(dabs), *_camera_flags(observation, own, known))


def _clipped_flags(dabs: Sequence[PhotoDab]) -> tuple[Flag, ...]:
    clipped = [dab.label for dab in dabs if dab.spot.is_clipped]
    if not clipped:
        return ()
    return (Flag("clipped_dabs", clipped=tuple(clipped), dabs=len(dabs)),)


def _camera_flags(
    observation: Photographed, own: Array, known: Sequence[Known]
) -> tuple[Flag, ...]:
    flags = []
    if {surface.spot.photo for surface in known} < set(observation.photo.tolist()):
        flags.append(Flag("no_neutral"))
    if np.abs(own[: observation.at_shade]).max() > UNLIKELY:
        flags.append(Flag("unusual_camera"))
    return tuple(flags)


TUBES = Spread(bend=0.2, detail=0.05)
"""What tubes of one pigment differ by where no spectrum speaks: fewer bends than could be seen."""


@dataclass(frozen=True, eq=False)
class Calibrated:
    """A box of photographed tubes, and the camera they were seen by, photo by photo.

    ``misses`` are the dE00 between each dab as found and as the camera saw it, in order;
    ``found`` (n, 3) is the Lab that each is found to have, ``seen`` (n, 3) the Lab that the
    camera, known by now, saw.
    """

    box: Box
    cameras: tuple[Camera, ...]
    misses: tuple[float, ...]
    found: Array
    seen: Array
    flags: tuple[Flag, ...] = ()


def calibrate(
    tubes: Sequence[Named],
    reference_white: str,
    dabs: Sequence[PhotoDab],
    neutrals: Sequence[Known] = (),
    *,
    light: Light | None = None,
    chart: Sequence[Known] = (),
    name: str = "photographed",
    parts: str = "volume",
) -> Calibrated:
    """Return the box, and the camera, that explain a photo of dabs best.

    Args:
        tubes: in the order in which dabs number them.
        reference_white: the name of the white whose S is 1 in every band.
        dabs: masstones and mixtures, as one photo or a few by one camera in one light show
            them; white's and black's among them.
        neutrals: surfaces of known grey in the same photos: a grey card.
        light: its name or kelvins, where it is known.
        chart: patches of known reflectance (`chart_patches`) in the same photos.
        name: of the box.
        parts: "volume" or "mass": what the dabs' parts were counted by.

    Raises:
        BoxError: no dab, or a tube without any. UsageError: no such light.
    """
    check(tubes, [dab.tubes for dab in dabs])
    known = [*neutrals, *as_known(chart)]
    beliefs = beliefs_of(tubes, reference_white, TUBES)
    seen = explain(tubes, beliefs, dabs, known, camera=generic_camera(light))
    learnt = Learnt(tuple(tubes), reference_white, beliefs, seen.swatches, seen.fitted, seen.misses)
    return Calibrated(
        box=replace(learnt.box(name, parts, "photographed"), camera=own_camera(seen)),
        cameras=seen.observation.cameras(seen.fitted.own),
        misses=seen.misses,
        found=seen.found,
        seen=seen.seen,
        flags=(*learnt.flags(), *photo_flags(seen.observation, seen.fitted.own, dabs, known)),
    )
