"""The box that a painting keeps a copy of, as its paint is looked at, and how it is mixed from."""

from __future__ import annotations

import functools
from dataclasses import replace

from refmatch.errors import BoxError
from refmatch.paint.box import Box, Tube
from refmatch.paint.box_file import box_from_toml
from refmatch.paint.kubelka_munk import FINISHES
from refmatch.paint.library import UNKNOWN_CAUTION, pigments
from refmatch.painting.asked import Asked, AskedHole, options_of
from refmatch.painting.model import Painting, TubeOnTable
from refmatch.recipe.mixture import predict
from refmatch.recipe.solve import Options
from refmatch.target import Target

SAME_PLACE_PX = 0.5
"""A hole asked for is the one punched where both lie in the same place."""


def box_of(painting: Painting) -> Box:
    """Return the painting's whole box, with the skin that the painting asks for.

    Raises:
        BoxError: the copy cannot be read.
    """
    return looked_at(box_from_toml(painting.box, "the painting's box"), painting.finish)


def looked_at(box: Box, finish: str) -> Box:
    """Return a box whose paint is looked at as ``finish`` says, one of `FINISHES`."""
    return replace(box, surface=replace(box.surface, f=FINISHES[finish]))


def on_table(painting: Painting) -> Box:
    """Return the tubes that are on the table: those of the plan, else all that are not away.

    Raises:
        BoxError: the copy cannot be read.
    """
    if painting.plan is None:
        return box_of(painting).without(painting.asked.away)
    palette = painting.plan.advice.chosen.tubes
    return replace(
        painting.plan.box,
        tubes=tuple(tube for tube in painting.plan.box.tubes if tube.name in palette),
    )


def options_for(painting: Painting, place: int) -> Options:
    """Return how the recipes of a target may look: as was asked, and from the plan's tubes."""
    asked = painting.asked
    options = options_of(asked, hole_of(painting, place))
    if painting.plan is None or (asked.plan and asked.plan.buy):
        return options
    palette, habits = painting.plan.advice.chosen.tubes, options.habits
    rest = [tube.name for tube in painting.plan.box.tubes if tube.name not in palette]
    habits = replace(
        habits,
        without=tuple(dict.fromkeys((*habits.without, *rest))),
        insist=tuple(name for name in habits.insist if name in palette),
    )
    return replace(options, habits=habits)


def hole_of(painting: Painting, place: int) -> AskedHole | None:
    """Return the hole that a target was read in, None where it was read in no hole."""
    target = painting.targets[place]
    x_px, y_px = place_in_photo(painting, target)
    near = (
        hole
        for hole in painting.asked.holes
        if hole.photo == target.photo
        and max(abs(hole.x_px - x_px), abs(hole.y_px - y_px)) < SAME_PLACE_PX
    )
    return next(near, None)


def place_in_photo(painting: Painting, target: Target) -> tuple[float, float]:
    """Return where a target lies in the whole of its photo, in pixels."""
    others = {other.name: other.frame for other in painting.others}
    frame = others.get(target.photo, painting.frame)
    return (target.x_px or 0.0) + frame.left_px, (target.y_px or 0.0) + frame.top_px


def with_another_box(asked: Asked, text: str) -> Asked:
    """Return what is asked, of another box (TOML text); of tubes that it lacks nothing is asked.

    Raises:
        BoxError: it is no box.
    """
    names = {tube.name for tube in box_from_toml(text, "the box").tubes}

    def known(tubes: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(name for name in tubes if name in names)

    holes = tuple(
        replace(hole, without=known(hole.without), insist=known(hole.insist))
        for hole in asked.holes
    )
    mixing = replace(asked.mixing, insist=known(asked.mixing.insist))
    plan = replace(asked.plan, keep=known(asked.plan.keep)) if asked.plan else None
    away = known(asked.away)
    return replace(asked, box=text, holes=holes, away=away, mixing=mixing, plan=plan)


TINT_WHITE_PARTS = 9.0
"""White to one part of tube in the tint that shows a dark tube's hue."""


@functools.lru_cache(16)
def tubes_on_table(box: Box) -> tuple[TubeOnTable, ...]:
    """Return each tube's masstone, its tint in the box's white, and its pigments' cautions.

    In a box without a white the tint is the masstone.
    """
    try:
        white = box.white
    except BoxError:
        white = None
    return tuple(_on_table(tube, white, box) for tube in box.tubes)


def _on_table(tube: Tube, white: Tube | None, box: Box) -> TubeOnTable:
    masstone = predict([tube], [1.0], box.surface)
    return TubeOnTable(
        name=tube.name,
        pigments=tube.pigments,
        is_white=tube.is_white,
        masstone=masstone,
        tint=predict([tube, white], [1.0, TINT_WHITE_PARTS], box.surface) if white else masstone,
        cautions=_cautions(tube),
    )


def _cautions(tube: Tube) -> tuple[str, ...]:
    """Return what the pigments may do; of one that is not known, that only the label says it."""
    known = (pigments().get(key) for key in tube.keys)
    cautions = [caution for pigment in known if pigment for caution in pigment.cautions]
    unknown = () if tube.is_known else (UNKNOWN_CAUTION,)
    return tuple(dict.fromkeys((*cautions, *unknown)))
