"""From every target's own recipe to a plan of work: few mother puddles, and what is drawn.

Nobody fills a palette hole by hole from the tubes. A painter mixes a few puddles and
draws their neighbours from them: what comes from one puddle belongs together, and the
knife has less to do. Light and clean come before dark, so that knife and palette stay clean;
each mother before what is drawn from it, and of those the lighter first. Where the painting has
layers, each layer's puddles are planned apart, from the canvas up. Common practice, no source.
"""

from __future__ import annotations

import string
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from refmatch.colorimetry.lab import chroma, delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Tube
from refmatch.paint.library import pigments
from refmatch.plan.draws import all_draws, goals_of, things_of
from refmatch.plan.mothers import FROM_TUBES, Costs, Draw, Mixed, Mother, Plan, Set, choose
from refmatch.recipe.mixture import Entries
from refmatch.recipe.model import Laid
from refmatch.recipe.subsets import Indices

MOST_COST = 1.0
"""How much farther off, in dE00, a drawn puddle may be than the target's own recipe: about
what half of all people just see (our own choice)."""


def plan_puddles(entries: Entries, asked: Set, most_cost: float = MOST_COST) -> Plan:
    """Return the plan: what is mixed from tubes, what is drawn from it, in order.

    Args:
        entries: of the box.
        asked: the targets, at least one; all recipes hold at least one part.
        most_cost: what drawing may cost in dE00 beside a target's own recipe. Where a
            target is out of reach, its own recipe's colour stands for it.
    """
    mothers = _mothers(entries, asked)
    goals = goals_of(asked, mothers, most_cost)
    draws = _within_layers(asked, mothers, all_draws(entries, asked.parts, mothers, goals))
    opening = np.array([FROM_TUBES + things_of(entries, mother.parts) for mother in mothers])
    drawing = [[np.inf if draw is None else draw.work for draw in row] for row in draws]
    chosen = _chosen(Costs(opening, np.array(drawing)), mothers, draws)
    return written(entries, asked, chosen)


def _within_layers(
    asked: Set, mothers: Sequence[Mother], draws: Sequence[Sequence[Draw | None]]
) -> Sequence[Sequence[Draw | None]]:
    """Let nothing be drawn from a puddle of another layer: by then that is dry."""
    if not asked.layers:
        return draws
    return [
        [
            draw if layer == mother.layer else None
            for draw, layer in zip(row, asked.layers, strict=True)
        ]
        for mother, row in zip(mothers, draws, strict=True)
    ]


def _mothers(entries: Entries, asked: Set) -> list[Mother]:
    """Return every target's own recipe, then its other recipes, then all their cores."""
    white = np.array([tube.is_white for tube in entries.box.tubes])[entries.tube_index]
    recipes = [*enumerate(asked.parts), *asked.others]
    mothers = [_mother(entries, asked, parts, (place, place)) for place, parts in recipes]
    cores: set[tuple[int, ...]] = set()
    for place, parts in recipes:
        core = np.where(white, 0, parts)
        core = core // max(1, int(np.gcd.reduce(core)))
        plain = (core > 0).sum() >= 2 and not (core[entries.is_let_down] > 0).any()
        key = (_layer_of(asked, place), *core.tolist())
        if plain and key not in cores:
            cores.add(key)
            mothers.append(_mother(entries, asked, core, (place, None)))
    return mothers


def _mother(entries: Entries, asked: Set, parts: Indices, of: tuple[int, int | None]) -> Mother:
    place, target = of
    net = parts @ entries.net
    net, layer = net / net.sum(), _layer_of(asked, place)
    return Mother(asked.labels[place], target, parts, net, entries.tube_palette.lab(net), layer)


def _layer_of(asked: Set, place: int) -> int:
    return asked.layers[place] if asked.layers else 0


def _chosen(
    costs: Costs, mothers: Sequence[Mother], draws: Sequence[Sequence[Draw | None]]
) -> list[tuple[Mother, dict[int, Draw]]]:
    """Return the mothers of least work, each with what is drawn from it by the target's place."""
    choice = choose(costs)
    serves = choice.serves.tolist()
    return [
        (
            mothers[at],
            {
                place: draw
                for place, (own, draw) in enumerate(zip(serves, draws[at], strict=True))
                if own == at and draw is not None
            },
        )
        for at in choice.mothers.tolist()
    ]


