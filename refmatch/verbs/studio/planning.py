"""The plan of a painting on the desk, kept while the painting stays as it is."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass

from refmatch.painting.asked import AskedPlan
from refmatch.painting.model import Painting
from refmatch.painting.own_box import box_of
from refmatch.sheet.plan import plan_shown
from refmatch.sheet.plan_content import PlanShown
from refmatch.verbs.studio.desk import Desk

KEPT = 8
"""So many plans are kept; a change of the painting makes the next one."""

Key = tuple[str, int, AskedPlan]


@dataclass(frozen=True, eq=False)
class PlanMade:
    """A plan as it is shown, and the painting as it is by it.

    ``tubes`` is how many the palette has, ``most_tubes`` how many are on the table.
    """

    shown: PlanShown
    painting: Painting
    tubes: int
    most_tubes: int


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
    assert painting.plan is not None
    return PlanMade(
        shown=plan_shown(painting.plan, painting),
        painting=painting,
        tubes=len(painting.plan.advice.chosen.tubes),
        most_tubes=len(box_of(painting).without(painting.asked.away).tubes),
    )
