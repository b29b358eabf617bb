"""The plan of a painting on the desk, kept while the painting stays as it is."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass

from refmatch.paint.box import Box
from refmatch.painting.asked import AskedPlan
from refmatch.painting.model import Painting
from refmatch.painting.own_box import box_of
from refmatch.plan.whole import WholePlan
from refmatch.sheet.squeeze import round_the_palette
from refmatch.web.desk import Desk

KEPT = 8
"""So many plans are kept; a change of the painting makes the next one."""

Key = tuple[str, int, AskedPlan]


@dataclass(frozen=True, eq=False)
class PlanMade:
    """A plan, of which box, and the painting as it is by it.

    ``tubes`` is how many the palette has, ``most_tubes`` how many are on the table;
    ``order`` is that in which the palette is laid out.
    """

    plan: WholePlan
    owned: Box
    painting: Painting
    tubes: int
    most_tubes: int
    order: tuple[str, ...]


class Plans:
    """Makes plans, one at a time, and keeps the last few. Safe to ask from several threads."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._kept: OrderedDict[Key, PlanMade] = OrderedDict()

    def plan(self, desk: Desk, tubes: int | None, *, keyed: bool) -> PlanMade:
        """Return the plan of the painting as it stands, for the canvas that it is asked for.

        Raises:
            UsageError: no hole, or not so many tubes. BoxError: no white, or no colour.
        """
        with self._lock:
            wanted = plan_wanted(desk, tubes, keyed=keyed)
            key = (desk.key, desk.sitting().painting.revision, wanted)
            if key not in self._kept:
                self._kept[key] = _made(desk.planned(wanted))
                while len(self._kept) > KEPT:
                    self._kept.popitem(last=False)
            self._kept.move_to_end(key)
            return self._kept[key]


def plan_wanted(desk: Desk, tubes: int | None, *, keyed: bool) -> AskedPlan:
    """Return a plan to be looked at; tubes that the painting's own plan must hold stay in it."""
    own = desk.asked.plan
    return AskedPlan(keyed=keyed, tubes=tubes, keep=own.keep if own else ())


def _made(painting: Painting) -> PlanMade:
    plan, owned = painting.plan, box_of(painting)
    assert plan is not None
    laid_out = [tube for tube in painting.table if tube.name in plan.advice.chosen.tubes]
    return PlanMade(
        plan=plan,
        owned=owned,
        painting=painting,
        tubes=len(plan.advice.chosen.tubes),
        most_tubes=len(owned.without(painting.asked.away).tubes),
        order=tuple(tube.name for tube in round_the_palette(laid_out)),
    )
