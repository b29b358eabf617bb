"""Tubes of an unknown painter: built-in curves made another's; paints that break the model."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array
from refmatch.paint.box import BLACKS, Tube
from refmatch.paint.kubelka_munk import Surface, film_over_ground, opaque_reflectance, to_measured
from refmatch.paint.library import pigments

THICK = 30.0
"""S X of a knife-flat film of white; a transparent colour hides by its K alone (own choice)."""


@dataclass(frozen=True)
class Breaks:
    """How far the paints leave the model; all zero for paints that keep to it.

    ``black_in_colours``: how much stronger black is in a pure colour than in white (1 is
    twice). ``film``: thickness of the film as a part of one that hides; 0 for always
    hiding. ``k1`` and ``k2`` are those of the skin.
    """

    black_in_colours: float = 0.0
    film: float = 0.0
    k1: float = 0.0308
    k2: float = 0.606


NONE = Breaks()
AS_REAL = Breaks(black_in_colours=1.0, film=1.0, k1=0.04, k2=0.596)
"""As real paints do: published and remembered sizes of the effects (from memory)."""


@dataclass(frozen=True, eq=False)
class Studio:
    """Tubes with their true K and S, (tubes, 31) each, and how they break the model."""

    tubes: tuple[Tube, ...]
    absorption: Array
    scattering: Array
    breaks: Breaks = NONE

    @property
    def white(self) -> int:
        """The number of the white."""
        return [tube.is_white for tube in self.tubes].index(True)

    def reflectance(self, parts: Array, f: float = 0.0, ground: float = 0.85) -> Array:
        """Return what is truly seen, (n, 31), of parts (n, tubes) over a ground."""
        k = (parts * self._strength(parts)) @ self.absorption
        s = parts @ self.scattering
        total = parts.sum(axis=1, keepdims=True)
        k, s = k / total, s / total
        inner = opaque_reflectance(k / s)
        if self.breaks.film:
            inner = film_over_ground(k, s, np.float64(THICK * self.breaks.film), np.float64(ground))
        return to_measured(inner, Surface(self.breaks.k1, self.breaks.k2, f))

    def lab(self, parts: Array) -> Array:
        """Return what a painter truly sees, (n, 3)."""
        return reflectance_to_lab(self.reflectance(parts))

    def _strength(self, parts: Array) -> Array:
        """Return each tube's strength in each mix: black works harder without white."""
        strength = np.ones(parts.shape)
        share = parts / parts.sum(axis=1, keepdims=True)
        for index, tube in enumerate(self.tubes):
            if BLACKS & set(tube.keys):
                colours = 1.0 - share[:, self.white] - share[:, index]
                strength[:, index] += self.breaks.black_in_colours * colours
        return strength


Maker = Callable[[Sequence[Tube], int, Breaks], Studio]
"""What makes the built-in tubes another maker's, by a seed."""


def another_painters(tubes: Sequence[Tube], seed: int, breaks: Breaks = NONE) -> Studio:
    """Return the tubes of some other maker: each curve bent at random, by ``seed``.

    Strength and scattering differ by a third or so, edges lie some nanometres off, bands are
    deeper or shallower, and a few humps are added; sizes are our own choice.
    """
    rng = np.random.default_rng(seed)
    bent = [_bent(tube, rng) for tube in tubes]
    absorption, scattering = (np.stack(curves) for curves in zip(*bent, strict=True))
    white = [tube.is_white for tube in tubes].index(True)
    unit = scattering[white]
    return Studio(tuple(tubes), absorption / unit, scattering / unit, breaks)


def _bent(tube: Tube, rng: np.random.Generator) -> tuple[Array, Array]:
    ln_k, ln_s = np.log(tube.absorption), np.log(tube.scattering)
    shifted = np.interp(WAVELENGTHS_NM - rng.normal(0.0, 5.0), WAVELENGTHS_NM, ln_k)
    deeper = shifted.mean() + (shifted - shifted.mean()) * np.exp(rng.normal(0.0, 0.12))
    level = rng.normal(0.0, 0.35)
    k = deeper + level + _humps(rng, 0.2)
    s = ln_s + rng.normal(0.0, 0.3) + _humps(rng, 0.1)
    return np.exp(k), np.exp(s)


