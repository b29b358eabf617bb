"""From every target's own recipe to a plan of work: few mother puddles, and what is drawn.

Nobody fills a palette hole by hole from the tubes. A painter mixes a few puddles and
draws their neighbours from them: what comes from one puddle belongs together, and the
knife has less to do.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from refmatch.plan.draws import all_draws, goals_of, things_of
from refmatch.plan.mothers import FROM_TUBES, Costs, Draw, Mother, Plan, Set, choose
from refmatch.plan.order import written
from refmatch.recipe.mixture import Entries
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
    found = all_draws(entries, asked.parts, mothers, goals)
    opening = np.array([FROM_TUBES + things_of(entries, mother.parts) for mother in mothers])
    drawing = [[np.inf if draw is None else draw.work for draw in row] for row in found]
    chosen = _chosen(Costs(opening, np.array(drawing)), mothers, found)
    return written(entries, asked, chosen)


def _mothers(entries: Entries, asked: Set) -> list[Mother]:
    """Return every target's own recipe, then its other recipes, then all their cores."""
    white = np.array([tube.is_white for tube in entries.box.tubes])[entries.tube_index]
    recipes = [*enumerate(asked.parts), *asked.others]
    found = [_mother(entries, asked.labels[place], parts, place) for place, parts in recipes]
    seen: set[tuple[int, ...]] = set()
    for place, parts in recipes:
        core = np.where(white, 0, parts)
        core = core // max(1, int(np.gcd.reduce(core)))
        plain = (core > 0).sum() >= 2 and not (core[entries.is_let_down] > 0).any()
        if plain and tuple(core) not in seen:
            seen.add(tuple(core))
            found.append(_mother(entries, asked.labels[place], core, None))
    return found


def _mother(entries: Entries, label: str, parts: Indices, target: int | None) -> Mother:
    net = parts @ entries.net
    net = net / net.sum()
    return Mother(label, target, parts, net, entries.tube_palette.lab(net))


def _chosen(
    costs: Costs, mothers: Sequence[Mother], found: Sequence[Sequence[Draw | None]]
) -> list[tuple[Mother, dict[int, Draw]]]:
    """Return the mothers of least work, each with what is drawn from it by the target's place."""
    choice = choose(costs)
    serves = choice.serves.tolist()
    return [
        (
            mothers[at],
            {
                place: draw
                for place, (own, draw) in enumerate(zip(serves, found[at], strict=True))
                if own == at and draw is not None
            },
        )
        for at in choice.mothers.tolist()
    ]
