"""What is believed of a tube before its swatches are looked at, as a Gaussian in ln K and ln S.

Where the pigment is known, its generic curve, bent as tubes of one pigment differ: stronger
or weaker, more or less scattering, its edge shifted along the spectrum, its bands deeper or
shallower, and smooth bends besides. Where it is not, nearly flat curves that may bend anywhere,
so that the smoothest curves that explain the swatches are found.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import BANDS, WAVELENGTHS_NM, Array
from refmatch.errors import BoxError
from refmatch.flag import Flag
from refmatch.paint.box import GRADE_DOUBT, NEIGHBOUR, NOTHING_KNOWN, Tube, built_in_tube
from refmatch.paint.fit.swatch import LEAST_SEEN, Swatch
from refmatch.paint.kubelka_munk import GLOSS, opaque_reflectance, to_measured
from refmatch.paint.library import find_paint, key_of, pigments
from refmatch.paint.makers import Spread, spread_of
from refmatch.paint.names import Neighbour

KEPT_VARIANCE = 1e-5
"""Directions in which a belief varies less than this (ln units squared) are left out."""


KNOWN = Spread()
"""Wide enough that spectra decide wherever they say anything (own choice)."""

UNKNOWN = Spread(level=2.5, scattering=1.0, shift_nm=0.0, depth=0.0, bend=1.8, detail=0.6)
NEIGHBOURS_DIFFER = 2.0
"""A tube may lie so many times as far from its neighbour as from one of its own pigment: our own
choice."""

UNKNOWN_K, UNKNOWN_S = 0.3, 0.3
"""K and S of a tube of which nothing is known, titanium white's S being 1: a middling colour."""


@dataclass(frozen=True, eq=False)
class Belief:
    """``mean`` (62,) of ln K and ln S, and ``factor`` (62, m): curves are mean + factor @ z.

    z is of m independent numbers, each about 0 with standard deviation 1.
    """

    mean: Array
    factor: Array


MOST_MODES = 8
"""So many independent ways of being off are counted, the largest: the others are small."""


@functools.lru_cache(256)
def ways_of(tube: Tube, spread: Spread | None = None) -> Array:
    """Return the independent ways in which a tube's ln K and ln S may be off, (m, 62).

    Each is one standard error, the largest first: of a tube that was measured what its swatches
    left open, of any other what makers' paints of its pigments differ by, or ``spread`` instead.
    """
    if len(tube.modes):
        return tube.modes
    if not tube.is_generic:
        return np.full((1, 2 * BANDS), tube.doubt)
    differs = _of_grade(spread or spread_of(pigments()[key] for key in tube.keys), tube.grade)
    _, size, axes = np.linalg.svd(belief_of(tube, differs).factor.T, full_matrices=False)
    ways: Array = size[:MOST_MODES, None] * axes[:MOST_MODES]
    return ways


def _of_grade(spread: Spread, grade: str) -> Spread:
    """Return what tubes differ by where the grade, too, leaves their strength open."""
    return replace(spread, level=float(np.hypot(spread.level, GRADE_DOUBT.get(grade, 0.0))))


def belief_of(tube: Tube | None, known: Spread = KNOWN) -> Belief:
    """Return the belief in a tube, by its generic curves; None for a tube of unknown pigment.

    ``known`` is what tubes of one pigment differ by; one that only has a neighbour differs by more.
    """
    if tube is None or (tube.source == NEIGHBOUR and tube.neighbour == NOTHING_KNOWN):
        flat = np.log(np.repeat([UNKNOWN_K, UNKNOWN_S], BANDS))
        return Belief(flat, _factor(flat[:BANDS], UNKNOWN))
    mean = np.log(np.concatenate([tube.absorption, tube.scattering]))
    return Belief(
        mean, _factor(mean[:BANDS], _widened(known) if tube.source == NEIGHBOUR else known)
    )


def _widened(known: Spread) -> Spread:
    """Return what a tube and its neighbour differ by; how smoothly stays the same."""
    wide = {name: NEIGHBOURS_DIFFER * getattr(known, name) for name in WIDENED}
    return replace(known, **wide)


WIDENED = ("level", "scattering", "shift_nm", "depth", "bend", "detail", "load")


