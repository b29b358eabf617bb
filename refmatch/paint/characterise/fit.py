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

from refmatch.colorimetry.lab import lab_slopes, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.paint.characterise.belief import Belief
from refmatch.paint.characterise.forward import Seen, parts_of, seen
from refmatch.paint.characterise.swatch import Swatch
from refmatch.paint.kubelka_munk import GLOSS, Surface

MOST_STEPS = 60
SETTLED = 1e-4
K1_DOUBT = 0.008
"""Standard error of k1 before dark swatches tell (0.02 to 0.045 are found on real paints)."""

MODEL_ERROR = 0.002
"""What the paint model itself misses in cube roots of reflectance, band by band (own choice)."""


VEIL = 0.002
"""Standard error of the light that the skin of a swatch adds or lacks, as reflectance, alike in
every band: brush marks, dust, what the instrument's trap for the gloss lets through (own choice).
It is what makes the masstone of a dark staining paint say so little."""


LAB_NOISE = 0.3
"""Standard error of each of L*, a*, b* where only these were measured (own choice)."""

TRUSTED = 3.0
TRUST_ROUNDS = 4
"""A swatch missed by more standard errors than this, and by more than this times the usual miss,
is trusted less in proportion, and all are fitted anew: Huber's weights (1964,
doi:10.1214/aoms/1177703732), a swatch as a whole."""


@dataclass(frozen=True, eq=False)
class Fitted:
    """The answer: ``curves`` (tubes, 62) of ln K and ln S, and their joint covariance in z.

    ``z`` is the whole vector of unknowns, ``covariance`` of the same order; ``spans`` says
    which of them belong to each tube. ``root`` (n, 31) is what the fit sees of each swatch.
    """

    curves: Array
    z: Array
    covariance: Array
    spans: tuple[slice, ...]
    root: Array
    surface: Surface
    information: Array


@dataclass(frozen=True, eq=False)
class Task:
    """All that a fit is given; `solve` does it."""

    beliefs: tuple[Belief, ...]
    swatches: tuple[Swatch, ...]
    surface: Surface = GLOSS
    fits_k1: bool = False

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
        measured = np.stack([np.maximum(swatch.reflectance, 3e-4) for swatch in swatches])
        self.root = np.cbrt(measured)
        noise = np.array([swatch.noise for swatch in swatches])[:, None]
        self.sigma = np.hypot(noise / (3.0 * self.root**2), MODEL_ERROR)
        self.own_sigma = self.sigma[:, 0].copy()
        self.by_lab = [row for row, swatch in enumerate(swatches) if swatch.lab is not None]
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
        self.at_k1 = self.at_veils + len(swatches)
        self.size = self.at_k1 + int(task.fits_k1)

    def run(self) -> Fitted:
        """Fit, trust less what was missed by far, and fit again."""
        z: Array = np.zeros(self.size)
        noise = self.sigma
        for _ in range(TRUST_ROUNDS):
            z, slope = self._settle(z)
            _, miss, _ = self._look(z)
            far = np.sqrt(np.mean(miss.reshape(self.root.shape) ** 2, axis=1, keepdims=True))
            far = far * self.sigma[:, :1] / noise[:, :1]
            trusted = TRUSTED * max(1.0, float(np.median(far)))
            if np.all(far <= trusted) and self.sigma is noise:
                break
            self.sigma = noise * np.sqrt(np.maximum(far / trusted, 1.0))
        return self._fitted(z, slope)

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
        covariance = np.linalg.inv(slope.T @ slope + np.eye(self.size))
        return Fitted(
            curves=self.curves(z),
            z=z,
            covariance=covariance,
            spans=self.spans,
            root=self._seen(z).root,
            surface=self.surface(z),
            information=self._information(covariance, slope),
        )

    def _information(self, covariance: Array, slope: Array) -> Array:
        """Return what each swatch says of each tube that is in it, (n, tubes) in nats."""
        rows, bands = self.root.shape
        told = np.zeros(self.parts.shape)
        for row, own in enumerate(slope.reshape(rows, bands, self.size)):
            for tube in self.task.swatches[row].tubes:
                span = self.spans[tube]
                block = covariance[span, span]
                own_slope = own[:, span]
                kept = np.eye(bands) - own_slope @ block @ own_slope.T
                told[row, tube] = -0.5 * np.linalg.slogdet(kept)[1]
        return told

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

    def _seen(self, z: Array) -> Seen:
        parts = self.parts.copy()
        for place, (row, tube, hand) in enumerate(self.slips):
            parts[row, tube] *= np.exp(hand * z[self.at_slips + place])
        surface = self.surface(z)
        return seen(self.curves(z), parts, self.f, surface.k1, surface.k2)

    def _look(self, z: Array) -> tuple[float, Array, Array]:
        """Return the cost, the scaled misses (n * 31,) and their slopes (n * 31, unknowns)."""
        found = self._seen(z)
        veils = z[self.at_veils : self.at_veils + len(self.root), None]
        veiled = found.root + veils * VEIL / (3.0 * np.maximum(found.root, 0.05) ** 2)
        miss = ((self.root - veiled) / self.sigma).ravel()
        rows, bands = self.root.shape
        slope = np.zeros((rows, bands, self.size))
        for tube, (belief, span) in enumerate(zip(self.task.beliefs, self.spans, strict=True)):
            half = bands
            slope[:, :, span] = (
                found.by_ln_k[:, tube, :, None] * belief.factor[None, :half]
                + found.by_ln_s[:, tube, :, None] * belief.factor[None, half:]
            )
        for place, (row, tube, hand) in enumerate(self.slips):
            slope[row, :, self.at_slips + place] = hand * found.by_part[row, tube]
        veil = VEIL / (3.0 * np.maximum(found.root, 0.05) ** 2)
        every = np.arange(rows)
        slope[every, :, self.at_veils + every] = veil
        if self.task.fits_k1:
            slope[:, :, self.at_k1] = K1_DOUBT * found.by_k1
        slope /= self.sigma[:, :, None]
        for row in self.by_lab:
            self._look_at_lab(row, found.root[row], miss, slope)
        return float(miss @ miss + z @ z), miss, slope.reshape(rows * bands, self.size)

    def _look_at_lab(self, row: int, root: Array, miss: Array, slope: Array) -> None:
        """Put the misses and slopes of Lab in place of those of a spectrum: three of 31 rows."""
        seen_by, bands = viewing(), self.root.shape[1]
        lab = self.task.swatches[row].lab
        assert lab is not None
        xyz = root**3 @ seen_by.weights
        by_root = lab_slopes(xyz, seen_by.white) @ (3.0 * root**2 * seen_by.weights.T)
        trust = LAB_NOISE * self.sigma[row, 0] / self.own_sigma[row]
        own = (by_root @ (slope[row] * self.sigma[row][:, None])) / trust
        slope[row] = 0.0
        slope[row, :3] = own
        line = miss[row * bands : (row + 1) * bands]
        line[:] = 0.0
        line[:3] = (lab - xyz_to_lab(xyz, seen_by.white)) / trust
