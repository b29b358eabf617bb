"""One tube, and a little of it: what moves a puddle the wanted way with the least side effect.

A painter asks for a colour to be lighter, duller, redder; a tube answers with that and
with other things. So each tube of the box is tried in as much as it takes to move the puddle by
one step, and the one that goes least astray for it is named; beside it what white or
black alone would do, the two that are always reached for.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.lab import chroma, delta_e_00, hue_deg, lch_differences
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box, Tube
from refmatch.recipe.mixture import Palette

# Ways in which a puddle can be nudged, and what of a move goes that way and what goes astray.
#
# A colour is moved along one axis of CIELAB: lightness L*, chroma C*, a* or b*. The move
# is parted in two: the step along the axis with all else as it was, and all else with the
# axis as it was. Each part is told by its own CIEDE2000.


class Direction(NamedTuple):
    """An axis ("lightness", "chroma", "a" or "b") and which way along it, +1 or -1."""

    axis: str
    sign: float


DIRECTIONS: dict[str, Direction] = {
    "lighter": Direction("lightness", 1.0),
    "darker": Direction("lightness", -1.0),
    "duller": Direction("chroma", -1.0),
    "stronger": Direction("chroma", 1.0),
    "redder": Direction("a", 1.0),
    "yellower": Direction("b", 1.0),
    "greener": Direction("a", -1.0),
    "bluer": Direction("b", -1.0),
}
"""What a painter asks for. Red and green, yellow and blue are the ends of a* and b*."""

COLUMNS = {"lightness": 0, "a": 1, "b": 2}


def along_and_astray(labs: Array, before: Array, direction: Direction) -> tuple[Array, Array]:
    """Part moves from ``before`` (3,) to ``labs`` (n, 3) in two, each in dE00, (n,).

    The first is how far a move goes the wanted way, below zero where it goes the other;
    the second how far everything else has gone.
    """
    axis = direction.axis
    start = np.broadcast_to(before, labs.shape)
    step = delta_e_00(_with_axis_of(labs, start, axis), before)
    astray = delta_e_00(_with_axis_of(start, labs, axis), before)
    way = direction.sign * np.sign(_read(labs, axis) - _read(before, axis))
    return way * step, astray


def _read(lab: Array, axis: str) -> Array:
    return chroma(lab) if axis == "chroma" else lab[..., COLUMNS[axis]]


def _with_axis_of(giver: Array, lab: Array, axis: str) -> Array:
    """Return colours (n, 3) with one coordinate taken from another; all else is as it was."""
    found = lab.copy()
    if axis != "chroma":
        found[:, COLUMNS[axis]] = giver[:, COLUMNS[axis]]
        return found
    own, wanted = chroma(lab), chroma(giver)
    has_hue = own > 1e-9
    scale = wanted / np.where(has_hue, own, 1.0)
    # A perfect grey has no hue to grow along: it takes the giver's.
    found[:, 1:] = np.where(has_hue[:, None], scale[:, None] * lab[:, 1:], giver[:, 1:])
    return found


STEP_DELTA_E_00 = 2.0
"""How far a nudge should move the puddle the wanted way: twice to three times what is just
perceptible (0.8) and a little over what is just acceptable (1.8; Paravina et al. 2015)."""

WITHIN = (0.5, 2.0)
"""The share of that step that a nudge may fall short of it, and overshoot it (our own choice)."""

MOST_ASTRAY = 4.0
"""How many times farther astray than the wanted way nothing counts as a nudge (our own choice)."""

TOUCHES: tuple[float, ...] = (0.005, 0.01, 0.015, 0.02, 0.03, 0.04, 0.06, 0.08)
"""Touches as shares of the puddle: a pinhead in a walnut, up to less than a tenth."""

MOST_GROWTH = 0.5
"""The share of itself by which a puddle may grow."""

HALF, FINE_BELOW = 0.5, 5.0
"""Additions are counted in half parts; in a puddle of fewer parts, in tenths of it."""

HUELESS_BELOW = 1.0
"""C* under which nothing is said of a hue angle."""


@dataclass(frozen=True, eq=False)
class Nudge:
    """What one tube does to a puddle; all but ``direction`` None where none can.

    ``parts`` are counted as the puddle's own; ``lab`` is the colour after it; the differences are
    after minus before, ``delta_hue_deg`` None where there is no hue to speak of;
    ``step_delta_e_00`` is how far it goes the wanted way, ``side_effect_delta_e_00`` all else.
    White or black that does not lead its way has its ``tube``, and nothing else.
    """

    direction: str
    tube: str | None = None
    parts: float | None = None
    lab: Array | None = None
    delta_lstar: float | None = None
    delta_cstar: float | None = None
    delta_hue_deg: float | None = None
    step_delta_e_00: float | None = None
    side_effect_delta_e_00: float | None = None


@dataclass(frozen=True, eq=False)
class Lesson:
    """A puddle's colour (3,) and parts, a nudge each way, and what white and black alone do."""

    lab: Array
    parts: float
    nudges: tuple[Nudge, ...]
    instead: tuple[Nudge, ...]


