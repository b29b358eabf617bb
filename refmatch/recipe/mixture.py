"""The colour of a mixture: parts of tubes in, reflectance and Lab out.

K and S of the mixture are the sums of the parts' K and S (Duncan 1940), and the
film is taken to hide its ground. Everything here works on whole batches.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.lab import (
    EPSILON,
    KAPPA,
    delta_e_00,
    lab_slopes,
    reflectance_to_lab,
    xyz_to_lab,
)
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import viewing
from refmatch.paint.box import Box, Tube
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

    @functools.cached_property
    def single(self) -> SinglePalette:
        """The same in single precision, for the search of recipes."""
        return SinglePalette.of(self)

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

    def slopes(self, parts: Array) -> Array:
        """Return the slopes of `lab_and_slopes` alone, (n, 3, tubes), for parts (n, tubes).

        The slopes of Lab by each band are carried to all tubes in one product.
        """
        by_k, by_s = self.slopes_by_band(parts)
        return by_k @ self.absorption.T + by_s @ self.scattering.T

    def slopes_by_band(self, parts: Array) -> tuple[Array, Array]:
        """Return the slopes of Lab by the sums of K and of S, (n, 3, 31) each, of parts."""
        seen = viewing()
        scatter = parts @ self.scattering
        ratio = parts @ self.absorption / scatter
        inner = opaque_reflectance(ratio)
        k1, k2 = self.surface.k1, self.surface.k2
        by_ratio = -inner / np.sqrt(ratio * (ratio + 2.0)) / scatter
        by_ratio *= (1.0 - k1) * (1.0 - k2) / (1.0 - k2 * inner) ** 2
        xyz = to_measured(inner, self.surface) @ seen.weights
        by_band = (lab_slopes(xyz, seen.white) @ seen.weights.T) * by_ratio[:, None]
        return by_band, -by_band * ratio[:, None]

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


Floats = npt.NDArray[np.float32]


@np.errstate(invalid="ignore")
def product(left: Floats, right: Floats) -> Floats:
    """Return the matrix product of finite numbers in single precision, without false alarms.

    On some processors the kernels of BLAS work on lanes beyond the end of a short row and
    throw the outcome away; the flag that this raises says nothing of the product.
    """
    return left @ right


@dataclass(frozen=True, eq=False)
class SinglePalette:
    """A palette in single precision: Lab to a thousandth, in a third of the time.

    Mixes are columns of ``members`` (size, n), which name its tubes, and of their ``shares``
    (size, n): the mixes come last, so that sums over the few things before them run along
    the memory. ``curves`` (62, tubes) are K over S. ``weights`` (3, 31) are those of the
    viewing, by its white, times what the skin lets in and out; ``shine`` (3, 1) is what the
    eye sees of the skin itself. ``weighted`` (3 tubes, 62) are -K and S by these weights.
    """

    curves: Floats
    weighted: Floats
    weights: Floats
    shine: Floats
    k2: float

    @classmethod
    def of(cls, palette: Palette) -> SinglePalette:
        """Round a palette's curves."""
        seen, skin = viewing(), palette.surface
        weights = (seen.weights / seen.white).T
        through = (1.0 - skin.k1) * (1.0 - skin.k2)
        curves = np.stack([palette.absorption, palette.scattering], axis=1)  # (tubes, 2, 31)
        signed = curves * np.array([[-through], [through]])
        weighted = weights[:, None, None] * signed
        return cls(
            np.ascontiguousarray(curves.reshape(-1, 2 * BANDS).T, np.float32),
            weighted.reshape(-1, 2 * BANDS).astype(np.float32),
            (through * weights).astype(np.float32),
            (skin.f * skin.k1 * weights.sum(axis=1, keepdims=True)).astype(np.float32),
            skin.k2,
        )

    def lab(self, members: npt.NDArray[np.intp], shares: Floats) -> Floats:
        """Return the Lab of mixes, (3, n)."""
        ratio, _ = self._ratio(members, shares)
        out = np.empty_like(ratio)
        _root(ratio, out)
        out += ratio
        out += np.float32(1.0 - self.k2)
        root, _ = _lightness_root(product(self.weights, 1.0 / out) + self.shine)
        return _lab_of_root(root, offset=16.0)

    def lab_and_slopes(
        self, members: npt.NDArray[np.intp], shares: Floats
    ) -> tuple[Floats, Floats]:
        """Return Lab (3, n) and its slopes by each share, (3, size, n); see `Palette`."""
        lightness, slope, by_tube = self._slopes(members, shares)
        by_share = by_tube[:, members, np.arange(members.shape[1])]
        by_share *= slope[:, None]
        return _lab_of_root(lightness, offset=16.0), _lab_of_root(by_share, offset=0.0)

    def lab_and_slopes_of_all(
        self, members: npt.NDArray[np.intp], shares: Floats
    ) -> tuple[Floats, Floats]:
        """Return Lab (3, n) and its slopes by a little of every tube, (3, tubes, n)."""
        lightness, slope, by_tube = self._slopes(members, shares)
        by_tube *= slope[:, None]
        return _lab_of_root(lightness, offset=16.0), _lab_of_root(by_tube, offset=0.0)

    def _slopes(
        self, members: npt.NDArray[np.intp], shares: Floats
    ) -> tuple[Floats, Floats, Floats]:
        """Return CIELAB's f and its slope by XYZ, (3, n), and those of XYZ, (3, tubes, n).

        With the weights in the curves beforehand, all slopes are one product; that is less
        work than to gather the curves of each mix.
        """
        ratio, scatter = self._ratio(members, shares)
        by_curves = np.empty((2 * BANDS, members.shape[1]), np.float32)
        by_ratio, root = by_curves[:BANDS], by_curves[BANDS:]
        _root(ratio, root)
        out = np.add(ratio, root, out=by_ratio)  # less 1: 1 / R, inside the film
        out = 1.0 / (out + np.float32(1.0 - self.k2))
        by_ratio += np.float32(1.0)
        for factor in (out, out):
            by_ratio *= factor
        for divisor in (root, scatter):
            by_ratio /= divisor
        np.multiply(by_ratio, ratio, out=root)
        lightness, slope = _lightness_root(product(self.weights, out) + self.shine)
        by_tube = product(self.weighted, by_curves)
        return lightness, slope, by_tube.reshape(3, self.curves.shape[1], members.shape[1])

    def _ratio(self, members: npt.NDArray[np.intp], shares: Floats) -> tuple[Floats, Floats]:
        """Return K/S and S of each mix, (31, n)."""
        full = np.zeros((self.curves.shape[1], members.shape[1]), np.float32)
        full[members, np.arange(members.shape[1])] = shares
        mixed = product(self.curves, full)
        mixed[:BANDS] /= mixed[BANDS:]
        return mixed[:BANDS], mixed[BANDS:]


