"""Find the parts of a convenience mixture whose measured colours are published."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.optimize import least_squares

from refmatch.colorimetry.spectrum import Array


def fitted_parts(
    pigments: list[str], let_downs: Callable[[dict[str, float]], Array], lab: Array
) -> dict[str, int]:
    """Return parts of the pigments, whole hundredths, that come nearest to the measured Lab.

    ``let_downs`` predicts Lab, shape (n, 3), of masstone and tints from the parts;
    ``lab`` (n, 3) is what was measured.
    """

    def miss(ln_parts: Array) -> Array:
        return (let_downs(dict(zip(pigments, np.exp(ln_parts), strict=True))) - lab).ravel()

    found = least_squares(miss, np.full(len(pigments), -1.0), bounds=(-9.0, 3.0))
    parts = np.exp(found.x) / np.exp(found.x).sum()
    return {name: max(1, round(100.0 * part)) for name, part in zip(pigments, parts, strict=True)}
