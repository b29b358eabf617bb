"""Fit the curves of all pigments at once to measured colours of their mixtures.

The most probable curves under the prior of ``pigment_prior`` and the rounding of the
measured colours: Gauss-Newton steps taken in the space of the data (a few hundred
numbers) rather than of the curves (a few thousand).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.linalg import cho_factor, cho_solve

from refmatch.colorimetry.lab import EPSILON, KAPPA, reflectance_to_lab
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import viewing
from refmatch.paint.kubelka_munk import Surface, opaque_reflectance, to_measured

GLOSS = Surface()


@dataclass(frozen=True, eq=False)
class Colours:
    """Measured colours: ``shares`` (rows, pigments), ``lab`` (rows, 3), ``sigma`` (rows,)."""

    shares: Array
    lab: Array
    sigma: Array

    def only(self, rows: Array) -> Colours:
        """Return some of the rows."""
        return Colours(self.shares[rows], self.lab[rows], self.sigma[rows])


def mixed_lab(curves: Array, shares: Array) -> Array:
    """Return Lab (rows, 3) of mixtures; ``curves`` (pigments, 62) holds ln K and ln S."""
    k, s = mixed(curves, shares)
    return reflectance_to_lab(to_measured(opaque_reflectance(k / s), GLOSS))


def mixed(curves: Array, shares: Array) -> tuple[Array, Array]:
    """Return K and S (rows, 31) of mixtures."""
    return shares @ np.exp(curves[:, :BANDS]), shares @ np.exp(curves[:, BANDS:])


def jacobian(curves: Array, shares: Array) -> Array:
    """Return d Lab / d curves, shape (rows, 3, pigments, 62)."""
    k, s = mixed(curves, shares)
    q = k / s
    inner = opaque_reflectance(q)
    d_inner = -inner / np.sqrt(q * (q + 2.0))  # dR/dq
    skin = 1.0 - GLOSS.k2 * inner
    d_seen = d_inner * (1.0 - GLOSS.k1) * (1.0 - GLOSS.k2) / skin**2
    seen = to_measured(inner, GLOSS)
    lab_by_band = _lab_by_band(seen) * d_seen[:, None, :]  # (rows, 3, 31)
    by_k = shares[:, :, None] * np.exp(curves[None, :, :BANDS]) / s[:, None, :]
    by_s = -shares[:, :, None] * np.exp(curves[None, :, BANDS:]) * (q / s)[:, None, :]
    blocks = [lab_by_band[:, :, None, :] * by[:, None, :, :] for by in (by_k, by_s)]
    return np.concatenate(blocks, axis=-1)


def _lab_by_band(seen: Array) -> Array:
    """Return d Lab / d reflectance, shape (rows, 3, 31)."""
    view = viewing()
    ratio = seen @ view.weights / view.white
    slope = np.where(ratio > EPSILON, np.cbrt(ratio) ** -2 / 3.0, KAPPA / 116.0)
    root = slope[:, :, None] * (view.weights / view.white).T[None]  # (rows, 3, 31)
    x, y, z = root[:, 0], root[:, 1], root[:, 2]
    return np.stack([116.0 * y, 500.0 * (x - y), 200.0 * (y - z)], axis=1)


def fit(colours: Colours, mean: Array, covariance: Array, steps: int = 60) -> Array:
    """Return the most probable curves (pigments, 62).

    ``mean`` (pigments, 62) and ``covariance`` (pigments, 62, 62) are the prior.
    The curves are mean + covariance @ pull; the pull is what the data exert.
    """
    noise = np.repeat(colours.sigma**2, 3)
    pull = np.zeros_like(mean)
    cost = np.inf
    for _ in range(steps):
        bent = np.einsum("pij,pj->pi", covariance, pull)
        slope = jacobian(mean + bent, colours.shares).reshape(noise.size, *mean.shape)
        spread = np.einsum("pij,npj->npi", covariance, slope, optimize=True)
        gram = spread.reshape(noise.size, -1) @ slope.reshape(noise.size, -1).T
        miss = (colours.lab - mixed_lab(mean + bent, colours.shares)).ravel()
        target = miss + np.einsum("npi,pi->n", slope, bent)
        weights = cho_solve(cho_factor(gram + np.diag(noise)), target)
        goal = np.einsum("npi,n->pi", slope, weights)
        before = cost
        pull, cost = _best_on_the_way(pull, goal, colours, mean, covariance)
        if before - cost < 1e-3:
            break
    return mean + np.einsum("pij,pj->pi", covariance, pull)


def _best_on_the_way(
    pull: Array, goal: Array, colours: Colours, mean: Array, covariance: Array
) -> tuple[Array, float]:
    """Return the pull of least cost among a few points between here and the goal."""
    tried = [pull + share * (goal - pull) for share in (1.0, 0.7, 0.4, 0.2, 0.08, 0.02, 0.0)]
    costs = [_cost(each, colours, mean, covariance) for each in tried]
    best = int(np.argmin(costs))
    return tried[best], costs[best]


def _cost(pull: Array, colours: Colours, mean: Array, covariance: Array) -> float:
    bent = np.einsum("pij,pj->pi", covariance, pull)
    miss = (colours.lab - mixed_lab(mean + bent, colours.shares)) / colours.sigma[:, None]
    return float(np.sum(miss**2) + np.sum(pull * bent))