def _root(ratio: Floats, into: Floats) -> None:
    """Write sqrt(q (q + 2)) of K/S; in place, since fresh memory costs more than the sum."""
    np.add(ratio, np.float32(2.0), out=into)
    into *= ratio
    np.sqrt(into, out=into)


def _lightness_root(xyz: Floats) -> tuple[Floats, Floats]:
    """Return CIELAB's f of XYZ over its white, and its slope."""
    root = np.cbrt(xyz)
    light = xyz > EPSILON
    return (
        np.where(light, root, (np.float32(KAPPA) * xyz + np.float32(16.0)) / np.float32(116.0)),
        np.where(light, np.float32(1.0) / (3.0 * root * root), np.float32(KAPPA / 116.0)),
    )


def _lab_of_root(root: Floats, offset: float) -> Floats:
    """Return Lab from CIELAB's f, (3, ...); of its slopes, with no offset."""
    x, y, z = root
    lab = np.empty_like(root)
    lab[0] = np.float32(116.0) * y - np.float32(offset)
    lab[1] = np.float32(500.0) * (x - y)
    lab[2] = np.float32(200.0) * (y - z)
    return lab


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


# What a recipe may be made of: each tube, and let-downs of the strong ones in white.

LET_DOWN_WHITE_PARTS = 9
"""White to one part of tube in a let-down (common practice)."""

STRONG_DELTA_E_00 = 12.0
"""A tube is strong when one part in 32 of white moves the white this far (our own choice)."""

LET_DOWN_DELTA_E_00 = 4.0
"""From so far on a let-down is worth making for pale tints: of earths too (our own choice)."""


@dataclass(frozen=True, eq=False)
class Entry:
    """One thing to lay out: ``net`` holds its parts of each tube of the box, (tubes,), sum 1."""

    tube: str
    white_parts: int
    net: Array


@dataclass(frozen=True, eq=False)
class Entries:
    """All entries of a box and what the solver asks of them, in arrays.

    ``net`` (entries, tubes) are parts of each tube in one part of the entry;
    ``palette`` holds the entries' K and S, ``tube_palette`` the tubes';
    ``tube_index`` (entries,) names each entry's own tube, ``is_let_down`` (entries,)
    says which are let-downs.
    """

    box: Box
    items: tuple[Entry, ...]
    net: Array
    palette: Palette
    tube_palette: Palette
    tube_index: npt.NDArray[np.intp]
    is_let_down: npt.NDArray[np.bool_]


def entries_of(box: Box, *, let_downs: bool = True) -> Entries:
    """List the entries of a box: its tubes in order, then, if wanted, let-downs in white."""
    items = [Entry(tube.name, 0, row) for tube, row in zip(box.tubes, _unit(box), strict=True)]
    if let_downs and any(tube.is_white for tube in box.tubes):
        white = box.white
        at_white = box.tubes.index(white)
        for index, tube in enumerate(box.tubes):
            if not tube.is_white and strength_in_white(tube, white) > LET_DOWN_DELTA_E_00:
                items.append(_let_down(tube.name, index, at_white, len(box.tubes)))
    net = np.stack([entry.net for entry in items])
    tubes = Palette.of(box.tubes, box.surface)
    names = [tube.name for tube in box.tubes]
    return Entries(
        box=box,
        items=tuple(items),
        net=net,
        palette=Palette(net @ tubes.absorption, net @ tubes.scattering, box.surface),
        tube_palette=tubes,
        tube_index=np.array([names.index(entry.tube) for entry in items]),
        is_let_down=np.array([entry.white_parts > 0 for entry in items]),
    )


def is_strong(tube: Tube, white: Tube) -> bool:
    """Say whether a touch of the tube overwhelms white."""
    return strength_in_white(tube, white) > STRONG_DELTA_E_00


def strength_in_white(tube: Tube, white: Tube) -> float:
    """Return how far one part of the tube in 32 moves the white, in dE00."""
    touched = predict([tube, white], [1.0, 31.0])
    return float(delta_e_00(touched, predict([white], [1.0])))


def _unit(box: Box) -> Sequence[Array]:
    return list(np.eye(len(box.tubes)))


def _let_down(name: str, index: int, at_white: int, tubes: int) -> Entry:
    net = np.zeros(tubes)
    net[index] = 1.0
    net[at_white] = LET_DOWN_WHITE_PARTS
    return Entry(name, LET_DOWN_WHITE_PARTS, net / net.sum())
