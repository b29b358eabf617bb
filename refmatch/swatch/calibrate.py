"""From a photo of dabs to a box: camera and paints found together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.display import SRGB_TO_XYZ
from refmatch.colorimetry.lab import delta_e_00, lab_to_xyz, reflectance_to_lab, xyz_to_lab
from refmatch.colorimetry.spectrum import BANDS
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.characterise.belief import Spread
from refmatch.paint.characterise.fit import Fitted, Task
from refmatch.paint.characterise.swatch import Swatch
from refmatch.paint.characterise.tubes import Learnt, Named, beliefs_of, check
from refmatch.swatch.camera import Camera, Photographed
from refmatch.swatch.dab import Known, PhotoDab
from refmatch.swatch.generic import generic_camera

VEIL = 0.003
"""Standard error of stray light over a dab, as reflectance: brush marks, shine (own choice)."""

TUBES = Spread(bend=0.2, detail=0.05)
"""What tubes of one pigment differ by where no spectrum speaks: fewer bends than could be seen."""


@dataclass(frozen=True, eq=False)
class Calibrated:
    """A box of photographed tubes, the camera it was seen by, and ``misses`` (dE00) by dab."""

    box: Box
    camera: Camera
    misses: tuple[float, ...]
    flags: tuple[Flag, ...] = ()
    fitted: Fitted | None = None


def calibrate(
    tubes: Sequence[Named],
    reference_white: str,
    dabs: Sequence[PhotoDab],
    neutrals: Sequence[Known] = (),
    light: str | float | None = None,
    chart: Sequence[Known] = (),
    name: str = "photographed",
    parts: str = "volume",
) -> Calibrated:
    swatches = [swatch_of(dab) for dab in dabs]
    check(tubes, swatches)
    beliefs = beliefs_of(tubes, reference_white, TUBES)
    observation = Photographed(dabs, [*neutrals, *chart], generic_camera(light))
    fitted = Task(
        beliefs, tuple(swatches), observation=observation, veil=VEIL
    ).solve()
    camera = observation.camera(fitted.own)
    misses = _misses(fitted, observation)
    learnt = Learnt(tuple(tubes), reference_white, beliefs, tuple(swatches), fitted, misses)
    box = learnt.box(name, parts, "photographed")
    return Calibrated(box, camera, misses, learnt.flags(), fitted)


def swatch_of(dab: PhotoDab) -> Swatch:
    return Swatch(dab.label, dab.tubes, dab.parts, np.full(BANDS, 0.5), hand=dab.hand)


def _misses(fitted: Fitted, observation: Photographed) -> tuple[float, ...]:
    """Return the dE00 between what the paints are found to be and what the camera saw."""
    lab = reflectance_to_lab(fitted.root**3)
    off = observation.off(fitted.root, fitted.own) @ SRGB_TO_XYZ.T
    seen = xyz_to_lab(np.maximum(lab_to_xyz(lab, ICC_WHITE) + off, 0.0), ICC_WHITE)
    return tuple(float(each) for each in delta_e_00(lab, seen))
