"""From a painting to its easel page: which puddles there are, and in what order they are mixed.

A puddle may do for several targets: where a plan says so, or, without a plan, where two targets
are so near that what is mixed for one is as good for the other as its own recipe.
"""

from __future__ import annotations

from collections.abc import Iterator

from refmatch.colorimetry.lab import chroma, delta_e_00
from refmatch.colorimetry.words import value_words
from refmatch.painting.model import Painting, chosen_recipe
from refmatch.painting.record import rounds_of
from refmatch.plan.layers import GLAZE, LAYERS, puddle_in
from refmatch.plan.mothers import Mixed
from refmatch.plan.order import MOST_COST
from refmatch.plan.whole import WholePlan
from refmatch.say import sheet as say
from refmatch.say.recipe import laid_rows, laid_words
from refmatch.sheet.content import EaselLine

NEAR_TARGETS = 2.0
"""Targets nearer than this (dE00) may share a puddle: a hand that lays out parts is off by as
much itself (our own choice)."""


def puddles_of(painting: Painting) -> dict[int, tuple[int, ...]]:
    """Return the targets by the one whose puddle does for them, itself first; all by place.

    A target whose recipe was chosen, or whose dabs were looked at, keeps its own puddle.
    """
    first_of = _by_the_plan(painting.plan) if painting.plan else _by_colour(painting)
    shared: dict[int, list[int]] = {}
    for place in range(len(painting.targets)):
        first = place if _is_its_own(painting, place) else first_of.get(place, place)
        shared.setdefault(first, []).append(place)
    return {first: tuple(sorted(places)) for first, places in sorted(shared.items())}


def _is_its_own(painting: Painting, place: int) -> bool:
    return painting.chosen[place] != 0 or bool(rounds_of(painting, painting.targets[place].label))


def _by_the_plan(plan: WholePlan) -> dict[int, int]:
    """Return, of each target that is another's puddle as it stands, whose that is."""
    puddles = {puddle.label: puddle for puddle in plan.puddles.puddles}
    found: dict[int, int] = {}
    for puddle in plan.puddles.puddles:
        if puddle.target is None or puddle.drawn_from is None or puddle.laid_out:
            continue
        source = puddles[puddle.drawn_from].target
        if source is not None:
            found[puddle.target] = found.get(source, source)
    return found


def _by_colour(painting: Painting) -> dict[int, int]:
    found: dict[int, int] = {}
    for place in range(len(painting.targets)):
        firsts = (first for first in range(place) if first not in found)
        near = next((first for first in firsts if _does_for(painting, first, place)), None)
        if near is not None and not _is_its_own(painting, place):
            found[place] = near
    return found


def _does_for(painting: Painting, first: int, place: int) -> bool:
    """Say whether the mix of the first target is as good for another as that one's own."""
    mix, own = chosen_recipe(painting, first), chosen_recipe(painting, place)
    if mix is None or own is None or _layer(painting, first) != _layer(painting, place):
        return False
    target = painting.targets[place].lab
    if float(delta_e_00(painting.targets[first].lab, target)) > NEAR_TARGETS:
        return False
    return float(delta_e_00(mix.lab, target)) <= own.delta_e_00 + MOST_COST


def easel_lines(painting: Painting) -> tuple[EaselLine, ...]:
    """Return a line for each puddle, in the order of work."""
    lines = _planned(painting, painting.plan) if painting.plan else _alone(painting)
    return tuple(lines)


def _alone(painting: Painting) -> Iterator[EaselLine]:
    """Return each colour mixed by itself, light and clean before dark."""
    puddles = puddles_of(painting)
    order = sorted(puddles, key=lambda place: _by_layer(painting, place))
    for number, place in enumerate(order, start=1):
        yield _line(painting, puddles[place], number)


def _by_layer(painting: Painting, place: int) -> tuple[float, ...]:
    layer = _layer(painting, place)
    return list(LAYERS).index(layer) if layer else 0, *_light_first(painting, place)


def _layer(painting: Painting, place: int) -> str:
    found = puddle_in(painting.layers, place)
    return found[0].name if found else ""


def _light_first(painting: Painting, place: int) -> tuple[float, float]:
    lab = painting.targets[place].lab
    return -round(float(lab[0]), 6), -round(float(chroma(lab)), 6)


def _planned(painting: Painting, plan: WholePlan) -> Iterator[EaselLine]:
    puddles = puddles_of(painting)
    for number, puddle in enumerate(plan.puddles.puddles, start=1):
        if puddle.target is None:
            yield _only_drawn_from(puddle, number)
        elif _layer(painting, puddle.target) == GLAZE:
            yield _glazed(painting, puddle, number)
        elif puddle.target in puddles:
            yield _line(painting, puddles[puddle.target], number)


def _line(painting: Painting, places: tuple[int, ...], order: int) -> EaselLine:
    first = painting.targets[places[0]]
    recipe = chosen_recipe(painting, places[0])
    rows = laid_rows(recipe) if recipe else ()
    return EaselLine(
        order=order,
        numbers=tuple(place + 1 for place in places),
        label=say.heading(first, places[0] + 1),
        value=value_words(first.lab),
        target=first.lab,
        mix=recipe.lab if recipe else None,
        parts=tuple((str(parts), words) for parts, words in rows),
        remark=_layer(painting, places[0]) if recipe else say.NO_MIX,
    )


def _glazed(painting: Painting, puddle: Mixed, order: int) -> EaselLine:
    """Return a glaze as the order of work has it: its transparent tubes, in medium."""
    place = puddle.target or 0
    target = painting.targets[place]
    return EaselLine(
        order=order,
        numbers=(place + 1,),
        label=say.heading(target, place + 1),
        value=value_words(target.lab),
        target=target.lab,
        mix=puddle.lab,
        parts=tuple((str(laid.parts), laid_words(laid)) for laid in puddle.laid_out),
        remark=GLAZE,
    )


def _only_drawn_from(puddle: Mixed, order: int) -> EaselLine:
    return EaselLine(
        order=order,
        numbers=(),
        label=puddle.label,
        value=value_words(puddle.lab),
        target=None,
        mix=puddle.lab,
        parts=tuple((str(laid.parts), laid_words(laid)) for laid in puddle.laid_out),
        remark=say.ONLY_DRAWN_FROM,
    )