# How fast a puddle skins over in oil, by what is in it.
#
# Some pigments hurry the oil along (manganese in umbers, cobalt, lead), and a good
# share of one hurries the whole puddle. Common practice, no source; the built-in
# pigments' own drying is from memory. Acrylics skin over in minutes whatever is in them.

HURRIES_FROM = 0.2
"""The share of fast driers from which the whole puddle dries fast (our own choice)."""

HOLDS_BACK_FROM = 0.5
"""The share of slow driers from which a puddle without fast ones dries slowly (our own choice)."""


def dries(tubes: Sequence[Tube], net: Array) -> str | None:
    """Return "fast", "middle" or "slow" for shares (tubes,) of some tubes.

    None where more than `HURRIES_FROM` is of tubes whose pigments are not known.
    """
    share = {"F": 0.0, "M": 0.0, "S": 0.0, "": 0.0}
    for tube, part in zip(tubes, net / net.sum(), strict=True):
        for key in tube.keys or ("",):
            known = pigments().get(key)
            share[known.drying if known else ""] += float(part) / max(1, len(tube.keys))
    if share["F"] >= HURRIES_FROM:
        return "fast"
    if share[""] > HURRIES_FROM:
        return None
    return "slow" if share["S"] >= HOLDS_BACK_FROM else "middle"


def hurries(tube: Tube) -> bool:
    """Say whether a tube holds a pigment that dries fast."""
    known = [pigments().get(key) for key in tube.keys]
    return any(pigment is not None and pigment.drying == "F" for pigment in known)


Chosen = Sequence[tuple[Mother, Mapping[int, Draw]]]
"""Mothers, each with what is drawn from it, by the target's place in the set."""


def written(entries: Entries, asked: Set, chosen: Chosen) -> Plan:
    """Write the chosen mothers and what is drawn from them up as a plan of work."""
    ordered = _named(asked, sorted(chosen, key=lambda pair: _first(pair[0])))
    puddles = tuple(_in_order(entries, asked, ordered))
    laid_out = sum(len(p.laid_out) + _let_downs(p.laid_out) + _is_drawn(p) for p in puddles)
    alone = sum(things_of(entries, parts) for parts in asked.parts)
    fast = tuple(puddle.label for puddle in puddles if puddle.dries == "fast")
    return Plan(
        puddles=puddles,
        from_tubes=len(ordered),
        alone=len(asked.labels),
        laid_out=laid_out,
        laid_out_alone=alone,
        mean_delta_e_00=_mean(asked, [(p.target, p.delta_e_00) for p in puddles]),
        mean_alone_delta_e_00=_mean(asked, [(p.target, p.alone_delta_e_00) for p in puddles]),
        skins_first=fast,
        hurries=_hurrying(entries, puddles),
    )


def _named(asked: Set, chosen: Chosen) -> Chosen:
    """Name each mother by the target whose puddle it is, the others mother A, B ... in order."""
    letters = (*string.ascii_uppercase, *map(str, range(1, len(chosen) + len(asked.labels) + 1)))
    names = (name for letter in letters if (name := f"mother {letter}") not in asked.labels)
    named = []
    for mother, drawn in chosen:
        place = _own(mother, drawn)
        label = next(names) if place is None else asked.labels[place]
        named.append((replace(mother, label=label, target=place), drawn))
    return named


def _own(mother: Mother, drawn: Mapping[int, Draw]) -> int | None:
    """Return the target that a mother is the puddle of as it is; None where it is of none."""
    if mother.target in drawn:
        return mother.target
    same = [place for place, draw in drawn.items() if not draw.added.any()]
    return min(same, key=lambda place: (round(drawn[place].work, 9), place), default=None)


