"""A glaze: a thin transparent layer over a dry light one, where no puddle reaches.

Light goes through a glaze, comes back from the light ground and goes through again; so a
glaze is strong in colour and light at once, where white in a puddle would dull it. What
it looks like is what Kubelka (1948) says of a film over a ground. How thick a
brush leaves it nobody knows well, and the colour hangs on that: so the doubt is told.
"""

from __future__ import annotations

import functools
import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.hues import lstar_from_value
from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.paint.box import Box, Tube
from refmatch.paint.kubelka_munk import film_over_ground, opaque_reflectance, to_measured
from refmatch.paint.library import pigments
from refmatch.plan.rules import apart, look_at
from refmatch.recipe.doubt import metric, root
from refmatch.recipe.hand import normal_draws
from refmatch.recipe.model import Laid
from refmatch.recipe.rank import TUBE_PRICE

TRANSPARENT = frozenset({"T", "ST"})
"""Opacity of the pigments that may be glazed with: transparent and half transparent."""

LIGHT_FROM = 6.0
"""The value from which a dry layer counts as a light ground (our own choice)."""

IN_WHITE: tuple[tuple[int, int], ...] = ((3, 1), (1, 1), (1, 3), (1, 7), (1, 15), (1, 31))
"""Parts of a tube and of white in the grounds tried."""

PAIRS: tuple[tuple[int, int], ...] = ((3, 1), (1, 1), (1, 3))
"""Parts in the glazes of two tubes."""

THICKNESS: Array = np.geomspace(0.003, 1.5, 28)
"""Amounts of paint on a surface, in the unit in which titanium white's scattering is 1."""

FINER: Array = np.geomspace(1.0 / 1.3, 1.3, 17)
"""About the best of those."""

FILM_LN = 0.3
"""Standard error of ln of a brushed film's thickness (our own choice)."""

SCATTERING_LN = 0.5
"""The same of a transparent paint's scattering, of which an opaque film shows little (our own)."""

GENERIC_DELTA_E_00 = 3.0
"""Standard error of a glaze's hue where nobody measured its tubes, besides its strength: generic
curves against real acrylics (own trials)."""

MOST_TURN, NEVER = 25.0, 1e3
"""Steps of Munsell hue, of 100, that a ground may lie from the target, and the price of more: a
violet is not glazed over a green."""

GAINS = 1.0
"""What a glaze must gain in dE00 over the best opaque mix to be told at all."""


@dataclass(frozen=True, eq=False)
class Glaze:
    """A transparent layer of ``laid_out`` over a dry layer of ``ground``, and how true it may come.

    ``lab`` is the colour, ``ground_lab`` that of the ground. ``over_white_lab`` is
    the same film over plain white, to try it on; ``hides`` the share of white that it hides: the
    luminance over black by that over white (the contrast ratio of ISO 6504-3). ``delta_e_00`` is
    from the target on paper; half of all tries come within ``p50``, nine in ten within ``p90``.
    """

    ground: tuple[Laid, ...]
    laid_out: tuple[Laid, ...]
    lab: Array
    ground_lab: Array
    over_white_lab: Array
    hides: float
    delta_e_00: float
    p50: float
    p90: float


class Layer(NamedTuple):
    """Paint of one mix: K and S, (31,), and the tubes and parts it is of."""

    absorption: Array
    scattering: Array
    laid_out: tuple[Laid, ...]
    tubes: tuple[Tube, ...]


def seen_over(glaze: Layer, ground: Layer, thickness: Array | float, box: Box) -> Array:
    """Return the reflectance that is seen, (..., 31), of a film over a dry opaque layer.

    ``thickness`` (...) is 0 or more. At 0 it is the ground's, without end the masstone's.
    Source: Kubelka 1948, doi:10.1364/JOSA.38.000448; the glaze wets the ground, so there is
    a skin on top only.
    """
    under = opaque_reflectance(ground.absorption / ground.scattering)
    each = np.asarray(thickness, dtype=float)[..., None]
    inner = film_over_ground(glaze.absorption, glaze.scattering, each, under)
    return to_measured(inner, box.surface)


def glaze_for(box: Box, target_lab: Array, opaque_delta_e_00: float) -> Glaze | None:
    """Return the glaze that comes nearest to a target, (3,); None where none helps.

    ``opaque_delta_e_00`` is how near the box comes with opaque puddles. A glaze helps
    where it gains `GAINS` on paper and still gains when brushed on by hand.
    """
    tries = _tries(box)
    if len(tries.labs) == 0:
        return None
    opposed = apart(tries.hue, look_at(target_lab[None]).hue) > MOST_TURN  # nan never is
    price = tries.price + np.where(opposed, NEVER, 0.0)
    objective = np.round(delta_e_00(tries.labs, target_lab) + price[..., None], 6)
    best = np.unravel_index(int(objective.argmin()), objective.shape)
    glaze, ground = tries.glazes[best[0]], tries.grounds[best[1]]
    finer = THICKNESS[best[2]] * FINER
    labs = reflectance_to_lab(seen_over(glaze, ground, finer, box))
    at = int(np.argmin(np.round(delta_e_00(labs, target_lab), 6)))
    glazed = _Glazed(glaze, ground, float(finer[at]))
    off = float(delta_e_00(labs[at], target_lab))
    brushed = _brushed(glazed, box)
    if max(off + GAINS, float(np.median(delta_e_00(brushed, target_lab)))) > opaque_delta_e_00:
        return None
    p50, p90 = _likely(glazed, brushed, target_lab)
    return _written(glazed, box, labs[at], (off, p50, p90))


class _Glazed(NamedTuple):
    glaze: Layer
    ground: Layer
    thickness: float


