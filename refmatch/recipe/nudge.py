"""One tube, and a little of it: what moves a puddle the wanted way with the least side effect.

A painter asks for a colour to be lighter, duller, warmer; a tube answers with that and
with other things. So each tube of the box is tried in as much as it takes to move the puddle by
one step, and the one that goes least astray for it is named, in a tutor's order: what dulls is
first the complement, what lightens is first no white, what darkens no black. Beside it stands what
is always reached for instead, and how that spoils the colour.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import chroma, hue_deg, lch_differences
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import WARM_POLE_DEG
from refmatch.paint.box import Box, Tube
from refmatch.recipe.habits import BROWNS
from refmatch.recipe.mixture import Palette
from refmatch.recipe.moves import (
    DIRECTIONS,
    GREEN,
    HUELESS_BELOW,
    LEAST_DELTA_E_00,
    MUDDY,
    along_and_astray,
    directions_of,
    goes_green,
    hues_apart,
    is_neutral,
    spoilt,
)
from refmatch.recipe.neutral import Complement, complements, is_coloured, is_earth, tint_of

STEP_DELTA_E_00 = 2.0
"""How far a nudge should move the puddle the wanted way: twice to three times what is just
perceptible (0.8) and a little over what is just acceptable (1.8; Paravina et al. 2015)."""

OVERSHOOT = 2.0
"""How many steps a nudge may go at most; at least it goes as far as is seen (our own choice)."""

MOST_ASTRAY, CHROMA_ASTRAY = 2.0, 4.0
"""How many times farther astray than the wanted way nothing counts as a nudge; of chroma more, as
in strong colours CIEDE2000 counts a step of it for little (our own choice)."""

WITHOUT_ASTRAY = 1.2
"""The same for what lightens in the place of white, and darkens in that of black: a tube that does
little more than that, or those two serve better after all (our own choice)."""

WARM_WITHIN_DEG = 60.0
"""How far from orange a tube's hue in a tint may lie for it to be a warm colour: yellows, oranges
and reds are, crimsons and magentas are the cool reds (common practice, no source)."""

TOUCHES: tuple[float, ...] = (0.005, 0.01, 0.015, 0.02, 0.03, 0.04, 0.06, 0.08)
"""Touches as shares of the puddle: a pinhead in a walnut, up to less than a tenth."""

MOST_GROWTH = 0.25
"""The share of itself by which a puddle may grow: what needs more is another puddle."""

HALF, FINE_BELOW = 0.5, 5.0
"""Additions are counted in half parts; in a puddle of fewer parts, in tenths of it."""

WHITE, BLACK, EARTH, COMPLEMENT = "white", "black", "earth", "complement"
"""What a tube is to a puddle, where that is worth naming."""


@dataclass(frozen=True, eq=False)
class Nudge:
    """What one tube does to a puddle; all but ``direction`` None where none can.

    ``parts`` are counted as the puddle's own; ``lab`` is the colour after it; the differences are
    after minus before, ``delta_hue_deg`` None where there is no hue to speak of;
    ``step_delta_e_00`` is how far it goes the wanted way, ``side_effect_delta_e_00`` all else.
    ``by`` says what the tube is to the puddle, "" where nothing special; ``effects`` how it spoils
    the colour. What does not lead its way has its ``tube`` and ``by``, and nothing else.
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
    by: str = ""
    effects: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Lesson:
    """A puddle's colour (3,) and parts, a nudge each way, and what is reached for instead."""

    lab: Array
    parts: float
    nudges: tuple[Nudge, ...]
    instead: tuple[Nudge, ...]


@dataclass(frozen=True, eq=False)
class _Trial:
    """One tube in rising amounts: ``parts`` (n,) and the colours (n, 3) they lead to.

    ``hue_deg`` is the tube's own, in a tint.
    """

    tube: Tube
    parts: Array
    labs: Array
    hue_deg: float


