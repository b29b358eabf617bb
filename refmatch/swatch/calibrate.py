"""From a photo of dabs to a box: the camera and the paints are found together.

The dabs of known pigment are a noisy chart: what all of them say of the camera, the camera
gives back to each of the paints.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.display import SRGB_TO_XYZ
from refmatch.colorimetry.lab import delta_e_00, lab_to_xyz, reflectance_to_lab, xyz_to_lab
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.characterise.belief import Spread
from refmatch.paint.characterise.fit import Fitted, Task
from refmatch.paint.characterise.learnt import Learnt, Named
from refmatch.paint.characterise.swatch import Swatch
from refmatch.paint.characterise.tubes import beliefs_of, check
from refmatch.swatch.camera import Camera
from refmatch.swatch.dab import Known, PhotoDab, Spot
from refmatch.swatch.generic import generic_camera
from refmatch.swatch.lamp import Light
from refmatch.swatch.photographed import Photographed

VEIL = 0.003
"""Standard error of stray light over a dab, as reflectance: brush marks, shine (own choice)."""

TUBES = Spread(bend=0.2, detail=0.05)
"""What tubes of one pigment differ by where no spectrum speaks: fewer bends than could be seen."""

UNLIKELY = 4.5
"""A camera that is off by so many standard deviations in any way is called unusual."""


@dataclass(frozen=True, eq=False)
class Calibrated:
    """A box of photographed tubes, and the camera they were seen by, photo by photo.

    ``misses`` are the dE00 between each dab as found and as the camera saw it, in order;
    ``found`` (n, 3) is the Lab that each is found to have.
    """

    box: Box
    cameras: tuple[Camera, ...]
    misses: tuple[float, ...]
    found: Array
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
    swatches = [_swatch(dab) for dab in dabs]
    check(tubes, swatches)
    beliefs = beliefs_of(tubes, reference_white, TUBES)
    observation = Photographed(dabs, [*neutrals, *chart], generic_camera(light))
    fitted = Task(beliefs, tuple(swatches), observation=observation, veil=VEIL).solve()
    if any(dab.shading != 1.0 for dab in dabs):
        cameras = observation.cameras(fitted.own)
        lit = _lit(cameras, [*dabs, *neutrals, *chart])
        observation = Photographed(dabs, [*neutrals, *chart], observation.generic, lit)
        fitted = Task(beliefs, tuple(swatches), observation=observation, veil=VEIL).solve()
    misses = _misses(fitted, observation)
    shown = tuple(
        replace(swatch, reflectance=row)
        for swatch, row in zip(swatches, fitted.root**3, strict=True)
    )
    learnt = Learnt(tuple(tubes), reference_white, beliefs, shown, fitted, misses)
    return Calibrated(
        box=learnt.box(name, parts, "photographed"),
        cameras=observation.cameras(fitted.own),
        misses=misses,
        found=reflectance_to_lab(fitted.root**3),
        flags=(
            *learnt.flags(),
            *_clipped_flags(dabs),
            *_camera_flags(observation, fitted.own, [*neutrals, *chart]),
        ),
    )


def _swatch(dab: PhotoDab) -> Swatch:
    return Swatch(dab.label, dab.tubes, dab.parts, np.full(BANDS, 0.5), hand=dab.hand)


def _lit(cameras: Sequence[Camera], spots: Sequence[Spot]) -> Array:
    """Return how much light is on each spot, by how the tone curve shows it on paper."""
    return np.array(
        [
            float(cameras[each.photo].lit(np.array(each.shading), np.array(each.paper)))
            for each in spots
        ]
    )


def _misses(fitted: Fitted, observation: Photographed) -> tuple[float, ...]:
    """Return the dE00 between what the paints are found to be and what the camera saw."""
    lab = reflectance_to_lab(fitted.root**3)
    off = observation.off(fitted.root, fitted.own) @ SRGB_TO_XYZ.T
    seen = xyz_to_lab(np.maximum(lab_to_xyz(lab, ICC_WHITE) + off, 0.0), ICC_WHITE)
    return tuple(float(each) for each in delta_e_00(lab, seen))


def _clipped_flags(dabs: Sequence[PhotoDab]) -> tuple[Flag, ...]:
    clipped = [dab.label for dab in dabs if dab.is_clipped]
    if not clipped:
        return ()
    named = ", ".join(f"'{label}'" for label in clipped[:3]) + (", ..." if clipped[3:] else "")
    return (
        Flag(
            "clipped_dabs",
            f"{len(clipped)} of {len(dabs)} dabs are at an end of the photo's scale ({named}); "
            "there it tells only a bound.",
        ),
    )


def _camera_flags(
    observation: Photographed, own: Array, known: Sequence[Known]
) -> tuple[Flag, ...]:
    flags = []
    if {each.photo for each in known} < set(observation.photo.tolist()):
        flags.append(
            Flag(
                "no_neutral",
                "Nothing of a known grey is in the photo, so how light the paints are rests on "
                "the dabs alone; lay a grey card beside them.",
            )
        )
    if np.abs(own[: observation.at_shade]).max() > UNLIKELY:
        flags.append(
            Flag(
                "unusual_camera",
                "The camera or the light is very unlike what is usual; a filter, a night or "
                "portrait mode, or mixed light may be on. Photograph again by daylight.",
            )
        )
    return tuple(flags)
