"""What swatches should look like, given curves, and how that changes with each curve."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.paint.characterise.swatch import LEAST_SEEN, Swatch
from refmatch.paint.kubelka_munk import opaque_reflectance


@dataclass(frozen=True, eq=False)
class Seen:
    """Cube roots of the swatches' reflectance, (n, 31), and their slopes.

    ``by_ln_k`` and ``by_ln_s`` (n, tubes, 31) act band by band; ``by_part`` (n, tubes, 31) is
    the slope by the ln of each part, ``by_k1`` (n, 31) that by k1.
    """

    root: Array
    by_ln_k: Array
    by_ln_s: Array
    by_part: Array
    by_k1: Array


def parts_of(swatches: list[Swatch], tubes: int) -> Array:
    """Return the parts as a table, (n, tubes)."""
    table = np.zeros((len(swatches), tubes))
    for row, swatch in enumerate(swatches):
        for tube, parts in zip(swatch.tubes, swatch.parts, strict=True):
            table[row, tube] += parts
    return table


def seen(curves: Array, parts: Array, f: Array, k1: float, k2: float) -> Seen:
    """Return what is seen of parts (n, tubes) of tubes with ``curves`` (tubes, 62), ln K and ln S.

    The cube root makes equal steps of reflectance about equally visible, light or dark.
    """
    k, s = np.exp(curves[:, :BANDS]), np.exp(curves[:, BANDS:])
    scatter = parts @ s
    q = parts @ k / scatter
    inner = opaque_reflectance(q)
    skin = 1.0 - k2 * inner
    body = (1.0 - k2) * inner / skin
    measured = f[:, None] * k1 + (1.0 - k1) * body
    root = np.cbrt(np.maximum(measured, LEAST_SEEN))
    by_measured = np.where(measured > LEAST_SEEN, 1.0 / (3.0 * root**2), 0.0)
    by_q = by_measured * (1.0 - k1) * (1.0 - k2) / skin**2 * -inner / np.sqrt(q * (q + 2.0))
    share_k = parts[:, :, None] * k[None] / scatter[:, None, :]
    share_s = parts[:, :, None] * s[None] / scatter[:, None, :]
    by_ln_k = by_q[:, None, :] * share_k
    by_ln_s = -(by_q * q)[:, None, :] * share_s
    return Seen(root, by_ln_k, by_ln_s, by_ln_k + by_ln_s, by_measured * (f[:, None] - body))
