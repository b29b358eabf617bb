"""The tubes as they lie on the painter's table, seen from the sheet."""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BoxError
from refmatch.paint.box import Box, Tube
from refmatch.paint.kubelka_munk import opaque_reflectance, to_measured
from refmatch.paint.library import pigments
from refmatch.painting.model import TubeOnTable

TINT = 0.1
"""Share of colour in the tint that shows a dark tube's hue: 1 to 9 white."""


def tubes_on_table(box: Box) -> tuple[TubeOnTable, ...]:
    """Return each tube's masstone, its tint in the box's white, and its pigments' cautions.

    In a box without a white the tint is the masstone.
    """
    try:
        white = box.white
    except BoxError:
        white = None
    return tuple(_on_table(tube, white, box) for tube in box.tubes)


def _on_table(tube: Tube, white: Tube | None, box: Box) -> TubeOnTable:
    return TubeOnTable(
        name=tube.name,
        pigments=tube.pigments,
        is_white=tube.is_white,
        masstone=_lab(tube, tube, box),
        tint=_lab(tube, white or tube, box),
        cautions=_cautions(tube),
    )


def _lab(tube: Tube, white: Tube, box: Box) -> Array:
    absorption = TINT * tube.absorption + (1.0 - TINT) * white.absorption
    scattering = TINT * tube.scattering + (1.0 - TINT) * white.scattering
    inner = opaque_reflectance(absorption / scattering)
    return np.asarray(reflectance_to_lab(to_measured(inner, box.surface)))


def _cautions(tube: Tube) -> tuple[str, ...]:
    known = (pigments().get(key) for key in tube.keys)
    found = [caution for pigment in known if pigment for caution in pigment.cautions]
    return tuple(dict.fromkeys(found))
