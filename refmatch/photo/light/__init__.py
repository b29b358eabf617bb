"""The light a photo was taken in: what colour it had, and taking that out of the picture.

Which method, when none is named? A spot known to be grey or white is a measurement,
so it is used where it is given; next comes a temperature that the painter states.
With none of these the photo is left **as shot**. Cameras balance already, knowing
more than the picture shows; a second guess from the picture alone errs by 3 to 5
degrees on ordinary photographs (van de Weijer et al. 2007; from memory), along the line of
daylight 3 to 8 dE00 for a grey, and by far more on a lawn or a sunset. A guess changes the
photo only when it is asked for; where the guesses are sure of a strong cast, a flag says so.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from refmatch.errors import BalanceError
from refmatch.photo.light.balance import (
    Balance,
    BalanceRequest,
    Method,
    balance_of,
    clipped_flags,
    left_as_shot,
)
from refmatch.photo.light.guess import grey_edge, grey_world, hint
from refmatch.photo.light.spots import neutral, white
from refmatch.photo.light.temperature import given_temperature
from refmatch.photo.photo import Photo, overview

METHODS: dict[str, Method] = {
    "neutral": neutral,
    "white": white,
    "temperature": given_temperature,
    "grey-world": grey_world,
    "grey-edge": grey_edge,
    "as-shot": left_as_shot,
}

__all__ = ["METHODS", "BalanceRequest", "estimate", "method_for"]


def method_for(request: BalanceRequest) -> str:
    """Return the name of the method that what is known calls for."""
    if request.neutral is not None:
        return "neutral"
    if request.white is not None:
        return "white"
    return "as-shot" if request.kelvin is None else "temperature"


def estimate(
    photo: Photo, method: str | None = None, request: BalanceRequest | None = None
) -> Balance:
    """Return the balance of a photo by a named method, or by what the request calls for.

    Args:
        photo: the photo; it is not changed.
        method: a key of `METHODS`; None chooses by `method_for`.
        request: what is known of the light, and how much of it to keep.

    Raises:
        BalanceError: no such method, the method lacks what it needs, or the spot it
            is given is clipped or nearly black.
        HoleError: the spot does not lie within the photo.
    """
    request = request or BalanceRequest()
    chosen = method or method_for(request)
    if chosen not in METHODS:
        raise BalanceError("unknown_balance_method", method=chosen, methods=tuple(METHODS))
    balance = balance_of(METHODS[chosen](photo, request), chosen, request.keep_light)
    flags = balance.flags + clipped_flags(float(np.mean(overview(photo).clipped)))
    if method is None and chosen == "as-shot":
        flags += hint(photo)
    return replace(balance, flags=flags)
