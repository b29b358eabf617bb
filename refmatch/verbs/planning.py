"""The plan of a painting that is there already: its targets, its box and its habits."""

from __future__ import annotations

from dataclasses import dataclass

from refmatch.errors import UsageError
from refmatch.painting.model import Painting
from refmatch.painting.own_box import box_of
from refmatch.recipe.amounts import Canvas
from refmatch.recipe.habits import Habits
from refmatch.recipe.solve import Options
from refmatch.recipe.whole_plan import WholePlan, Wish, whole_plan
from refmatch.verbs.plan import parse_canvas, shares_of


@dataclass(frozen=True)
class PlanWanted:
    """How a painting is planned: how many tubes (None for the fewest that do), key and canvas."""

    tubes: int | None = None
    keyed: bool = True
    canvas: Canvas | None = None


def plan_wanted(
    tubes: int | None, canvas: str | None, *, keyed: bool, told: bool
) -> PlanWanted | None:
    """Return how a sheet's plan is asked for, None where it is not told.

    Raises:
        UsageError: it is not told, and something is asked of it; or no canvas is so large.
    """
    if told:
        return PlanWanted(tubes, keyed, parse_canvas(canvas) if canvas else None)
    if tubes is not None or canvas is not None or not keyed:
        raise UsageError(
            "The sheet tells no plan; add --plan, or leave out --palette, --canvas and --no-key."
        )
    return None


def plan_of(painting: Painting, wanted: PlanWanted) -> WholePlan:
    """Return the plan of a painting, its targets in their order.

    Raises:
        UsageError: no target, or not so many tubes. BoxError: the box has no white, or no colour.
    """
    shares, _ = shares_of(painting.targets, painting.families)
    return whole_plan(
        Wish(
            targets=painting.targets,
            shares=shares,
            box=box_of(painting),
            count=wanted.tubes,
            keyed=wanted.keyed,
            canvas=wanted.canvas,
            options=_options(painting),
        )
    )


def _options(painting: Painting) -> Options:
    """Return how the painting's recipes were asked for, on the page or at the prompt."""
    if painting.asked is None:
        return painting.options or Options()
    mixing = painting.asked.mixing
    habits = Habits(
        without=painting.asked.away,
        easy_on_black=mixing.easy_on_black,
        no_white_in_darks=mixing.no_white_in_darks,
        no_stray_green=mixing.no_stray_green,
    )
    return Options(mixing.tubes, mixing.total, habits)
