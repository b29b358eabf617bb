"""A pile as it is believed to be once it was seen: what is in it, and what its tubes turned out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.paint.box import Box
from refmatch.paint.kubelka_munk import k_over_s, to_inner
from refmatch.recipe.mixture import film
from refmatch.swatch.bend import bent_to
from refmatch.swatch.fused import Estimated
from refmatch.swatch.pile import Pile

ROUNDS = 4
"""The skin makes reflectance and K/S bend a little otherwise; so often that is made up for."""


def box_as_found(box: Box, found: Estimated) -> Box:
    """Return the box with its tubes as an estimate has them: what the next puddle is mixed from."""
    factors = np.exp(found.tubes)
    tubes = tuple(
        replace(
            tube,
            absorption=tube.absorption * factor[:BANDS],
            scattering=tube.scattering * factor[BANDS:],
        )
        for tube, factor in zip(box.tubes, factors, strict=True)
    )
    return replace(box, tubes=tubes)


def believed(box: Box, parts: Array, found: Estimated, number: int) -> Pile:
    """Return the pile of ``parts`` (tubes,) that has the colour found of dab ``number``.

    Its tubes are as found; what that leaves of the colour is a bend of its K.
    """
    tubes = box_as_found(box, found).tubes
    share = parts / parts.sum()
    absorption = share @ np.stack([tube.absorption for tube in tubes])
    scattering = share @ np.stack([tube.scattering for tube in tubes])
    for _ in range(ROUNDS):
        now = film(absorption, scattering, box.surface)
        wanted = bent_to(now, found.lab[number])
        absorption = absorption * _ratio(wanted, box) / _ratio(now, box)
    return Pile(absorption, scattering, float(parts.sum()), box.surface)


def _ratio(reflectance: Array, box: Box) -> Array:
    return k_over_s(np.clip(to_inner(reflectance, box.surface), 1e-4, 0.9999))
