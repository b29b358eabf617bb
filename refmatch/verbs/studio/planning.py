"""The plan of a painting on the desk, kept while the painting stays as it is."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass

from refmatch.paint.box import Box
from refmatch.painting.model import Painting
from refmatch.painting.own_box import box_of
from refmatch.recipe.amounts import Canvas
from refmatch.recipe.whole_plan import WholePlan
from refmatch.sheet.plan import plan_shown
from refmatch.sheet.plan_content import PlanShown
from refmatch.sheet.squeeze import round_the_palette
from refmatch.verbs.planning import PlanWanted, plan_of
from refmatch.verbs.studio.desk import Desk

KEPT = 8
"""So many plans are kept; a change of the painting makes the next one."""

Key = tuple[str, int, PlanWanted]


@dataclass(frozen=True, eq=False)
class PlanMade:
    """A plan, of which box, how it was asked for, and the painting's revision it is of.

    ``tubes`` is how many the palette has, ``most_tubes`` how many are on the table;
    ``order`` is that in which the palette is laid out.
    """

    plan: WholePlan
    owned: Box
    wanted: PlanWanted
    revision: int
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
            painting = desk.sitting().painting
            wanted = PlanWanted(tubes, keyed, _canvas(painting))
            key = (desk.key, painting.revision, wanted)
            if key not in self._kept:
                self._kept[key] = _made(painting, wanted)
                while len(self._kept) > KEPT:
                    self._kept.popitem(last=False)
            self._kept.move_to_end(key)
            return self._kept[key]


def plan_to_print(painting: Painting, *, keyed: bool) -> PlanShown:
    """Return the plan of a painting with the fewest tubes that do, for its sheet.

    Raises:
        UsageError: no hole. BoxError: no white, or no colour.
    """
    made = _made(painting, PlanWanted(None, keyed, _canvas(painting)))
    return plan_shown(made.plan, painting, keyed=keyed)


def _made(painting: Painting, wanted: PlanWanted) -> PlanMade:
    plan, owned = plan_of(painting, wanted), box_of(painting)
    away = painting.asked.away if painting.asked else ()
    laid_out = [tube for tube in painting.table if tube.name in plan.advice.chosen.tubes]
    return PlanMade(
        plan=plan,
        owned=owned,
        wanted=wanted,
        revision=painting.revision,
        tubes=len(plan.advice.chosen.tubes),
        most_tubes=len(owned.without(away).tubes),
        order=tuple(tube.name for tube in round_the_palette(laid_out)),
    )


def _canvas(painting: Painting) -> Canvas | None:
    canvas = painting.asked.canvas if painting.asked else None
    return Canvas(canvas.width_cm, canvas.height_cm) if canvas else None