@dataclass(frozen=True, eq=False)
class _Trial:
    """One tube in rising amounts: ``parts`` (n,) and the colours (n, 3) they lead to."""

    tube: Tube
    parts: Array
    labs: Array


def teach(
    box: Box,
    puddle: Sequence[tuple[Tube, float]],
    among: Sequence[Tube] | None = None,
    step: float = STEP_DELTA_E_00,
) -> Lesson:
    """Return what moves a puddle each way.

    Args:
        box: whose tubes are tried, and whose white and black stand for themselves.
        puddle: tubes and their parts, at least one above 0; the tubes may be of another box.
        among: only these tubes of the box are tried.
        step: how far a nudge should go, in dE00.
    """
    before, trials = _tried(box, puddle)
    chosen = [trial for trial in trials if among is None or trial.tube in among]
    nudges = {name: _nudge(chosen, before, name, step) for name in DIRECTIONS}
    usual = {"lighter": _white(box), "darker": box.black}
    instead = tuple(_instead(_of(trials, tube), before, name, step) for name, tube in usual.items())
    parts = float(sum(share for _, share in puddle))
    return Lesson(before, parts, tuple(nudges.values()), instead)


def amounts(parts: float) -> Array:
    """Return in what amounts something may be added to a puddle of so many parts, rising."""
    unit = HALF if parts >= FINE_BELOW else parts / 10.0
    touches = [_tidy(share * parts) for share in TOUCHES if share * parts < unit]
    steps = math.floor(MOST_GROWTH * parts / unit + 1e-9)
    return np.array([*touches, *(unit * count for count in range(1, steps + 1))])


def _tidy(amount: float) -> float:
    """Return an amount to two figures, as it is told."""
    return float(f"{amount:.1e}")


def _tried(box: Box, puddle: Sequence[tuple[Tube, float]]) -> tuple[Array, list[_Trial]]:
    """Return the puddle's colour, and every tube of the box worked into it in all amounts."""
    parts = np.array([share for _, share in puddle])
    palette = Palette.of([*(tube for tube, _ in puddle), *box.tubes], box.surface)
    added, laid = amounts(float(parts.sum())), np.r_[parts, np.zeros(len(box.tubes))]
    each = laid + added[:, None] * np.eye(len(laid))[len(puddle) :, None, :]
    labs = palette.lab(each)  # (tubes, amounts, 3)
    trials = [_Trial(tube, added, found) for tube, found in zip(box.tubes, labs, strict=True)]
    return palette.lab(laid), trials


def _of(trials: Sequence[_Trial], tube: Tube | None) -> _Trial | None:
    return next((trial for trial in trials if trial.tube is tube), None)


def _nudge(trials: Sequence[_Trial], before: Array, name: str, step: float) -> Nudge:
    """Return the tube that goes least astray for its step; of equals the first in the box."""
    found = [(trial, _amount(trial, before, name, step)) for trial in trials]
    able = [(trial, at) for trial, at in found if at is not None]
    if not able:
        return Nudge(name)
    told = [_told(trial, at, before, name) for trial, at in able]
    return min(told, key=_ratio)


def _ratio(nudge: Nudge) -> float:
    return round((nudge.side_effect_delta_e_00 or 0.0) / (nudge.step_delta_e_00 or 1.0), 6)


def _amount(trial: _Trial, before: Array, name: str, step: float) -> int | None:
    """Return the amount that comes nearest to one step, by its place; None where none is near."""
    along, astray = along_and_astray(trial.labs, before, DIRECTIONS[name])
    at = int(np.argmin(np.abs(along - step)))
    least, most = WITHIN
    near = least * step <= along[at] <= most * step
    return at if near and astray[at] <= MOST_ASTRAY * along[at] else None


def _told(trial: _Trial, at: int, before: Array, name: str) -> Nudge:
    after = trial.labs[at]
    along, astray = along_and_astray(after[None], before, DIRECTIONS[name])
    d_l, d_c, _ = lch_differences(after, before)
    return Nudge(
        direction=name,
        tube=trial.tube.name,
        parts=float(trial.parts[at]),
        lab=after,
        delta_lstar=float(d_l),
        delta_cstar=float(d_c),
        delta_hue_deg=_turned_deg(after, before),
        step_delta_e_00=float(along[0]),
        side_effect_delta_e_00=float(astray[0]),
    )


def _instead(trial: _Trial | None, before: Array, name: str, step: float) -> Nudge:
    """Return what white or black alone does, in as much as comes nearest to the same step."""
    if trial is None:
        return Nudge(name)
    along, _ = along_and_astray(trial.labs, before, DIRECTIONS[name])
    at = int(np.argmin(np.abs(along - step)))
    if along[at] < WITHIN[0] * step:
        return Nudge(name, trial.tube.name)
    return _told(trial, at, before, name)


def _turned_deg(after: Array, before: Array) -> float | None:
    """Return the turn of the hue angle, -180 to 180 degrees; None where a colour has no hue."""
    if min(chroma(after), chroma(before)) < HUELESS_BELOW:
        return None
    return float((hue_deg(after) - hue_deg(before) + 180.0) % 360.0 - 180.0)


def _white(box: Box) -> Tube | None:
    return box.white if any(tube.is_white for tube in box.tubes) else None
