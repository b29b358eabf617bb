"""How to mix a recipe by hand: hue and chroma first, strong into weak, white by touches.

White shifts and dulls what it lightens, and a strong tube overshoots at once. So
the colours are brought to a core without white, from the weakest to the strongest,
and a third of the core is kept back: with it the last step can be corrected
without starting again. Common practice of the trade, no source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.hue_names import GREY_BELOW, munsell_chroma, munsell_hue
from refmatch.colorimetry.munsell import munsell_value
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box, Tube
from refmatch.recipe.mixture import predict
from refmatch.recipe.model import Laid, Step
from refmatch.recipe.puddle import Puddle, all_of, puddle_of, white_share
from refmatch.recipe.stray import VALUE_SEEN, stray_hue

KEPT_BACK = 1.0 / 3.0
"""Share of the core kept back until white and core have met."""

FAIR_SHARE = 0.5
"""Parts beside the largest colour's from which a tube may be the one to start from."""

STRONG_SHARE = 0.75
"""The same for a tube that would swallow the largest."""

CAREFUL_FROM = 2.0
"""How many times stronger than the puddle a colour is before it goes in with care."""

TOUCH, FEW_TOUCHES = 0.1, 0.25
"""The share of the puddle under which anything goes in by touches, and a strong colour."""

KEEP_TEXT = "Keep a third of this core back."


class Move(NamedTuple):
    """One puddle to be worked into another, and how to say so."""

    action: str
    text: str
    before: Puddle
    added: Puddle


def mixing_steps(laid: Sequence[Laid], box: Box, target_lab: Array) -> tuple[Step, ...]:
    """Return what the hand does, in order, with the predicted colour after each step.

    Args:
        laid: the recipe as parts of tubes and let-downs, at least one.
        box: where the tubes are; its white makes the let-downs.
        target_lab: the colour to be reached, shape (3,).

    Each laid item goes in once, by a step whose ``tube`` and ``parts`` say so; the
    last step's colour is the recipe's. A step on which the hue strays is flagged.

    Raises:
        UnknownTube: an item is not in the box. BoxError: the box has no white.
    """
    whites = [item for item in laid if box.tube(item.tube).is_white]
    colours = in_order([item for item in laid if item not in whites], box, target_lab)
    if not colours:
        return _one_after_another(whites, box, [target_lab])
    core, white = all_of(colours, box), all_of(whites, box)
    steps = _let_downs(colours, box)
    steps += _one_after_another(colours, box, [target_lab, core.lab(box)])
    if not whites:
        return steps
    finish = _drawn_into_white if white_share(laid, box) > 0.5 else _white_last
    return steps + finish(core, whites, box, [target_lab, core.plus(white).lab(box)])


def in_order(colours: Sequence[Laid], box: Box, target_lab: Array) -> list[Laid]:
    """Return the colours as they go in: the one nearest the target's hue, then weak to strong.

    Only a colour with `FAIR_SHARE` of the largest's parts may come first, since a
    large weak colour is never worked into a little of a strong one; one that is
    `CAREFUL_FROM` times as strong as the largest needs `STRONG_SHARE`.
    """
    if not colours:
        return []
    largest = max(item.parts for item in colours)
    main = next(item for item in colours if item.parts == largest)
    most = CAREFUL_FROM * puddle_of(main, box).strength
    fair = [
        item
        for item in colours
        if item.parts
        >= (FAIR_SHARE if puddle_of(item, box).strength <= most else STRONG_SHARE) * largest
    ]
    first = min(fair, key=lambda item: _off_hue(box.tube(item.tube), box, target_lab))
    rest = [item for item in colours if item is not first]
    return [first, *sorted(rest, key=lambda item: puddle_of(item, box).strength)]


def _let_downs(colours: Sequence[Laid], box: Box) -> tuple[Step, ...]:
    """Let-downs are made first, beside the puddle."""
    return tuple(
        Step("let down", _let_down_text(item, box), item.tube, None, puddle_of(item, box).lab(box))
        for item in colours
        if item.let_down_white_parts
    )


