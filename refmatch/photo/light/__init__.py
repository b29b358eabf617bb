"""The light a photo was taken in: what colour it had, and taking that out of the picture.

A spot known to be grey or white is a measurement, a temperature is what the painter states.
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
    AskedLight,
    Balance,
    Method,
    as_saved,
    by_spot,
    clipped_flags,
    given_temperature,
    left_as_shot,
)
from refmatch.photo.light.guess import grey_edge, grey_world, hint
from refmatch.photo.photo import Photo, overview

METHODS: dict[str, Method] = {
    "neutral": by_spot,
    "white": by_spot,
    "temperature": given_temperature,
    "grey-world": grey_world,
    "grey-edge": grey_edge,
    "as-shot": left_as_shot,
}


def estimate(photo: Photo, asked: AskedLight) -> Balance:
    """Return the balance of a whole photo, which is not changed.

    Raises:
        BalanceError: no such method, the method lacks what it needs, or the spot it
            is given is clipped or nearly black.
        HoleError: the spot does not lie within the photo.
    """
    if asked.saved is not None:
        return as_saved(asked, asked.saved)
    method = asked.method or "as-shot"
    if method not in METHODS:
        raise BalanceError("unknown_balance_method", method=method, methods=tuple(METHODS))
    balance = METHODS[method](photo, asked)
    flags = balance.flags + clipped_flags(float(np.mean(overview(photo).clipped)))
    if asked.method is None:
        flags += hint(photo)
    return replace(balance, flags=flags)