class _Tries(NamedTuple):
    """All that is tried: ``labs`` (glazes, grounds, thicknesses, 3), and what the tubes cost.

    ``price`` is (glazes, grounds); ``hue`` (grounds,) the grounds' Munsell hue, nan where grey.
    """

    glazes: tuple[Layer, ...]
    grounds: tuple[Layer, ...]
    labs: Array
    price: Array
    hue: Array


@functools.lru_cache(4)
def _tries(box: Box) -> _Tries:
    """Return every glaze over every light ground of a box; it does not hang on the target."""
    glazes, grounds = glazes_of(box), grounds_of(box)
    if not glazes or not grounds:
        return _Tries(glazes, grounds, np.empty((0, 3)), np.empty(0), np.empty(0))
    labs = [
        [reflectance_to_lab(seen_over(glaze, ground, THICKNESS, box)) for ground in grounds]
        for glaze in glazes
    ]
    tubes = [[len(glaze.tubes) + len(ground.tubes) for ground in grounds] for glaze in glazes]
    hue = look_at(np.array([_lab(ground, box) for ground in grounds])).hue
    return _Tries(glazes, grounds, np.array(labs), TUBE_PRICE * np.array(tubes), hue)


def glazes_of(box: Box) -> tuple[Layer, ...]:
    """Return the transparent tubes of a box and their pairs; none where no pigment is known."""
    clear = [tube for tube in box.tubes if is_transparent(tube)]
    pairs = itertools.combinations(clear, 2)
    return (
        *(_layer([tube], [1]) for tube in clear),
        *(_layer(pair, parts) for pair in pairs for parts in PAIRS),
    )


def grounds_of(box: Box) -> tuple[Layer, ...]:
    """Return the light opaque layers of a box: its white, and each tube with and without it."""
    white = next((tube for tube in box.tubes if tube.is_white), None)
    others = [tube for tube in box.tubes if not tube.is_white]
    layers = [_layer([tube], [1]) for tube in box.tubes]
    if white is not None:
        layers += [_layer([tube, white], parts) for tube in others for parts in IN_WHITE]
    return tuple(layer for layer in layers if _lab(layer, box)[0] >= lstar_from_value(LIGHT_FROM))


def is_transparent(tube: Tube) -> bool:
    """Say whether all pigments of a tube are known to be transparent, or half so."""
    known = [pigments().get(key) for key in tube.keys]
    return bool(known) and all(each is not None and each.opacity in TRANSPARENT for each in known)


def _layer(tubes: Sequence[Tube], parts: Sequence[int]) -> Layer:
    shares = np.array(parts, dtype=float) / sum(parts)
    return Layer(
        shares @ np.stack([tube.absorption for tube in tubes]),
        shares @ np.stack([tube.scattering for tube in tubes]),
        tuple(Laid(tube.name, part) for tube, part in zip(tubes, parts, strict=True)),
        tuple(tubes),
    )


def _lab(layer: Layer, box: Box) -> Array:
    inner = opaque_reflectance(layer.absorption / layer.scattering)
    return reflectance_to_lab(to_measured(inner, box.surface))


def _brushed(glazed: _Glazed, box: Box) -> Array:
    """Return the colours, (draws, 3), of one glaze brushed on many times; the draws are fixed."""
    draws = normal_draws(2)
    doubt = max(tube.doubt for tube in glazed.glaze.tubes)
    thickness = glazed.thickness * np.exp(np.hypot(FILM_LN, doubt) * draws[:, 0])
    scattering = np.exp(SCATTERING_LN * draws[:, 1:]) * glazed.glaze.scattering
    glaze = glazed.glaze._replace(scattering=scattering)
    return reflectance_to_lab(seen_over(glaze, glazed.ground, thickness, box))


def _likely(glazed: _Glazed, brushed: Array, target_lab: Array) -> tuple[float, float]:
    """Return how far off half, and nine in ten, of all tries are: brush, tubes and curves."""
    near = root(metric(target_lab))
    curves = (
        GENERIC_DELTA_E_00 if any(tube.is_generic for tube in _tubes(glazed)) else _residual(glazed)
    )
    apart = (brushed - target_lab) @ near
    apart += curves / np.sqrt(3.0) * normal_draws(5)[:, 2:]
    p50, p90 = np.percentile(np.linalg.norm(apart, axis=1), [50.0, 90.0])
    return float(p50), float(p90)


def _residual(glazed: _Glazed) -> float:
    return max(tube.residual_delta_e_00 or 0.0 for tube in _tubes(glazed))


def _tubes(glazed: _Glazed) -> tuple[Tube, ...]:
    return glazed.glaze.tubes + glazed.ground.tubes


def _written(glazed: _Glazed, box: Box, lab: Array, off: tuple[float, float, float]) -> Glaze:
    ground = _lab(glazed.ground, box)
    white = next((tube for tube in box.tubes if tube.is_white), glazed.ground.tubes[0])
    over_white = seen_over(glazed.glaze, _layer([white], [1]), glazed.thickness, box)
    white_lab = reflectance_to_lab(over_white)
    nearest, p50, p90 = off
    return Glaze(
        ground=glazed.ground.laid_out,
        laid_out=glazed.glaze.laid_out,
        lab=lab,
        ground_lab=ground,
        over_white_lab=white_lab,
        hides=_hides(glazed, box),
        delta_e_00=nearest,
        p50=p50,
        p90=p90,
    )


def _hides(glazed: _Glazed, box: Box) -> float:
    """Return the contrast ratio: luminance over perfect black by that over perfect white."""
    grounds = np.array([0.0, 1.0])[:, None]
    inner = film_over_ground(
        glazed.glaze.absorption, glazed.glaze.scattering, np.array(glazed.thickness), grounds
    )
    black, white = to_measured(inner, box.surface) @ viewing().weights[:, 1]
    return float(black / white)