@dataclass(frozen=True, eq=False)
class _Puddle:
    """A puddle's colour (3,), every tube tried in it, its complements by name, the best first."""

    lab: Array
    trials: tuple[_Trial, ...]
    complements: Mapping[str, Complement]
    step: float

    def by(self, trial: _Trial) -> str:
        """Return what a tube is to the puddle."""
        if not is_coloured(trial.tube):
            return WHITE if trial.tube.is_white else BLACK
        if trial.tube.name in self.complements:
            return COMPLEMENT
        return EARTH if is_earth(trial.tube) else ""


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
    opposite = complements(box, puddle, among)
    chosen = tuple(trial for trial in trials if among is None or trial.tube in among)
    tried = _Puddle(
        lab=before,
        trials=chosen,
        complements={one.portions[0][0].name: one for one in opposite},
        step=step,
    )
    nudges = tuple(_first(tried, name) for name in directions_of(before))
    parts = float(sum(share for _, share in puddle))
    return Lesson(before, parts, nudges, _instead(box, tried, trials, nudges))


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
    hues = [float(hue_deg(tint_of(box, [(tube, 1.0)]))) for tube in box.tubes]
    made = zip(box.tubes, labs, hues, strict=True)
    return palette.lab(laid), [_Trial(tube, added, lab, hue) for tube, lab, hue in made]


Wanted = Callable[[_Puddle, _Trial], bool]


def _is_warm(puddle: _Puddle, trial: _Trial) -> bool:
    return is_coloured(trial.tube) and bool(
        hues_apart(trial.hue_deg, WARM_POLE_DEG) < WARM_WITHIN_DEG
    )


def _is_cool(puddle: _Puddle, trial: _Trial) -> bool:
    return is_coloured(trial.tube) and not _is_warm(puddle, trial)


def _is_white(puddle: _Puddle, trial: _Trial) -> bool:
    return puddle.by(trial) == WHITE


def _nearer_to(end_deg: float) -> Wanted:
    """Take a tube whose own hue lies nearer to an end than the puddle's does."""

    def is_nearer(puddle: _Puddle, trial: _Trial) -> bool:
        own, other = (hues_apart(hue, end_deg) for hue in (trial.hue_deg, hue_deg(puddle.lab)))
        return is_coloured(trial.tube) and bool(own < other)

    return is_nearer


def _is_the_complement(puddle: _Puddle, trial: _Trial) -> bool:
    handy = (name for name, one in puddle.complements.items() if one.is_handy)
    return trial.tube.name == next(handy, None)


def _makes_a_grey(puddle: _Puddle, trial: _Trial) -> bool:
    complement = puddle.complements.get(trial.tube.name)
    return complement is not None and complement.is_grey


def _is_opposite(puddle: _Puddle, trial: _Trial) -> bool:
    complement = puddle.complements.get(trial.tube.name)
    return complement is not None and not complement.greens


def _is_brown(puddle: _Puddle, trial: _Trial) -> bool:
    return not BROWNS.isdisjoint(trial.tube.keys)


def _is_earth(puddle: _Puddle, trial: _Trial) -> bool:
    return is_earth(trial.tube)


def _is_any(puddle: _Puddle, trial: _Trial) -> bool:
    return True


def _no_white(puddle: _Puddle, trial: _Trial) -> bool:
    return not trial.tube.is_white


def _no_black(puddle: _Puddle, trial: _Trial) -> bool:
    return puddle.by(trial) != BLACK


ORDER: dict[str, tuple[tuple[Wanted, float], ...]] = {
    "lighter": ((_no_white, WITHOUT_ASTRAY), (_is_any, MOST_ASTRAY)),
    "darker": ((_no_black, WITHOUT_ASTRAY), (_is_any, MOST_ASTRAY)),
    "duller": (
        (_is_the_complement, CHROMA_ASTRAY),
        (_makes_a_grey, CHROMA_ASTRAY),
        (_is_opposite, CHROMA_ASTRAY),
        (_is_brown, CHROMA_ASTRAY),
        (_is_earth, CHROMA_ASTRAY),
        (_is_any, CHROMA_ASTRAY),
    ),
    "stronger": ((_is_any, CHROMA_ASTRAY),),
    "warmer": ((_is_warm, MOST_ASTRAY),),
    "cooler": ((_is_cool, MOST_ASTRAY), (_is_white, MOST_ASTRAY)),
    **{
        name: ((_nearer_to(way.towards_deg), MOST_ASTRAY),)
        for name, way in DIRECTIONS.items()
        if way.axis == "turn"
    },
}
"""Which tubes a tutor would take, the first choice first, and how far astray they may go."""


