"""What a pile is: neither the recipe's word nor the photo's, but both, each as sure as it is.

A first mix from a box that knows its tubes is often nearer than a photo can tell; corrected by
the photo alone it would be made worse. The mean weighted by precision is the most probable
colour (Kalman 1960, doi:10.1115/1.3662552), and it says of each tube how far it was off.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.swatch.measured import Measured
from refmatch.swatch.predicted import Predicted


@dataclass(frozen=True, eq=False)
class Estimated:
    """The piles' ``lab`` (n, 3) and joint ``covariance`` (3n, 3n).

    ``tubes`` (tubes, 62) is by how much ln K and ln S of each tube most probably differ from the
    box's, ``modes`` (tubes, m, 62) what stays open of them. ``surprise`` (n,) is how far photo and
    recipe are apart, in standard errors of their difference: about 1.7 on average.
    """

    lab: Array
    covariance: Array
    tubes: Array
    modes: Array
    surprise: Array

    def covariance_of(self, pile: int) -> Array:
        """Return one pile's own covariance, (3, 3)."""
        rows = slice(3 * pile, 3 * pile + 3)
        return self.covariance[rows, rows]

    def only(self, count: int) -> Estimated:
        """Return the first piles alone; what was found of the tubes stays."""
        rows = slice(0, 3 * count)
        return replace(
            self,
            lab=self.lab[:count],
            covariance=self.covariance[rows, rows],
            surprise=self.surprise[:count],
        )


def fuse(predicted: Predicted, measured: Measured, alike: float = 0.0) -> Estimated:
    """Return the most probable colour of each pile, and what it says of the tubes.

    ``alike`` is how far the errors of both go together, as a correlation: a box that was learnt
    by the same phone has its errors too. The estimate stays the same, it is only less sure.
    """
    off = (measured.lab - predicted.lab).ravel()
    both = predicted.covariance + measured.covariance
    gain = np.linalg.solve(both, predicted.covariance).T
    lab = predicted.lab + (gain @ off).reshape(-1, 3)
    kept = np.eye(len(off)) - gain
    covariance = predicted.covariance - gain @ predicted.covariance
    if alike:
        both_off = kept @ _root(predicted.covariance) @ _root(measured.covariance) @ gain.T
        covariance = covariance + alike * (both_off + both_off.T)
    by_modes = predicted.by_modes
    told = np.linalg.solve(both, by_modes)  # (tubes, 3n, m)
    amounts = np.einsum("tim,i->tm", told, off)
    tubes = np.einsum("tm,tmb->tb", amounts, predicted.modes)
    left = np.eye(by_modes.shape[2]) - np.swapaxes(by_modes, 1, 2) @ told
    modes = np.swapaxes(np.linalg.cholesky(_positive(left)), 1, 2) @ predicted.modes
    return Estimated(lab, covariance, tubes, modes, _surprise(off, both))


def _root(covariance: Array) -> Array:
    """Return the symmetric square root of a covariance."""
    values, vectors = np.linalg.eigh(covariance)
    root: Array = (vectors * np.sqrt(np.maximum(values, 0.0))) @ vectors.T
    return root


def _positive(covariance: Array) -> Array:
    """Return a covariance made symmetric, and kept from rounding to less than nothing."""
    return (covariance + np.swapaxes(covariance, -1, -2)) / 2.0 + 1e-9 * np.eye(
        covariance.shape[-1]
    )


def _surprise(off: Array, covariance: Array) -> Array:
    count = len(off) // 3
    blocks = covariance.reshape(count, 3, count, 3)[np.arange(count), :, np.arange(count), :]
    misses = off.reshape(count, 3)
    return np.sqrt(
        np.einsum("ni,ni->n", misses, np.linalg.solve(blocks, misses[..., None])[..., 0])
    )
