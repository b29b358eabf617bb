"""Layers from the canvas up: fat over lean, and how long each dries.

A painting in oil is built in layers. Oil paint shrinks and stiffens for years as it dries, and the
more oil, the longer: what lies above must bring no less of it than what lies below, or it cracks
(fat over lean); nor may it dry before what is below. Both are the trade's rules (common practice,
no source). What they are told from are the oil that each pigment takes up and the medium
worked in, by volume as it is brushed on: solvent counts as room without oil, as the trade counts
it, though it leaves the film and with it the share of oil in the dry paint unchanged.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube
from refmatch.paint.kubelka_munk import FINISHES
from refmatch.paint.oil import UNKNOWN, Days, Medium, in_oil, mediums, oil_of, oil_share
from refmatch.plan.amounts import FILM_UM
from refmatch.recipe.mixture import predict

FINISH, GLAZE = "finish", "glaze"

LAYERS: dict[str, float] = {
    "underpainting": 30.0,
    "block-in": 60.0,
    FINISH: FILM_UM,
    GLAZE: 20.0,
}
"""The layers from the canvas up, and how thick a brush leaves them, in micrometres: a scrubbed-in
wash, thin paint, paint as it comes, a film drawn out (common practice, no source)."""

NONE = "none"
"""The word for no medium."""

LEANER = 0.03
"""How much less oil, of 1 by volume, is told as leaner: the oil absorptions that handbooks give for
one pigment differ by about twice that, and a layer is a mean of several (own choice)."""

IN_FIVES = 0.05
"""Advice is given in twentieths of a puddle: finer nobody measures at the palette."""

LEAST_DAYS = 0.25
"""No oil film is dry to the touch sooner (own choice)."""

UNKNOWN_FROM = 0.2
"""The share of paint of unknown pigment from which it is said (own choice)."""


@dataclass(frozen=True)
class Coat:
    """The layer that a puddle is for, one of `LAYERS`, its medium, and how much, 0 to 1."""

    layer: str = FINISH
    medium: str = NONE
    share: float = 0.0


@dataclass(frozen=True, eq=False)
class Paint:
    """The paint of the target at a place: parts (tubes,) of tubes, and its share of the picture."""

    target: int
    label: str
    tubes: Sequence[Tube]
    net: Array
    share: float


@dataclass(frozen=True)
class Brushed:
    """A puddle in its layer, for the target at a place: what is worked in, its oil, its drying.

    ``oil`` is that of the puddle, 0 to 1 by volume; ``days`` to touch-dry, shortest and longest.
    """

    target: int
    label: str
    medium: str
    share: float
    oil: float
    days: tuple[float, float]


@dataclass(frozen=True)
class PaintLayer:
    """A layer: its puddles, the oil in all of it (0 to 1), and when all of it is dry to the touch.

    ``slowest`` is the label of the puddle that dries last. ``flags`` say what is against the
    trade's rules, and what the mediums do.
    """

    name: str
    film_um: float
    puddles: tuple[Brushed, ...]
    oil: float
    days: tuple[float, float]
    slowest: str
    flags: tuple[Flag, ...] = ()

    @property
    def most_medium(self) -> float:
        """The largest share of medium in any of its puddles."""
        return max((puddle.share for puddle in self.puddles), default=0.0)

    @property
    def is_fattened(self) -> bool:
        """Whether a medium with oil is worked into any of its puddles."""
        return any(p.share > 0.0 and mediums()[p.medium].oil > 0.0 for p in self.puddles)


def coat(layer: str, medium: str = "", share: float | None = None) -> Coat:
    """Return a coat as it is asked for; without a share as much of the medium as is usual.

    Raises:
        UsageError: no such layer or medium, or a share that is not offered.
    """
    key = medium or NONE
    if layer and layer not in LAYERS:
        raise UsageError("no_such_layer", layer=layer, known=tuple(LAYERS))
    if key not in mediums():
        raise UsageError("no_such_medium", medium=medium, known=tuple(mediums()))
    part = mediums()[key].usual if share is None else share
    if not 0.0 <= part <= 0.9 or (key == NONE and part > 0.0):
        raise UsageError("medium_share_not_offered", medium=medium, percent=100.0 * part)
    return Coat(layer or FINISH, key, part)


def film_um(coat: Coat) -> float:
    """Return how thick the film of a coat is as it is brushed, in micrometres."""
    body = mediums()[coat.medium].body
    return LAYERS[coat.layer] * (1.0 + (body - 1.0) * (coat.share > 0.0))


def oil_in(paint: Paint, coat: Coat) -> float:
    """Return the oil of a puddle as it is brushed on, 0 to 1 by volume."""
    own = oil_share(paint.tubes, paint.net.tolist())
    return (1.0 - coat.share) * own + coat.share * mediums()[coat.medium].oil


def days_of(paint: Paint, coat: Coat) -> Days:
    """Return the days to touch-dry of a puddle as its layer has it.

    Thin films dry sooner, between as their thickness and its root; thick ones later, between as it
    and its square, as where air must come through a skin (own choice).
    """
    shortest, longest = _pace(paint, coat)
    thick = film_um(coat) * (1.0 - coat.share * mediums()[coat.medium].solvent) / FILM_UM
    slower = max(thick**0.5, thick**2)
    return Days(max(LEAST_DAYS, shortest * thick), max(LEAST_DAYS, longest * slower))


def _pace(paint: Paint, coat: Coat) -> tuple[float, float]:
    """Return the days to touch-dry of a usual film of a puddle and its medium.

    Speeds add up by the shares of what stays in the film, so a little of a drier hurries all
    (own choice).
    """
    medium = mediums()[coat.medium]
    rates = np.zeros(2)
    for tube, part in zip(paint.tubes, paint.net / paint.net.sum(), strict=True):
        known = oil_of(tube)
        for each in known:
            rates += (1.0 - coat.share) * part / len(known) / np.array(each.days)
    stays = coat.share * (1.0 - medium.solvent)
    if stays > 0.0:
        rates += stays / np.array(medium.days)
    shortest, longest = (1.0 - coat.share + stays) / rates
    return float(shortest), float(longest)


def layers_of(paints: Sequence[Paint], coats: Sequence[Coat]) -> tuple[PaintLayer, ...]:
    """Return the layers that there are, from the canvas up; paints and coats run side by side."""
    layers: list[PaintLayer] = []
    paces: list[tuple[float, float]] = []
    for name, film in LAYERS.items():
        places = [place for place, each in enumerate(coats) if each.layer == name]
        if not places:
            continue
        puddles = tuple(_brushed(paints[place], coats[place]) for place in places)
        weights = [max(paints[place].share, 1e-6) for place in places]
        slowest = max(puddles, key=lambda puddle: puddle.days[1])
        made = PaintLayer(
            name=name,
            film_um=film,
            puddles=puddles,
            oil=float(np.average([puddle.oil for puddle in puddles], weights=weights)),
            days=(max(puddle.days[0] for puddle in puddles), slowest.days[1]),
            slowest=slowest.label,
        )
        pace = max(_pace(paints[place], coats[place]) for place in places)
        flags = [*_leaner(made, layers), *_quicker(made, pace, layers, paces)]
        flags += [*_beyond(puddles), *_not_known(paints, places)]
        layers.append(replace(made, flags=tuple(dict.fromkeys(flags))))
        paces.append(pace)
    return tuple(layers)


def _brushed(paint: Paint, coat: Coat) -> Brushed:
    days, oil = days_of(paint, coat), oil_in(paint, coat)
    return Brushed(paint.target, paint.label, coat.medium, coat.share, oil, (days[0], days[1]))


def _leaner(layer: PaintLayer, below: Sequence[PaintLayer]) -> Iterator[Flag]:
    """Say where a layer is leaner than one below it."""
    fattest = max(below, key=lambda other: other.oil, default=None)
    if fattest is not None and layer.oil < fattest.oil - LEANER:
        yield Flag(
            "lean_over_fat",
            layer=layer.name,
            below=fattest.name,
            oil_percent=round(100.0 * layer.oil),
            below_percent=round(100.0 * fattest.oil),
            add_percent=_percent(
                (fattest.oil - layer.oil) / (1.0 - layer.oil), "linseed", layer.most_medium
            ),
            thin_percent=_percent(1.0 - layer.oil / fattest.oil, "solvent", fattest.most_medium),
            has_medium=layer.most_medium > 0.0,
            is_fattened=fattest.is_fattened,
        )


def _quicker(
    layer: PaintLayer,
    pace: tuple[float, float],
    below: Sequence[PaintLayer],
    paces: Sequence[tuple[float, float]],
) -> Iterator[Flag]:
    """Say where a layer's paint, film for film, surely dries before that of one below it."""
    slow = [(own[0], other) for own, other in zip(paces, below, strict=True) if pace[1] < own[0]]
    for _, other in sorted(slow, key=lambda pair: -pair[0])[:1]:
        yield Flag("quick_over_slow", layer=layer.name, below=other.name, days=other.days)


