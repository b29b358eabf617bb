"""The colour of a mixture: parts of tubes in, reflectance and Lab out.

K and S of the mixture are the sums of the parts' K and S (Duncan 1940), and the
film is taken to hide its ground. Everything here works on whole batches.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import lab_slopes, reflectance_to_lab, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.paint.box import Tube
from refmatch.paint.kubelka_munk import GLOSS, Surface, opaque_reflectance, to_measured


def film(absorption: Array, scattering: Array, surface: Surface = GLOSS) -> Array:
    """Return the reflectance that is seen, (..., 31), of a hiding film of these K and S."""
    return to_measured(opaque_reflectance(absorption / scattering), surface)


@dataclass(frozen=True, eq=False)
class Palette:
    """The K and S of a row of tubes, stacked: shape (..., tubes, 31) each, and their skin.

    A leading axis makes a batch of palettes; parts then carry the same leading axis.
    """

    absorption: Array
    scattering: Array
    surface: Surface = GLOSS

    @classmethod
    def of(cls, tubes: Sequence[Tube], surface: Surface = GLOSS) -> Palette:
        """Stack the tubes' curves."""
        return cls(
            np.stack([tube.absorption for tube in tubes]),
            np.stack([tube.scattering for tube in tubes]),
            surface,
        )

    def reflectance(self, parts: Array) -> Array:
        """Return the reflectance that is seen, (..., 31), of parts (..., tubes) of any sum.

        Source: Duncan 1940, Proceedings of the Physical Society 52, 390-401,
        doi:10.1088/0959-5309/52/3/310, for the additivity of K and S.
        """
        return film(_sum(parts, self.absorption), _sum(parts, self.scattering), self.surface)

    def lab(self, parts: Array) -> Array:
        """Return the Lab, (..., 3), of parts (..., tubes) of any sum."""
        return reflectance_to_lab(self.reflectance(parts))

    def lab_and_slopes(self, parts: Array) -> tuple[Array, Array]:
        """Return Lab (..., 3) and its slopes by each part, (..., 3, tubes).

        The slopes are exact. With q = K/S and R the inner reflectance,
        dR/dq = -R / sqrt(q^2 + 2q), and Saunderson and CIELAB follow by the chain rule.
        """
        seen = viewing()
        scatter = _sum(parts, self.scattering)
        ratio = _sum(parts, self.absorption) / scatter
        inner = opaque_reflectance(ratio)
        by_ratio = -inner / np.sqrt(ratio * (ratio + 2.0))
        k1, k2 = self.surface.k1, self.surface.k2
        by_ratio *= (1.0 - k1) * (1.0 - k2) / (1.0 - k2 * inner) ** 2
        xyz = to_measured(inner, self.surface) @ seen.weights
        per_tube = (self.absorption - ratio[..., None, :] * self.scattering) / scatter[..., None, :]
        by_part = (by_ratio[..., None, :] * per_tube) @ seen.weights  # (..., tubes, 3)
        return xyz_to_lab(xyz, seen.white), lab_slopes(xyz, seen.white) @ np.swapaxes(
            by_part, -1, -2
        )

    def pull(self, parts: Array, along: Array) -> Array:
        """Return how fast Lab goes along a direction by each part, (n, tubes).

        The slopes of `lab_and_slopes` for parts (n, tubes), along (n, 3) of Lab, but for
        far less work: the one direction is carried back to the bands, and meets all tubes
        there.
        """
        seen = viewing()
        scatter = parts @ self.scattering
        ratio = parts @ self.absorption / scatter
        inner = opaque_reflectance(ratio)
        k1, k2 = self.surface.k1, self.surface.k2
        xyz = to_measured(inner, self.surface) @ seen.weights
        by_xyz = (along[:, None, :] @ lab_slopes(xyz, seen.white))[:, 0]
        by_ratio = -inner / np.sqrt(ratio * (ratio + 2.0)) / scatter
        by_ratio *= (1.0 - k1) * (1.0 - k2) / (1.0 - k2 * inner) ** 2 * (by_xyz @ seen.weights.T)
        return by_ratio @ self.absorption.T - (by_ratio * ratio) @ self.scattering.T

    def lab_by_curves(self, parts: Array) -> Array:
        """Return the slopes of Lab by ln K and ln S of each tube, (tubes, 3, 62).

        ``parts`` (tubes,) are of one mixture. Exact, by the chain rule, as in `lab_and_slopes`.
        """
        seen = viewing()
        scatter = parts @ self.scattering
        ratio = parts @ self.absorption / scatter
        inner = opaque_reflectance(ratio)
        k1, k2 = self.surface.k1, self.surface.k2
        by_ratio = -inner / np.sqrt(ratio * (ratio + 2.0))
        by_ratio *= (1.0 - k1) * (1.0 - k2) / (1.0 - k2 * inner) ** 2
        by_ln_k = by_ratio * parts[:, None] * self.absorption / scatter
        by_ln_s = -by_ratio * ratio * parts[:, None] * self.scattering / scatter
        xyz = to_measured(inner, self.surface) @ seen.weights
        by_band = lab_slopes(xyz, seen.white) @ seen.weights.T  # (3, 31)
        return np.concatenate([by_band * by_ln_k[:, None], by_band * by_ln_s[:, None]], axis=-1)


def _sum(parts: Array, curves: Array) -> Array:
    """Return the parts' sum of curves, (..., 31)."""
    if curves.ndim == 2:
        return parts @ curves
    return (parts[..., None, :] @ curves)[..., 0, :]


def reflectance(tubes: Sequence[Tube], parts: Sequence[float], surface: Surface = GLOSS) -> Array:
    """Return the reflectance that is seen, (31,), of parts of a few tubes."""
    return Palette.of(tubes, surface).reflectance(np.asarray(parts, dtype=float))


def predict(tubes: Sequence[Tube], parts: Sequence[float], surface: Surface = GLOSS) -> Array:
    """Return the Lab, (3,), of parts of a few tubes."""
    return Palette.of(tubes, surface).lab(np.asarray(parts, dtype=float))