def _first(puddle: _Puddle, name: str) -> Nudge:
    """Return the tube that goes least astray for its step, of those that are taken first."""
    if DIRECTIONS[name].axis == "chroma" and is_neutral(puddle.lab):
        return Nudge(name)
    for wanted, most in ORDER[name]:
        able = [
            nudge
            for trial in puddle.trials
            if wanted(puddle, trial) and (nudge := _nudge(puddle, trial, name)).lab is not None
        ]
        able = [nudge for nudge in able if _ratio(nudge) <= most and not _is_against(nudge)]
        if able:
            return min(able, key=_ratio)
    return Nudge(name)


def _is_against(nudge: Nudge) -> bool:
    """Whether a tube leads through green where yellow, red or warmth was asked for."""
    return GREEN in nudge.effects and nudge.direction in ("warmer", "redder", "yellower")


def _ratio(nudge: Nudge) -> float:
    return round((nudge.side_effect_delta_e_00 or 0.0) / (nudge.step_delta_e_00 or 1.0), 6)


def _nudge(puddle: _Puddle, trial: _Trial, name: str, most: float = OVERSHOOT) -> Nudge:
    """Return what a tube does in as much as comes nearest to one step, if that is near it."""
    along, astray = along_and_astray(trial.labs, puddle.lab, DIRECTIONS[name])
    at = int(np.argmin(np.abs(along - puddle.step)))
    by = puddle.by(trial)
    if not LEAST_DELTA_E_00 <= along[at] <= most * puddle.step:
        return Nudge(name, trial.tube.name, by=by)
    after = trial.labs[at]
    d_l, d_c, _ = lch_differences(after, puddle.lab)
    complement = puddle.complements.get(trial.tube.name)
    greens = name != "greener" and (
        goes_green(trial.labs, puddle.lab) or (complement is not None and complement.greens)
    )
    effects = spoilt(after, puddle.lab, coloured=is_coloured(trial.tube))
    if greens or DIRECTIONS[name].axis in ("warmth", "turn"):
        # a green is no mud, nor is a colour that is on its way to the hue it was asked for
        effects = tuple(effect for effect in effects if effect != MUDDY)
    if greens:
        effects = (*effects, GREEN)
    return Nudge(
        direction=name,
        tube=trial.tube.name,
        parts=float(trial.parts[at]),
        lab=after,
        delta_lstar=float(d_l),
        delta_cstar=float(d_c),
        delta_hue_deg=_turned_deg(after, puddle.lab),
        step_delta_e_00=float(along[at]),
        side_effect_delta_e_00=float(astray[at]),
        by=by,
        effects=effects,
    )


def _instead(
    box: Box, puddle: _Puddle, trials: Sequence[_Trial], nudges: Sequence[Nudge]
) -> tuple[Nudge, ...]:
    """Return what is reached for: white to lighten, black to darken, four things to dull.

    White and black are the box's own, though they be not among the tubes that are tried.
    """
    by_tube = {trial.tube.name: trial for trial in trials}
    dulling = next(nudge for nudge in nudges if nudge.direction == "duller")

    def usual(name: str, tube: Tube | None, by: str) -> Nudge:
        if tube is None:
            return Nudge(name, by=by)
        return replace(_nudge(puddle, by_tube[tube.name], name, most=np.inf), by=by)

    white, black = _white(box), box.black
    rows = [usual("lighter", white, WHITE), usual("darker", black, BLACK)]
    for by in (COMPLEMENT, EARTH):
        of_kind = [
            _nudge(puddle, trial, "duller") for trial in puddle.trials if puddle.by(trial) == by
        ]
        able = [nudge for nudge in of_kind if nudge.lab is not None]
        able = [nudge for nudge in able if _ratio(nudge) <= CHROMA_ASTRAY]
        if able and dulling.by != by:
            rows.append(min(able, key=lambda nudge: (GREEN in nudge.effects, _ratio(nudge))))
    rows += [
        usual("duller", tube, by)
        for tube, by in ((black, BLACK), (white, WHITE))
        if tube is not None and dulling.tube != tube.name
    ]
    return tuple(rows)


def _turned_deg(after: Array, before: Array) -> float | None:
    """Return the turn of the hue angle, -180 to 180 degrees; None where a colour has no hue."""
    if min(chroma(after), chroma(before)) < HUELESS_BELOW:
        return None
    return float((hue_deg(after) - hue_deg(before) + 180.0) % 360.0 - 180.0)


def _white(box: Box) -> Tube | None:
    return box.white if any(tube.is_white for tube in box.tubes) else None
