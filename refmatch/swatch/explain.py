"""The camera and the paints that explain photos of dabs, found together.

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
from refmatch.paint.box import BLACKS
from refmatch.paint.characterise.belief import Belief
from refmatch.paint.characterise.fit import Fitted, Task
from refmatch.paint.characterise.learnt import Named
from refmatch.paint.characterise.swatch import Swatch
from refmatch.paint.kubelka_munk import GLOSS, Surface
from refmatch.swatch.camera import Camera, Generic, generic_camera
from refmatch.swatch.dab import Known, PhotoDab, Spot
from refmatch.swatch.finish import STATES
from refmatch.swatch.photographed import Photographed

VEIL = 0.003
"""Standard error of stray light over a dab, as reflectance: brush marks, shine (own choice)."""

BLACK_SLIP = 0.4
"""Relative error of the parts of black with a colour, besides the hand's: black is stronger there
than in white, which the paint model does not know and must not be laid to the camera."""


@dataclass(frozen=True, eq=False)
class Explained:
    """The fit, and beside it each dab: as found by the paints, and as the camera saw it.

    ``found`` and ``seen`` (n, 3) are Lab, ``misses`` the dE00 between them.
    """

    fitted: Fitted
    observation: Photographed
    swatches: tuple[Swatch, ...]
    found: Array
    seen: Array

    @property
    def misses(self) -> tuple[float, ...]:
        """How far each dab is missed, in dE00."""
        return tuple(float(each) for each in delta_e_00(self.found, self.seen))


def explain(
    tubes: Sequence[Named],
    beliefs: Sequence[Belief],
    dabs: Sequence[PhotoDab],
    known: Sequence[Known],
    *,
    camera: Generic | None = None,
    surface: Surface = GLOSS,
) -> Explained:
    """Return the most probable camera and curves, given what is believed of each.

    ``dabs`` number the tubes as they stand in ``tubes`` and ``beliefs``. Of a ``camera`` that is
    not told nothing is known, nor of the light.
    """
    swatches = [_swatch(dab, tubes) for dab in dabs]
    task = Task(tuple(beliefs), tuple(swatches), surface)
    believed = generic_camera() if camera is None else camera
    fitted, observation = _fit(task, Photographed(dabs, known, believed))
    found, seen = _colours(fitted, observation)
    shown = (
        replace(each, reflectance=row**3) for each, row in zip(swatches, fitted.root, strict=True)
    )
    return Explained(fitted, observation, tuple(shown), found, seen)


def _swatch(dab: PhotoDab, tubes: Sequence[Named]) -> Swatch:
    """Return a dab as a swatch; of a black in colours the parts tell less than the hand would."""
    mixed = [tubes[tube] for tube in dab.tubes]
    colours = [each for each in mixed if not each.is_white and not BLACKS & set(each.keys)]
    black = any(BLACKS & set(each.keys) for each in mixed)
    hand = float(np.hypot(dab.hand, BLACK_SLIP)) if black and colours else dab.hand
    f = STATES[dab.state].f
    return Swatch(dab.label, dab.tubes, dab.parts, np.full(BANDS, 0.5), f=f, hand=hand)


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
