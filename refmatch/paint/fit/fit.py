"""The most probable curves of all tubes at once, and how far they are still open.

The unknowns are each tube's few numbers z (`belief`), the ln of what the hand gave too much
of each part, the stray light over each swatch, and where it can be told, k1. Each is
scaled to stand about 0 with a standard deviation of 1, so that the sum of squares of
unknowns and of scaled misses is least at the most probable answer. Gauss-Newton with
Levenberg's damping (Marquardt 1963, doi:10.1137/0111030); the inverse of its last matrix
is the covariance.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.paint.fit.belief import Belief, Roots, parts_of, roots_of
from refmatch.paint.fit.swatch import Measured, Observation, Swatch
from refmatch.paint.kubelka_munk import GLOSS, Surface

MOST_STEPS = 60
SETTLED = 1e-4
K1_DOUBT = 0.0025
"""Standard error of k1 before dark swatches tell: Fresnel's of n = 1.50, give or take 0.02, which
oils and resins keep within (from memory). Single skins stray farther: see `SHINE_VARIES`."""

VEIL = 0.002
"""Standard error of the light that the skin of a swatch adds or lacks, as reflectance, alike in
every band: brush marks, dust, what the instrument's trap for the gloss lets through (own choice).
It is what makes the masstone of a dark staining paint say so little."""

SHINE_VARIES = 0.1
"""Relative error of the skin's own part in a reading that holds it, swatch by swatch. The darkest
bands of one painter's oils read 0.021 to 0.040 (Geldof et al. 2018, Heritage Science 6:17), a
quarter to either side; most were near 0.04, and the farthest are trusted less (own choice)."""


TRUSTED = 3.0
TRUST_ROUNDS = 4
"""A swatch missed by more standard errors than this, and by more than this times the usual miss,
is trusted less in proportion, and all are fitted anew: Huber's weights (1964,
doi:10.1214/aoms/1177703732), a swatch as a whole."""


@dataclass(frozen=True, eq=False)
class Fitted:
    """The answer: ``curves`` (tubes, 62) of ln K and ln S, and their joint covariance in z.

    ``z`` is the whole vector of unknowns, ``covariance`` of the same order; ``spans`` says
    which of them belong to each tube, ``own`` are those of the observation. ``root`` (n, 31) is
    what the fit sees of each swatch. ``information`` (n, tubes) is what each says of each tube in
    it. ``evidence`` is what a fit under other beliefs is compared by: the logarithm of how
    probable all that was seen is, up to a constant (Laplace's approximation).
    """

    curves: Array
    z: Array
    covariance: Array
    spans: tuple[slice, ...]
    own: Array
    root: Array
    surface: Surface
    information: Array
    evidence: float


@dataclass(frozen=True, eq=False)
class Task:
    """All that a fit is given; `solve` does it.

    ``observation`` is how the swatches were looked at: by an instrument unless it says otherwise;
    ``veil`` the standard error of stray light over each swatch, as reflectance.
    """

    beliefs: tuple[Belief, ...]
    swatches: tuple[Swatch, ...]
    surface: Surface = GLOSS
    fits_k1: bool = False
    observation: Observation | None = None
    veil: float = VEIL

    def solve(self) -> Fitted:
        """Return the most probable curves.

        Raises:
            ValueError: there is no swatch.
        """
        if not self.swatches:
            raise ValueError("there is nothing to fit")
        return _Solver(self).run()


class _Solver:
    def __init__(self, task: Task) -> None:
        self.task = task
        swatches = list(task.swatches)
        self.parts = parts_of(swatches, len(task.beliefs))
        self.f = np.array([swatch.f for swatch in swatches])
        self.observation: Observation = task.observation or Measured(swatches)
        self.trust: Array = np.ones(len(swatches))
        ends = np.cumsum([belief.factor.shape[1] for belief in task.beliefs])
        self.spans = tuple(
            slice(int(start), int(end)) for start, end in zip([0, *ends[:-1]], ends, strict=True)
        )
        self.slips = [
            (row, tube, swatch.hand)
            for row, swatch in enumerate(swatches)
            for tube in swatch.tubes
            if len(swatch.tubes) > 1 and swatch.hand > 0.0
        ]
        self.at_slips = int(ends[-1])
        self.at_veils = self.at_slips + len(self.slips)
        self.at_own = self.at_veils + len(swatches)
        self.at_k1 = self.at_own + self.observation.size
        self.size = self.at_k1 + int(task.fits_k1)

    def run(self) -> Fitted:
        """Fit, trust less what was missed by far, and fit again."""
        z: Array = np.zeros(self.size)
        for _ in range(TRUST_ROUNDS):
            z, slope = self._settle(z)
            far = self._far(z)
            trusted = TRUSTED * max(1.0, float(np.median(far)))
            if np.all(far <= trusted) and np.all(self.trust == 1.0):
                break
            self.trust = np.sqrt(np.maximum(far / trusted, 1.0))
        return self._fitted(z, slope)

    def _far(self, z: Array) -> Array:
        """Return by how many standard errors each swatch is missed (root mean square), (n,)."""
        look = self.observation.look(self._veiled(z, self._roots(z)), self._own(z))
        return np.sqrt((look.miss**2).sum(axis=1) / self.observation.rows)

    def _settle(self, z: Array) -> tuple[Array, Array]:
        """Return the most probable unknowns from ``z`` on, and the slopes there."""
        damping = 1e-3
        cost, miss, slope = self._look(z)
        for _ in range(MOST_STEPS):
            gram = slope.T @ slope + np.eye(self.size)
            pull = slope.T @ miss - z
            step = np.linalg.solve(gram + damping * np.diag(np.diag(gram)), pull)
            new_cost, new_miss, new_slope = self._look(z + step)
            if new_cost < cost:
                settled = cost - new_cost < SETTLED
                z, cost, miss, slope = z + step, new_cost, new_miss, new_slope
                damping = max(damping / 5.0, 1e-9)
                if settled:
                    break
            else:
                damping *= 8.0
                if damping > 1e6:
                    break
        return z, slope

    def _fitted(self, z: Array, slope: Array) -> Fitted:
        gram = slope.T @ slope + np.eye(self.size)
        covariance = np.linalg.inv(gram)
        cost, _, _ = self._look(z)
        aside = len(self.observation.look(self._roots(z).root, self._own(z)).aside)
        lost = 2.0 * float(self.observation.rows @ np.log(self.trust))
        return Fitted(
            curves=self.curves(z),
            z=z,
            covariance=covariance,
            spans=self.spans,
            own=self._own(z),
            root=self._roots(z).root,
            surface=self.surface(z),
            information=self._information(covariance, slope[: len(slope) - aside]),
            evidence=-0.5 * (cost + lost + float(np.linalg.slogdet(gram)[1])),
        )

    def _information(self, covariance: Array, slope: Array) -> Array:
        """Return what each swatch says of each tube that is in it, (n, tubes) in nats."""
        information = np.zeros(self.parts.shape)
        for row, own in enumerate(slope.reshape(len(information), -1, self.size)):
            for tube in self.task.swatches[row].tubes:
                span = self.spans[tube]
                block = covariance[span, span]
                own_slope = own[:, span]
                kept = np.eye(len(own)) - own_slope @ block @ own_slope.T
                information[row, tube] = -0.5 * np.linalg.slogdet(kept)[1]
        return information

    def curves(self, z: Array) -> Array:
        return np.stack(
            [
                belief.mean + belief.factor @ z[span]
                for belief, span in zip(self.task.beliefs, self.spans, strict=True)
            ]
        )

    def surface(self, z: Array) -> Surface:
        if not self.task.fits_k1:
            return self.task.surface
        k1 = float(np.clip(self.task.surface.k1 + K1_DOUBT * z[self.at_k1], 0.005, 0.06))
        return replace(self.task.surface, k1=k1)

    def _own(self, z: Array) -> Array:
        return z[self.at_own : self.at_k1]

    def _roots(self, z: Array) -> Roots:
        parts = self.parts.copy()
        for place, (row, tube, hand) in enumerate(self.slips):
            parts[row, tube] *= np.exp(hand * z[self.at_slips + place])
        surface = self.surface(z)
        return roots_of(self.curves(z), parts, self.f, surface.k1, surface.k2)

    def _veil(self, mix: Roots) -> Array:
        shine = SHINE_VARIES * self.task.surface.k1 * self.f
        veil = np.hypot(self.task.veil, shine)[:, None]
        return veil / (3.0 * np.maximum(mix.root, 0.05) ** 2)

    def _veiled(self, z: Array, mix: Roots) -> Array:
        return mix.root + z[self.at_veils : self.at_own, None] * self._veil(mix)

    def _look(self, z: Array) -> tuple[float, Array, Array]:
        """Return the cost, the scaled misses (rows,) and their slopes (rows, unknowns)."""
        mix = self._roots(z)
        look = self.observation.look(self._veiled(z, mix), self._own(z))
        slope = look.by_root @ self._slopes_of_root(mix)
        slope[:, :, self.at_own : self.at_k1] = look.by_own
        slope /= self.trust[:, None, None]
        aside = np.zeros((len(look.aside), self.size))
        aside[:, self.at_own : self.at_k1] = look.aside_by_own
        miss = np.concatenate([(look.miss / self.trust[:, None]).ravel(), look.aside])
        slopes = np.concatenate([slope.reshape(-1, self.size), aside])
        return float(miss @ miss + z @ z), miss, slopes

    def _slopes_of_root(self, mix: Roots) -> Array:
        """Return the slopes of what is seen by all unknowns, (n, 31, unknowns)."""
        rows, bands = mix.root.shape
        slope = np.zeros((rows, bands, self.size))
        for tube, (belief, span) in enumerate(zip(self.task.beliefs, self.spans, strict=True)):
            slope[:, :, span] = (
                mix.by_ln_k[:, tube, :, None] * belief.factor[None, :bands]
                + mix.by_ln_s[:, tube, :, None] * belief.factor[None, bands:]
            )
        for place, (row, tube, hand) in enumerate(self.slips):
            slope[row, :, self.at_slips + place] = hand * mix.by_part[row, tube]
        every = np.arange(rows)
        slope[every, :, self.at_veils + every] = self._veil(mix)
        if self.task.fits_k1:
            slope[:, :, self.at_k1] = K1_DOUBT * mix.by_k1
        return slope
