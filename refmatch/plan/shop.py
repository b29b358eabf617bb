"""What to buy for a canvas: how many tubes of each paint, what is owned put aside."""

from __future__ import annotations

from dataclasses import dataclass

from refmatch.paint.box import Box
from refmatch.paint.box_file import built_in_box
from refmatch.plan.amounts import tubes_for
from refmatch.plan.whole import WholePlan


@dataclass(frozen=True)
class ShopItem:
    """A tube of the palette: how much the canvas takes of it, and in which tubes that is sold.

    ``owned`` says whether the painter's box holds a tube of the same pigments.
    """

    tube: str
    volume_ml: float
    tubes_of_37_ml: int
    tubes_of_150_ml: int
    owned: bool


def shop_list(plan: WholePlan, owned: Box) -> tuple[ShopItem, ...]:
    """Return what a plan's canvas takes, in the palette's order; nothing without a canvas.

    Where ``owned`` is but the usual tubes, which stand in for a box that was not said, nothing is
    known to be owned.
    """
    if plan.amounts is None:
        return ()
    have = set() if is_the_usual(owned) else {tube.keys for tube in owned.tubes}
    volumes = plan.amounts.tubes_ml
    return tuple(
        ShopItem(name, volumes[name], *tubes_for(volumes[name]), plan.box.tube(name).keys in have)
        for name in plan.advice.chosen.tubes
        if name in volumes
    )


def is_the_usual(box: Box) -> bool:
    """Say whether a box is the usual tubes, as they are built in."""
    return {tube.name for tube in box.tubes} == {tube.name for tube in built_in_box().tubes}
