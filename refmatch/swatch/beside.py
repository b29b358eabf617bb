"""What can lie beside a dab, as surfaces of known colour: a grey, a chart, paint, a reference.

Each is only as sure as it is: white and black paint as the box knows them, a reference as its
Lab was measured, and where it is made of other pigments as far as another spectrum of the same
Lab may look other to the camera.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.paint.box import Box
from refmatch.swatch.bend import bent_to
from refmatch.swatch.chart import PATCH_DOUBT_LSTAR, chart_patches
from refmatch.swatch.dab import Known, Spot
from refmatch.swatch.finish import as_seen, doubt_of
from refmatch.swatch.predicted import predict_piles

SAME_PIGMENTS, OTHER_PIGMENTS, UNKNOWN_PIGMENTS = 0.3, 0.6, 1.5
"""Standard error of a reference, in L* of each channel: its Lab is known, but how a camera that is
not the eye sees it only as well as its spectrum is (chosen in the virtual studio)."""


def grey_card(lab: Array, spot: Spot) -> Known:
    """Return a card that is grey in every band and as light as a Lab (3,)."""
    y = float(lab_to_xyz(lab, ICC_WHITE)[1] / ICC_WHITE[1])
    return _known("grey card", np.full(BANDS, y), spot)


def patch(number: int, at: tuple[float, float], spot: Spot) -> Known:
    """Return a patch of a 24-patch chart, counted from 1, and where it lies on the chart."""
    found = _known(f"chart, patch {number}", chart_patches()[number - 1], spot)
    return replace(found, doubt_lstar=PATCH_DOUBT_LSTAR, on_chart=at)


def paint(box: Box, parts: Array, spot: Spot, state: str) -> Known:
    """Return paint of known parts (tubes,), as far as the box and the shine let it be known."""
    predicted = predict_piles(box, parts[None])
    shine = doubt_of(predicted.reflectance[0], state, box.surface)
    doubt = float(np.sqrt((np.trace(predicted.covariance) + shine @ shine) / 3.0))
    return _known("paint", as_seen(predicted.reflectance[0], state, box.surface), spot, doubt)


def reference(lab: Array, guess: Array, spot: Spot, doubt_lstar: float) -> Known:
    """Return a surface of a measured Lab (3,), such as a print or an earlier dab.

    ``guess`` (31,) is a reflectance of its kind, which is bent to that Lab: its own recipe's, or,
    where that is not known, the dab's. ``doubt_lstar`` is one of the three above.
    """
    return _known("reference", bent_to(guess, lab), spot, doubt_lstar)


def _known(label: str, reflectance: Array, spot: Spot, doubt_lstar: float = 0.0) -> Known:
    return Known(
        label,
        reflectance,
        doubt_lstar,
        xyz=spot.xyz,
        sigma=spot.sigma,
        high=spot.high,
        low=spot.low,
        shading=spot.shading,
        paper=spot.paper,
        photo=spot.photo,
    )