def _one_after_another(
    items: Sequence[Laid], box: Box, goals: Sequence[Array], beside: str = ""
) -> tuple[Step, ...]:
    """Lay out the first and work the others into it."""
    first, puddle = items[0], puddle_of(items[0], box)
    text = f"Lay out {_amount(first)}{beside}."
    steps = [Step("lay out", text, first.tube, first.parts, puddle.lab(box))]
    for item in items[1:]:
        added = puddle_of(item, box)
        text = f"Add {_amount(item)}{_how(added, puddle)}."
        step = _worked_in(Move("add", text, puddle, added), box, goals)
        steps.append(replace(step, tube=item.tube, parts=item.parts))
        puddle = puddle.plus(added)
    return tuple(steps)


def _drawn_into_white(
    core: Puddle, whites: Sequence[Laid], box: Box, goals: Sequence[Array]
) -> tuple[Step, ...]:
    """Where more than half is white, the white is laid out and the core drawn into it."""
    white, kept = all_of(whites, box), core.times(KEPT_BACK)
    drawn = core.times(1.0 - KEPT_BACK)
    first = "Draw the core into the white, a touch at a time."
    last = "Draw in the kept third too, by touches, until it matches."
    return (
        Step("keep back", KEEP_TEXT, None, None, core.lab(box)),
        *_one_after_another(whites, box, goals, " beside it"),
        _worked_in(Move("draw into white", first, white, drawn), box, goals),
        _worked_in(Move("draw into white", last, white.plus(drawn), kept), box, goals),
    )


def _white_last(
    core: Puddle, whites: Sequence[Laid], box: Box, goals: Sequence[Array]
) -> tuple[Step, ...]:
    """Where half or less is white, it comes last, and the kept core corrects it."""
    puddle, kept = core.times(1.0 - KEPT_BACK), core.times(KEPT_BACK)
    steps = [Step("keep back", KEEP_TEXT, None, None, core.lab(box))]
    for item in whites:
        added = puddle_of(item, box)
        text = f"White last: {_amount(item)}, a little at a time."
        step = _worked_in(Move("white last", text, puddle, added), box, goals)
        steps.append(replace(step, tube=item.tube, parts=item.parts))
        puddle = puddle.plus(added)
    back = Move("add", "Work in the kept third until it matches.", puddle, kept)
    return (*steps, _worked_in(back, box, goals))


def _worked_in(move: Move, box: Box, goals: Sequence[Array]) -> Step:
    """Return the step of working one puddle into another, watched at eighths of the way."""
    path = np.stack([move.before.plus(move.added, n / 8.0).lab(box) for n in range(1, 9)])
    flag = stray_hue(path, move.before.lab(box), goals)
    return Step(move.action, move.text, None, None, path[-1], (flag,) if flag else ())


def _how(added: Puddle, puddle: Puddle) -> str:
    """Say how carefully a colour goes in: a strong one, or very little, never all at once."""
    whole = puddle.parts + added.parts
    if added.parts < TOUCH * whole:
        return ", in touches"
    if added.strength <= CAREFUL_FROM * puddle.strength:
        return ""
    return ", in touches" if added.parts < FEW_TOUCHES * whole else ", a little at a time"


def _off_hue(tube: Tube, box: Box, target_lab: Array) -> float:
    """Return how far a tube's hue, in masstone or tint, lies from the target's; 50 where none.

    Dark transparent tubes show their hue only in a tint; so a masstone too dark to
    read is not asked. For a target without hue all tubes are alike.
    """
    shown = np.stack([predict([tube, box.white], [1, n], box.surface) for n in (0, 4)])
    off = np.abs((munsell_hue(shown) - munsell_hue(target_lab) + 50.0) % 100.0 - 50.0)
    readable = (munsell_chroma(shown) >= GREY_BELOW) & (munsell_value(shown) >= VALUE_SEEN)
    if munsell_chroma(target_lab) < GREY_BELOW:
        return 0.0 if readable.any() else 50.0
    return float(np.where(readable, off, 50.0).min())


def _let_down_text(item: Laid, box: Box) -> str:
    """Say how much to let down, in whole parts, and how much of that goes in."""
    colour = math.ceil(item.parts / (1 + item.let_down_white_parts))
    made = (
        f"Let down {colour} {item.tube} into {colour * item.let_down_white_parts} {box.white.name}"
    )
    if item.parts == colour * (1 + item.let_down_white_parts):
        return f"{made}; use all of it."
    return f"{made}; use {item.parts} {'part' if item.parts == 1 else 'parts'} of it."


def _amount(item: Laid) -> str:
    if item.let_down_white_parts:
        return f"{item.parts} of the {item.tube} let-down"
    return f"{item.parts} {item.tube}"