def _percent(share: float, medium: str, besides: float) -> int | None:
    """Return a share of a medium in per cent, up to a twentieth; None where that is too much.

    ``besides`` is the share of medium that the paint has already: with it, too, there may be no
    more than the most.
    """
    up = math.ceil(round(share / IN_FIVES, 6)) * IN_FIVES
    whole = up + besides * (1.0 - up)
    return round(100.0 * up) if whole <= mediums()[medium].most + 1e-9 else None


def _beyond(puddles: Sequence[Brushed]) -> Iterator[Flag]:
    for puddle in puddles:
        medium = mediums()[puddle.medium]
        if puddle.share > medium.most + 1e-9:
            yield Flag(
                "too_much_medium",
                label=puddle.label,
                medium=medium.name,
                percent=round(100.0 * puddle.share),
                most_percent=round(100.0 * medium.most),
                underbinds=medium.oil == 0.0,
            )


def _not_known(paints: Sequence[Paint], places: Sequence[int]) -> Iterator[Flag]:
    named: list[str] = []
    for place in places:
        paint = paints[place]
        for tube, part in zip(paint.tubes, paint.net / paint.net.sum(), strict=True):
            if part >= UNKNOWN_FROM and any(key not in in_oil() for key in tube.keys or ("",)):
                named.append(tube.name)
    if named:
        yield Flag("drying_not_known", tubes=tuple(dict.fromkeys(named)), days=tuple(UNKNOWN.days))


