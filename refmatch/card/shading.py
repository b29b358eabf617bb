"""How unevenly the light falls: a smooth surface through the plain paper, to divide by."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array

POWERS = tuple((i, j) for i in range(4) for j in range(4) if i + j <= 3)
"""Of x and y: a cubic follows a lamp near one corner, and still cannot follow a dab."""

TUKEY = 4.685
"""Standard deviations beyond which a stretch of paper counts for nothing (Beaton & Tukey
1974, doi:10.1080/00401706.1974.10489171)."""

LEAST_DEVIATION = 0.003
ROUNDS = 20
TRIALS = 400
"""Of six stretches each: where a third of the paper is stained, one in ten is clean."""

QUADRATIC = tuple(n for n, (i, j) in enumerate(POWERS) if i + j <= 2)
START_DEVIATION = 0.015
MOST_CONDITION = 1e4
"""How well a quadratic alone follows the light of a lamp."""


@dataclass(frozen=True, eq=False)
class Shading:
    """The light on the page relative to its mean: ``exp`` of a polynomial in x and y.

    ``residual`` is the relative root mean square by which the paper that counts misses it,
    ``evenness`` the darkest paper's light over the brightest's, and ``used`` (n,) how much
    each stretch of paper counts, 0 to 1.
    """

    coefficients: Array
    middle_mm: Array
    half_mm: float
    residual: float
    evenness: float
    used: Array

    def at(self, points_mm: Array) -> Array:
        """Return the factor at points of the page, (..., 2) to (...)."""
        factor: Array = np.exp(_terms(points_mm, self.middle_mm, self.half_mm) @ self.coefficients)
        return factor


def fit_shading(points_mm: Array, luminance: Array) -> Shading:
    """Fit the surface to the paper's luminance (n,) at points (n, 2), stains left out.

    Least squares in ln light, weighted again and again by how well each stretch agrees, from
    a start that stains cannot pull. The mean factor over the paper is 1.
    """
    corners = points_mm.min(axis=0), points_mm.max(axis=0)
    middle = (corners[0] + corners[1]) / 2.0
    half = float((corners[1] - corners[0]).max() / 2.0)
    terms, light = _terms(points_mm, middle, half), np.log(np.maximum(luminance, 1e-6))
    miss = _start(terms[:, QUADRATIC], light)
    deviation = max(_deviation(miss), START_DEVIATION)
    for _ in range(ROUNDS):
        weights = np.clip(1.0 - (miss / (TUKEY * deviation)) ** 2, 0.0, None) ** 2
        root = np.sqrt(weights)[:, None]
        coefficients = np.linalg.lstsq(terms * root, light * root[:, 0], rcond=None)[0]
        miss = light - terms @ coefficients
        deviation = max(_deviation(miss), LEAST_DEVIATION)
    factor = np.exp(terms @ coefficients)
    coefficients[0] -= np.log(np.average(factor, weights=weights))
    return Shading(
        coefficients=coefficients,
        middle_mm=middle,
        half_mm=half,
        residual=float(np.sqrt(np.average(miss**2, weights=weights))),
        evenness=float(factor.min() / factor.max()),
        used=weights,
    )


def _start(terms: Array, light: Array) -> Array:
    """Return how far each stretch misses the quadratic that most of them lie closest to.

    Least median of squares over exact fits of few points (Rousseeuw 1984,
    doi:10.1080/01621459.1984.10477105); the same points are drawn each time.
    """
    draw = np.random.default_rng(0)
    count = terms.shape[1]
    chosen = np.argsort(draw.random((TRIALS, len(light))), axis=1)[:, :count]
    matrices = terms[chosen]
    sound = np.linalg.cond(matrices) < MOST_CONDITION
    fitted = np.linalg.solve(matrices[sound], light[chosen][sound][..., None])[..., 0]
    misses = light - fitted @ terms.T
    best = np.median(np.abs(misses), axis=1).argmin()
    found: Array = misses[best]
    return found


def _deviation(miss: Array) -> float:
    return 1.4826 * float(np.median(np.abs(miss)))


def _terms(points_mm: Array, middle_mm: Array, half_mm: float) -> Array:
    x, y = np.moveaxis((points_mm - middle_mm) / half_mm, -1, 0)
    return np.stack([x**i * y**j for i, j in POWERS], axis=-1)