def _hurrying(entries: Entries, puddles: Sequence[Mixed]) -> tuple[str, ...]:
    """Return the tubes that make puddles skin over fast, in the order of the box."""
    tubes = entries.box.tubes
    much = np.array([p.net for p in puddles if p.dries == "fast"] or [np.zeros(len(tubes))])
    return tuple(
        tube.name
        for tube, share in zip(tubes, much.max(axis=0), strict=True)
        if share >= HURRIES_FROM / 2.0 and hurries(tube)
    )


def _is_drawn(puddle: Mixed) -> bool:
    """Say whether another puddle is taken of, and something worked into it."""
    return puddle.drawn_from is not None and bool(puddle.laid_out)


def _let_downs(laid: Sequence[Laid]) -> int:
    return sum(item.let_down_white_parts > 0 for item in laid)


def laid_of(entries: Entries, parts: Indices) -> tuple[Laid, ...]:
    """List what is laid out, most first."""
    return tuple(
        Laid(entries.items[i].tube, int(parts[i]), entries.items[i].white_parts)
        for i in np.argsort(-parts, kind="stable")
        if parts[i] > 0
    )


def _in_order(entries: Entries, asked: Set, chosen: Chosen) -> Iterator[Mixed]:
    shares = np.asarray(asked.shares, dtype=float) / np.sum(asked.shares)
    for mother, drawn in chosen:
        others = {place: draw for place, draw in drawn.items() if place != mother.target}
        yield _from_tubes(entries, asked, mother, _needed(mother, others, shares))
        for place, draw in sorted(others.items(), key=lambda item: _light_first(item[1].lab)):
            yield _drawn(entries, asked, (mother, place, draw), float(shares[place]))


def _first(mother: Mother) -> tuple[float, ...]:
    """Return the order of work: by layer, and in each light and clean before dark."""
    return mother.layer, *_light_first(mother.lab)


def _light_first(lab: Array) -> tuple[float, float]:
    return -round(float(lab[0]), 6), -round(float(chroma(lab)), 6)


def _needed(mother: Mother, drawn: Mapping[int, Draw], shares: Array) -> float:
    """Return how much of all the paint a mother must be mixed of."""
    own = 0.0 if mother.target is None else float(shares[mother.target])
    return own + sum(
        float(shares[place]) * draw.of_it / (draw.of_it + int(draw.added.sum()))
        for place, draw in drawn.items()
    )


def _from_tubes(entries: Entries, asked: Set, mother: Mother, share: float) -> Mixed:
    laid = laid_of(entries, mother.parts)
    place = mother.target
    alone = None if place is None else entries.tube_palette.lab(asked.parts[place] @ entries.net)
    return Mixed(
        label=mother.label,
        drawn_from=None,
        of_it=0,
        laid_out=laid,
        net=mother.net,
        lab=mother.lab,
        target=place,
        delta_e_00=_off(asked, place, mother.lab),
        alone_delta_e_00=_off(asked, place, alone),
        share=share,
        dries=dries(entries.box.tubes, mother.net),
        layer=mother.layer,
    )


def _drawn(entries: Entries, asked: Set, made: tuple[Mother, int, Draw], share: float) -> Mixed:
    mother, place, draw = made
    laid = laid_of(entries, draw.added)
    own = asked.parts[place] @ entries.net
    return Mixed(
        label=asked.labels[place],
        drawn_from=mother.label,
        of_it=draw.of_it,
        laid_out=laid,
        net=draw.net,
        lab=draw.lab,
        target=place,
        delta_e_00=_off(asked, place, draw.lab),
        alone_delta_e_00=_off(asked, place, entries.tube_palette.lab(own)),
        share=share,
        dries=dries(entries.box.tubes, draw.net),
        layer=mother.layer,
    )


def _off(asked: Set, place: int | None, lab: Array | None) -> float | None:
    return None if place is None or lab is None else float(delta_e_00(lab, asked.labs[place]))


def _mean(asked: Set, distances: Sequence[tuple[int | None, float | None]]) -> float:
    """Return the mean over the targets by their shares."""
    pairs = [(place, off) for place, off in distances if place is not None and off is not None]
    weights = [asked.shares[place] for place, _ in pairs]
    return float(np.average([off for _, off in pairs], weights=weights))