def shine(box: Box, paint: Paint, medium: Medium, finish: str) -> float:
    """Return how far a medium's shine moves a colour from the finish that mixes are told for, dE00.

    A medium is clear: it parts the grains of the pigment, K and S fall alike and their ratio
    stays, so a film that hides keeps its colour; what is another is the skin.
    """
    if not medium.finish or medium.finish == finish:
        return 0.0
    labs = [
        predict(paint.tubes, paint.net.tolist(), replace(box.surface, f=FINISHES[each]))
        for each in (finish, medium.finish)
    ]
    return float(delta_e_00(labs[0], labs[1]))


def order_of(coat: Coat) -> int:
    """Return a coat's place in the order of work, from the canvas up."""
    return list(LAYERS).index(coat.layer)


def layer_at(order: int) -> str:
    """Return the layer at a place in the order of work; glazes come last, each at its own."""
    return list(LAYERS)[min(order, len(LAYERS) - 1)]


def puddle_in(layers: Sequence[PaintLayer], target: int) -> tuple[PaintLayer, Brushed] | None:
    """Return the puddle of the target at a place, and its layer; None where there are no layers."""
    pairs = ((layer, puddle) for layer in layers for puddle in layer.puddles)
    return next((pair for pair in pairs if pair[1].target == target), None)


def painted(coats: Sequence[Coat], shares: Array) -> Array:
    """Return the paint of each target, (targets,), medium left out, beside the canvas's usual film.

    Each layer covers the canvas by its own targets' shares (targets,); a glaze only what it is for.
    """
    films = np.array([film_um(each) * (1.0 - each.share) for each in coats]) / FILM_UM
    names = np.array([each.layer for each in coats])
    covers = np.asarray(shares, dtype=float).copy()
    for name in set(names.tolist()):
        own = names == name
        whole = covers[own].sum()
        covers[own] /= whole if name != GLAZE or whole > 1.0 else 1.0
    return films * covers
