"""How to mix a recipe by hand: hue and chroma first, strong into weak, white by touches.

White shifts and dulls what it lightens, and a strong tube overshoots at once. So
the colours are brought to a core without white, from the weakest to the strongest,
and a third of the core is kept back: with it the last step can be corrected
without starting again. Common practice of the trade, no source.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.hues import (
    GREY_BELOW,
    hue_name,
    munsell_chroma,
    munsell_hue,
    munsell_hue_and_chroma,
    munsell_value,
)
from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import viewing
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube
from refmatch.paint.kubelka_munk import Surface
from refmatch.recipe.mixture import film, predict
from refmatch.recipe.model import FromPuddle, Laid, Step
from refmatch.recipe.subsets import Mask

# Paint on the palette: what is laid out, worked together and divided.
#
# K and S add up by parts, so a puddle is its sums of them; its colour follows.


class Puddle(NamedTuple):
    """Paint on the palette: its parts, and the sums of its tubes' K and S, shape (31,)."""

    parts: float
    absorption: Array
    scattering: Array

    @property
    def strength(self) -> float:
        """Absorption of one part in the light the eye weighs: how much a little darkens."""
        return float(self.absorption @ viewing().weights[:, 1]) / self.parts

    def plus(self, other: Puddle, share: float = 1.0) -> Puddle:
        """Return this puddle with a share of another worked in."""
        return Puddle(
            self.parts + share * other.parts,
            self.absorption + share * other.absorption,
            self.scattering + share * other.scattering,
        )

    def times(self, share: float) -> Puddle:
        """Return a share of this puddle."""
        return Puddle(share * self.parts, share * self.absorption, share * self.scattering)

    def lab(self, box: Box) -> Array:
        """Return its colour, shape (3,), with the skin that the box's paint has."""
        return reflectance_to_lab(film(self.absorption, self.scattering, box.surface))


def puddle_of(item: Laid, box: Box) -> Puddle:
    """Return one laid item as paint on the palette."""
    tube, white, share = box.tube(item.tube), box.white, _white_of(item)
    return Puddle(
        float(item.parts),
        item.parts * ((1.0 - share) * tube.absorption + share * white.absorption),
        item.parts * ((1.0 - share) * tube.scattering + share * white.scattering),
    )


def all_of(items: Sequence[Laid], box: Box) -> Puddle:
    """Return laid items worked together; nothing at all where there are none."""
    nothing = Puddle(0.0, np.zeros(BANDS), np.zeros(BANDS))
    return functools.reduce(Puddle.plus, (puddle_of(item, box) for item in items), nothing)


def white_share(laid: Sequence[Laid], box: Box) -> float:
    """Return which share of a recipe is white, the white inside let-downs included."""
    white = sum(
        item.parts * (1.0 if box.tube(item.tube).is_white else _white_of(item)) for item in laid
    )
    return white / sum(item.parts for item in laid)


def _white_of(item: Laid) -> float:
    """Return the share of white in what is laid; 0 for paint straight from the tube."""
    return item.let_down_white_parts / (1.0 + item.let_down_white_parts)


# A mix that takes a detour: an orange and a blue that turn green before they turn grey.

MARGIN = 6.0
"""Steps on the Munsell circle of 100 beyond the way there before a hue is called stray:
more than half a family, so that the name a painter gives it has changed."""

CHROMA_SEEN, VALUE_SEEN = 2.0, 2.0
"""Munsell chroma and value below which no painter sees a hue go astray."""


def stray_hue(path: Array, before: Array, goals: Sequence[Array]) -> Flag | None:
    """Flag a path of colours whose hue leaves the way from ``before`` to every goal.

    Args:
        path: the puddle while something is worked in, shape (n, 3), the last at the end.
        before: the puddle before that, shape (3,).
        goals: where it is going, shape (3,) each.

    A grey has no hue: from a grey, and to a grey, only the other end counts; from
    grey to grey any hue that shows is stray.
    """
    hues, strengths = munsell_hue_and_chroma(path)
    visible = (strengths >= CHROMA_SEEN) & (munsell_value(path) >= VALUE_SEEN)
    if not visible.any():
        return None
    hued = [
        float(hue) if strength >= GREY_BELOW else None
        for hue, strength in zip(*munsell_hue_and_chroma(np.stack([before, *goals])), strict=True)
    ]
    off = np.min([_beyond(hues, hued[0], goal) for goal in hued[1:]], axis=0)
    off = np.where(visible, off, 0.0)
    if off.max() <= MARGIN:
        return None
    hue = hue_name(path[int(off.argmax())])
    return Flag("stray_hue", hue=hue, stays=bool(off[-1] > MARGIN))


