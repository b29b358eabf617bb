"""How sure a photo is of its dabs hangs on how well what is known in it agrees."""

from __future__ import annotations

import numpy as np

from refmatch.dabs.beside import grey_card
from refmatch.dabs.camera import generic_camera
from refmatch.dabs.chart_colours import as_known, chart_patches
from refmatch.dabs.measured import measure
from refmatch.dabs.spot import Known, Spot
from tests.dabs.test_chart import photographed
from tests.virtual_studio.camera import grey

SURE = np.full(3, 1e-4)
DAB = np.linspace(0.2, 0.5, 31)[None]


def doubt(stray: float, known: np.ndarray) -> float:
    """Return the variance of a dab beside surfaces (n, 31) that stray so far in ln of light."""
    shot = photographed(np.concatenate([DAB, known]))
    off = np.exp(stray * np.random.default_rng(4).normal(size=(len(shot), 3)))
    off[0] = 1.0
    spots = [Spot(xyz, SURE) for xyz in shot * off]
    told = as_known(
        [Known("", spot, row) for spot, row in zip(spots[1:], known, strict=True)]
        if len(known) > 1
        else []
    ) or [grey_card(np.array([50.0, 0.0, 0.0]), spots[1])]
    found = measure(spots[:1], DAB, told, generic_camera("D50"))
    return float(np.trace(found.covariance))


def test_a_chart_that_agrees_with_itself_makes_a_photo_surer_than_one_that_does_not():
    close, usual, wide = (doubt(stray, chart_patches()) for stray in (0.0, 0.05, 0.15))
    assert close < usual < wide
    assert wide > 2.0 * close


def test_one_grey_tells_nothing_of_the_noise():
    """Exposure and balance explain it, however it strays: there is nothing to compare it with."""
    close, wide = (doubt(stray, grey(50.0)[None]) for stray in (0.0, 0.02))
    assert abs(wide / close - 1.0) < 0.1
