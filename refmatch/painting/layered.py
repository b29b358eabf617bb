"""The layers of a painting: from what is asked of its holes and what its puddles are mixed of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.oil import mediums
from refmatch.painting.asked import Asked, AskedHole, coats_of
from refmatch.plan.advise import only
from refmatch.plan.layers import FINISH, GLAZE, Coat, Paint, PaintLayer, layers_of, shine
from refmatch.plan.whole import WholePlan
from refmatch.recipe.model import Recipe

SEEN = 1.0
"""A shine that moves a colour by more than this, in dE00, is told (our own choice)."""


def layered(
    asked: Asked,
    holes: Sequence[AskedHole],
    recipes: Sequence[Recipe | None],
    labels: Sequence[str],
    *,
    box: Box,
    shares: Array,
    plan: WholePlan | None,
) -> tuple[PaintLayer, ...]:
    """Return the layers of a painting, none where nothing is asked of them.

    Args:
        asked: what is asked of the painting.
        holes: those of the targets, side by side with ``recipes``, ``labels`` and ``shares``.
        recipes: what is mixed for each, None where there is none.
        labels: what each is called.
        box: the tubes that the recipes name.
        shares: of the picture.
        plan: by which they are mixed, None where each is mixed alone.
    """
    coats = coats_of(holes)
    if not coats:
        return ()
    if plan is None:
        paints = list(_alone(recipes, labels, box, shares))
    else:
        paints = list(_by_plan(plan, labels, shares))
    own = [coats[paint.target] for paint in paints]
    layers = layers_of(paints, own)
    return tuple(_with_shine(layer, box, paints, own, asked.mixing.finish) for layer in layers)


def _alone(
    recipes: Sequence[Recipe | None], labels: Sequence[str], box: Box, shares: Array
) -> Iterator[Paint]:
    for place, (recipe, label) in enumerate(zip(recipes, labels, strict=True)):
        if recipe is not None:
            tubes = [box.tube(portion.tube) for portion in recipe.portions]
            net = np.array([portion.parts for portion in recipe.portions], dtype=float)
            yield Paint(place, label, tubes, net, float(shares[place]))


def _by_plan(plan: WholePlan, labels: Sequence[str], shares: Array) -> Iterator[Paint]:
    """Return each target's puddle as the order of work has it: a glaze is of its own tubes."""
    tubes = only(plan.box, plan.advice.chosen.tubes).tubes
    nets = {puddle.target: puddle.net for puddle in plan.puddles.puddles}
    for place, label in enumerate(labels):
        yield Paint(place, label, tubes, nets[place], float(shares[place]))


def _with_shine(
    layer: PaintLayer, box: Box, paints: Sequence[Paint], coats: Sequence[Coat], finish: str
) -> PaintLayer:
    """Say where a medium dries with another shine than mixes are told for, and how far that is."""
    if layer.name not in (FINISH, GLAZE):  # others are painted over
        return layer
    farthest: dict[str, float] = {}
    for paint, coat in zip(paints, coats, strict=True):
        if coat.layer == layer.name and coat.share > 0.0:
            off = shine(box, paint, mediums()[coat.medium], finish)
            farthest[coat.medium] = max(off, farthest.get(coat.medium, 0.0))
    flags = tuple(
        Flag(
            "medium_shines",
            layer=layer.name,
            medium=mediums()[key].name,
            shine=mediums()[key].finish,
            finish=finish,
            delta_e_00=round(off, 1),
        )
        for key, off in farthest.items()
        if off > SEEN
    )
    return replace(layer, flags=(*layer.flags, *flags))