def tube_beside(
    name: str,
    pigments: Sequence[str],
    neighbour: str,
    grade: str = "artist",
    strength: float = 1.0,
) -> Tube:
    """Return a tube of pigments that nobody here knows, taken to be as its ``neighbour`` is.

    That is a pigment that is known, or `NOTHING_KNOWN`: then a middling grey that may be anything.
    What it may differ by goes with it as its modes, so that no recipe hangs on it unawares.

    Raises:
        UnknownTube: no such neighbour. BoxError: an ambiguous one, an unknown grade.
    """
    nothing = neighbour.strip().lower() == NOTHING_KNOWN
    listed = None if nothing else _listed(pigments, neighbour.strip())
    share = strength * (listed.strength if listed else 1.0)
    near = built_in_tube("carbon-black" if nothing else neighbour, name, grade, share)
    if nothing:
        k, s = np.full(BANDS, UNKNOWN_K), np.full(BANDS, UNKNOWN_S)
        near = replace(near, absorption=k, scattering=s)
    tube = replace(
        near,
        strength=strength,
        pigments=tuple(pigments),
        keys=tuple(key_of(pigment) for pigment in pigments),
        source=NEIGHBOUR,
        portions=(),
        neighbour=NOTHING_KNOWN if nothing else neighbour.strip(),
    )
    factor = belief_of(tube, _of_grade(KNOWN, grade)).factor
    _, size, axes = np.linalg.svd(factor.T, full_matrices=False)
    modes = size[:MOST_MODES, None] * axes[:MOST_MODES]
    level = modes[:, :BANDS].mean(axis=1)
    tube = replace(tube, modes=modes, doubt=float(np.sqrt((level**2).sum())))
    if listed is None:
        cost = Flag("neighbour_only", tube=name, neighbour="" if nothing else neighbour.strip())
    else:
        cost = Flag(
            "neighbour_listed",
            tube=name,
            label=listed.label,
            neighbour=listed.neighbour,
            why=listed.why,
            delta_e_00=tint_doubt(tube),
            of_neighbour=tint_doubt(near),
            known=tube.is_known,
        )
    return replace(tube, flags=(cost,))


def _listed(pigments: Sequence[str], neighbour: str) -> Neighbour | None:
    """Return what is known of a tube beside that neighbour; None where nothing is."""
    if len(pigments) != 1:
        return None
    try:
        found, beside = find_paint(pigments[0]), find_paint(neighbour)
    except BoxError:
        return None
    return found if isinstance(found, Neighbour) and found.neighbour == beside.key else None


DRAWS = 256
WHITE_PARTS = 9.0


def tint_doubt(tube: Tube) -> float:
    """Return how far a tint of a tube, 1 to 9 white, may be from what is believed: dE00, p50."""
    ways = ways_of(tube)
    draws = np.random.default_rng(0).standard_normal((DRAWS, len(ways))) @ ways
    white = pigments()["titanium-white"]
    curves = np.concatenate([tube.absorption, tube.scattering]) * np.exp(
        np.vstack([np.zeros(2 * BANDS), draws])
    )
    k = curves[:, :BANDS] + WHITE_PARTS * white.absorption
    s = curves[:, BANDS:] + WHITE_PARTS * white.scattering
    labs = reflectance_to_lab(to_measured(opaque_reflectance(k / s), GLOSS))
    return float(np.median(delta_e_00(labs[1:], labs[0])))


def belief_of_white(tube: Tube, known: Spread = KNOWN) -> Belief:
    """Return the belief in the white that S is measured by: its S is 1, only its K is open."""
    free = belief_of(tube, known)
    mean = np.concatenate([free.mean[:BANDS] - free.mean[BANDS:], np.zeros(BANDS)])
    factor = free.factor.copy()
    factor[BANDS:] = 0.0
    return Belief(mean, factor[:, np.abs(factor).max(axis=0) > 0.0])


def _factor(ln_k: Array, spread: Spread) -> Array:
    """Return the directions, (62, m), in which curves may go, each of one standard deviation."""
    contrast = ln_k - ln_k.mean()
    cov_k = (
        spread.level**2
        + _bends(spread.bend, spread.bend_nm)
        + _bends(spread.detail, spread.detail_nm)
        + _alike(spread.shift_nm * np.gradient(ln_k, WAVELENGTHS_NM))
        + _alike(spread.depth * contrast)
    )
    cov_s = spread.scattering**2 + _bends(spread.bend, spread.bend_nm)
    both = np.zeros((2 * BANDS, 2 * BANDS))
    both[:BANDS, :BANDS], both[BANDS:, BANDS:] = cov_k, cov_s
    both += spread.load**2
    values, vectors = np.linalg.eigh(both)
    kept = values > KEPT_VARIANCE
    return vectors[:, kept] * np.sqrt(values[kept])


def _bends(deviation: float, reach_nm: float) -> Array:
    """Return the covariance (31, 31) of smooth bends of a reach (squared exponential)."""
    apart = WAVELENGTHS_NM[:, None] - WAVELENGTHS_NM[None, :]
    return deviation**2 * np.exp(-0.5 * (apart / reach_nm) ** 2)


def _alike(shape: Array) -> Array:
    """Return the covariance (31, 31) of one shape added in an unknown amount of sd 1."""
    return np.outer(shape, shape)


# What swatches should look like, given curves, and how that changes with each curve.


@dataclass(frozen=True, eq=False)
class Roots:
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


def roots_of(curves: Array, parts: Array, f: Array, k1: float, k2: float) -> Roots:
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
    return Roots(root, by_ln_k, by_ln_s, by_ln_k + by_ln_s, by_measured * (f[:, None] - body))
