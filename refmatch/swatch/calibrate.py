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
from refmatch.paint.box import BLACKS, Box
from refmatch.paint.characterise.belief import Spread
from refmatch.paint.characterise.fit import Fitted, Task
from refmatch.paint.characterise.learnt import Learnt, Named
from refmatch.paint.characterise.swatch import Swatch
from refmatch.paint.characterise.tubes import beliefs_of, check
from refmatch.swatch.camera import Camera
from refmatch.swatch.cautions import photo_flags
from refmatch.swatch.chart import as_known
from refmatch.swatch.dab import Known, PhotoDab, Spot
from refmatch.swatch.generic import generic_camera
from refmatch.swatch.lamp import Light
from refmatch.swatch.photographed import Photographed

VEIL = 0.003
"""Standard error of stray light over a dab, as reflectance: brush marks, shine (own choice)."""

BLACK_SLIP = 0.4
"""Relative error of the parts of black with a colour, besides the hand's: black is stronger there
than in white, which the paint model does not know and must not be laid to the camera."""

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
    swatches = [_swatch(dab, tubes) for dab in dabs]
    check(tubes, swatches)
    known = [*neutrals, *as_known(chart)]
    beliefs = beliefs_of(tubes, reference_white, TUBES)
    observation = Photographed(dabs, known, generic_camera(light))
    fitted, observation = _fit(Task(beliefs, tuple(swatches)), observation)
    found, seen = _colours(fitted, observation)
    misses = tuple(float(each) for each in delta_e_00(found, seen))
    reflectance = fitted.root**3
    shown = [
        replace(each, reflectance=row) for each, row in zip(swatches, reflectance, strict=True)
    ]
    learnt = Learnt(tuple(tubes), reference_white, beliefs, tuple(shown), fitted, misses)
    return Calibrated(
        box=learnt.box(name, parts, "photographed"),
        cameras=observation.cameras(fitted.own),
        misses=misses,
        found=found,
        seen=seen,
        flags=(*learnt.flags(), *photo_flags(observation, fitted.own, dabs, known)),
    )


def _swatch(dab: PhotoDab, tubes: Sequence[Named]) -> Swatch:
    """Return a dab as a swatch; of a black in colours the parts tell less than the hand would."""
    mixed = [tubes[tube] for tube in dab.tubes]
    colours = [each for each in mixed if not each.is_white and not BLACKS & set(each.keys)]
    black = any(BLACKS & set(each.keys) for each in mixed)
    hand = float(np.hypot(dab.hand, BLACK_SLIP)) if black and colours else dab.hand
    return Swatch(dab.label, dab.tubes, dab.parts, np.full(BANDS, 0.5), hand=hand)


def _fit(task: Task, observation: Photographed) -> tuple[Fitted, Photographed]:
    """Fit; where the light was uneven, look again as the tone curve found shows it, and refit."""
    fitted = replace(task, observation=observation, veil=VEIL).solve()
    if np.all(observation.lit == 1.0):
        return fitted, observation
    again = observation.lit_by(_lit(observation.cameras(fitted.own), observation.spots))
    return replace(task, observation=again, veil=VEIL).solve(), again


def _lit(cameras: Sequence[Camera], spots: Sequence[Spot]) -> Array:
    """Return how much light is on each spot, by how the tone curve shows it on paper."""
    return np.array(
        [
            float(cameras[each.photo].lit(np.array(each.shading), np.array(each.paper)))
            for each in spots
        ]
    )


def _colours(fitted: Fitted, observation: Photographed) -> tuple[Array, Array]:
    """Return the Lab that the dabs are found to have, and what the camera saw, (n, 3) each."""
    lab = reflectance_to_lab(fitted.root**3)
    off = observation.off(fitted.root, fitted.own) @ SRGB_TO_XYZ.T
    return lab, xyz_to_lab(np.maximum(lab_to_xyz(lab, ICC_WHITE) + off, 0.0), ICC_WHITE)
