"""From the light that is asked for to a balance."""

from __future__ import annotations

import numpy as np

from refmatch.painting.asked import AskedLight, SavedLight
from refmatch.photo.balance import BalanceRequest, estimate
from refmatch.photo.light import Balance
from refmatch.photo.mask import Hole
from refmatch.photo.photo import Photo


def balanced(whole: Photo, light: AskedLight) -> Balance:
    """Return the balance of a whole photo as it is asked for.

    Raises:
        BalanceError, HoleError: it cannot be found so.
    """
    if light.saved is not None:
        return _as_saved(light, light.saved)
    return estimate(whole, light.method, request_of(light))


def request_of(light: AskedLight) -> BalanceRequest:
    """Return what a balance method is told.

    Raises:
        BalanceError: a number is out of its range.
    """
    spot = None
    if light.x_px is not None and light.y_px is not None and light.diameter_px is not None:
        spot = Hole(light.x_px, light.y_px, light.diameter_px, light.method or "")
    said = {
        "neutral": spot if light.method == "neutral" else None,
        "white": spot if light.method == "white" else None,
        "neutral_lstar": light.lstar if light.method == "neutral" else None,
        "white_lstar": light.lstar if light.method == "white" else None,
        "kelvin": light.kelvin,
        "duv": light.duv,
    }
    known = {key: value for key, value in said.items() if value is not None}
    return BalanceRequest(**known, keep_light=light.keep_light, set_exposure=light.set_exposure)  # type: ignore[arg-type]


def _as_saved(light: AskedLight, saved: SavedLight) -> Balance:
    return Balance(
        method=saved.method,
        matrix=np.array(saved.matrix).reshape(3, 3),
        cast_kelvin=saved.cast_kelvin,
        cast_duv=saved.cast_duv,
        keep_light_percent=light.keep_light,
        exposure_factor=saved.exposure_factor,
    )