def _beyond(hues: Array, before: float | None, goal: float | None) -> Array:
    """Return how many steps hues (n,) lie outside the shorter way, shape (n,).

    Greys have no hue, None.
    """
    ends = [end for end in (before, goal) if end is not None]
    if not ends:
        return np.full(len(hues), 50.0)
    way = float(_turned(ends[-1] - ends[0]))
    along = _turned(hues - ends[0])
    return np.maximum(np.maximum(along - max(way, 0.0), min(way, 0.0) - along), 0.0)


def _turned(steps: Array | float) -> Array:
    """Bring a difference of hue into -50 to 50."""
    return (np.asarray(steps) + 50.0) % 100.0 - 50.0


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


def drawing_steps(
    source: FromPuddle, puddle: Puddle, laid: Sequence[Laid], box: Box, target_lab: Array
) -> tuple[Step, ...]:
    """Return how a puddle is drawn from another: that is taken, and the rest worked in, white last.

    Args:
        source: the puddle that is taken of.
        puddle: what is taken of it, as paint on the palette.
        laid: what is worked in; nothing where it does as it is.
        box: where the tubes are.
        target_lab: the colour to be reached, (3,).
    """
    whites = [item for item in laid if box.tube(item.tube).is_white]
    colours = sorted(
        (item for item in laid if item not in whites),
        key=lambda item: puddle_of(item, box).strength,
    )
    named = puddle_name(source)
    taken = f"{source.parts} {'part' if source.parts == 1 else 'parts'} of {named}"
    text = f"Take {taken}." if laid else f"Take {named}, as it is."
    goals = [target_lab, puddle.plus(all_of(laid, box)).lab(box)]
    steps = [*_let_downs(colours, box), Step("take", text, None, source.parts, puddle.lab(box))]
    for item in (*colours, *whites):
        added = puddle_of(item, box)
        move = Move("add", f"Add {_amount(item)}{_how(added, puddle)}.", puddle, added)
        steps.append(replace(_worked_in(move, box, goals), tube=item.tube, parts=item.parts))
        puddle = puddle.plus(added)
    return tuple(steps)


def puddle_name(source: FromPuddle) -> str:
    """Return how steps call a puddle of the order of work: "puddle 2, “strong ochre”"."""
    return f"puddle {source.number}, “{source.label}”"


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
    share = np.arange(9)[:, None] / 8.0
    path = reflectance_to_lab(
        film(
            move.before.absorption + share * move.added.absorption,
            move.before.scattering + share * move.added.scattering,
            box.surface,
        )
    )
    flag = stray_hue(path[1:], path[0], goals)
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
    hues, readable = _hues_shown(tube, box.white, box.surface)
    if munsell_chroma(target_lab) < GREY_BELOW:
        return 0.0 if readable.any() else 50.0
    off = np.abs((hues - munsell_hue(target_lab) + 50.0) % 100.0 - 50.0)
    return float(np.where(readable, off, 50.0).min())


@functools.lru_cache(256)
def _hues_shown(tube: Tube, white: Tube, surface: Surface) -> tuple[Array, Mask]:
    """Return the hues of a tube's masstone and of its tint, (2,), and which can be read."""
    shown = np.stack([predict([tube, white], [1, n], surface) for n in (0, 4)])
    readable = (munsell_chroma(shown) >= GREY_BELOW) & (munsell_value(shown) >= VALUE_SEEN)
    return munsell_hue(shown), readable


def _let_down_text(item: Laid, box: Box) -> str:
    """Say how much to let down, in whole parts, and how much of that goes in."""
    colour = math.ceil(item.parts / (1 + item.let_down_white_parts))
    white = parts_words(colour * item.let_down_white_parts, box.white.name)
    made = f"Make a let-down: work {parts_words(colour, item.tube)} into {white}"
    if item.parts == colour * (1 + item.let_down_white_parts):
        return f"{made}; all of it goes in."
    return f"{made}; {_counted(item.parts)} of it {'goes' if item.parts == 1 else 'go'} in."


def _amount(item: Laid) -> str:
    """Say how much goes in: "1 part of phthalo green let-down (1 : 9 white)"."""
    white = item.let_down_white_parts
    return parts_words(
        item.parts, f"{item.tube} let-down (1 : {white} white)" if white else item.tube
    )


def parts_words(parts: float, name: str) -> str:
    """Return parts of something as steps say it: "7 parts of yellow ochre"."""
    return f"{_counted(parts)} of {name}"


def _counted(parts: float) -> str:
    return f"{parts} {'part' if parts == 1 else 'parts'}"