@dataclass(frozen=True)
class Differs:
    """How far a maker's paint may lie from another's of that pigment, drawn evenly up to these.

    ``load``: a factor in how much pigment the paint holds, K and S alike. ``grind``: a factor by
    which finer pigment absorbs more and scatters less. ``edge_nm``: how far an edge may be off.
    ``bands``: how much deeper the bands may be. ``hump``: size of humps, in ln, anywhere.
    """

    load: float
    grind: float
    edge_nm: float
    bands: float
    hump: float


DIFFERS = {
    # common practice, no source: pure titanium, and blends with zinc or chalk
    "white": Differs(1.4, 1.1, 0.0, 0.1, 0.1),
    # common practice, no source: bone blacks differ by a factor of two and more
    "black": Differs(2.5, 1.4, 0.0, 0.1, 0.15),
    # common practice, no source: extended or pure, each maker's own "light" and "deep"
    "cadmium": Differs(2.0, 1.3, 12.0, 0.2, 0.15),
    # common practice, no source: natural or synthetic, raw or extended
    "earth": Differs(2.0, 1.4, 10.0, 0.25, 0.25),
    # published acrylics (Okumura 2005) beside hand-ground oils (Geldof et al. 2018): cobalt blue
    # 3.7 times as strong, edges 9 nm apart, the rest 0.5
    "mineral": Differs(2.2, 1.5, 9.0, 0.25, 0.3),
    # the same two: ultramarine 1.1 times as strong, edges 7 nm apart, bands 0.15 deeper, the rest
    # 0.3; ground finer or coarser (common practice, no source)
    "ultramarine": Differs(1.35, 1.4, 7.0, 0.15, 0.2),
    # common practice, no source: one molecule; loads differ little among artists' paints
    "organic": Differs(1.35, 1.25, 6.0, 0.15, 0.15),
}
"""By kind of pigment. Not what is believed (``paint/makers.toml``), and drawn otherwise."""

FAR_SHARE, FAR, NEAR = 0.25, 1.6, 0.45
"""So many paints differ by as much as that, the others by less: generic curves are 3 dE00 off real
paints of unknown make, but 9 in one of ten (docs/model.md, own trials)."""


def other_makers(tubes: Sequence[Tube], seed: int, breaks: Breaks = NONE) -> Studio:
    """Return the tubes of some other maker, by ``seed``, as far off as real ones: see `DIFFERS`."""
    rng = np.random.default_rng(seed)
    bent = [_made_otherwise(tube, rng) for tube in tubes]
    absorption, scattering = (np.stack(curves) for curves in zip(*bent, strict=True))
    white = [tube.is_white for tube in tubes].index(True)
    unit = scattering[white]
    return Studio(tuple(tubes), absorption / unit, scattering / unit, breaks)


def _made_otherwise(tube: Tube, rng: np.random.Generator) -> tuple[Array, Array]:
    differs = DIFFERS[pigments()[tube.keys[0]].kind]
    load, grind, edge, bands = rng.uniform(-1.0, 1.0, 4) * (
        FAR if rng.random() < FAR_SHARE else NEAR
    )
    by_load, by_grind = load * np.log(differs.load), grind * np.log(differs.grind)
    ln_k, ln_s = np.log(tube.absorption), np.log(tube.scattering)
    moved = np.interp(WAVELENGTHS_NM - edge * differs.edge_nm, WAVELENGTHS_NM, ln_k)
    deeper = moved.mean() + (moved - moved.mean()) * (1.0 + bands * differs.bands)
    k = deeper + by_load + by_grind + _humps(rng, NEAR * differs.hump)
    s = ln_s + by_load - by_grind + _humps(rng, NEAR * differs.hump)
    return np.exp(k), np.exp(s)


def _humps(rng: np.random.Generator, size: float) -> Array:
    """Return a few humps and hollows anywhere along the spectrum."""
    centres, widths = rng.uniform(400.0, 700.0, 3), rng.uniform(20.0, 80.0, 3)
    heights = rng.normal(0.0, size, 3)
    apart = (WAVELENGTHS_NM[:, None] - centres) / widths
    return np.asarray((heights * np.exp(-0.5 * apart**2)).sum(axis=1))
