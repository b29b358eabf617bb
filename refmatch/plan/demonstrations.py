"""Demonstrations for a class: what mixing does to a colour, as strips to be painted beside.

A tutor shows by paint and not by words how a colour is greyed, lightened and darkened,
which blue goes green, and where white turns a colour chalky and black turns it flat. A strip starts
from one puddle and works another paint into it step by step; strips of one demonstration stand at
the same values, so that only what is taught differs. Which tubes play the parts is chosen by
their colour from the box at hand, and a demonstration is only offered where the paint model shows
it with these very tubes: what the trade says and these tubes do not do is told instead.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.hues import munsell_value
from refmatch.colorimetry.lab import chroma
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BoxError, UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube
from refmatch.paint.box_file import built_in_box
from refmatch.paint.portions import portions_of
from refmatch.plan.roles import (
    BLACK,
    BLUE,
    BLUES,
    BROWN,
    COMPLEMENT,
    DARK_BLUE,
    FLESH_TINT,
    LIGHT_YELLOW,
    ORANGE,
    TRUER,
    WHITE,
    Looks,
    Portions,
    colours_of,
    flesh_tint,
    looks_of,
    oranges,
    tubes_for,
    white_of,
    within,
)
from refmatch.plan.strips import Ladder, Strip, StripPaint, StripStep, step_of
from refmatch.recipe.doubt import generic_flags
from refmatch.recipe.moves import (
    CHALKY,
    FLAT,
    GREEN,
    goes_green,
    warmth,
)
from refmatch.recipe.neutral import (
    GREY_CSTAR,
    Pairs,
    grey_string,
    is_coloured,
)
from refmatch.recipe.nudge import teach


@dataclass(frozen=True, eq=False)
class Demonstration:
    """One thing that is taught, by its ``name`` in `DEMONSTRATIONS`.

    Without strips it is not offered. ``flags`` say which paint the box lacks, and what the trade
    says that these tubes do not do.
    """

    name: str
    strips: tuple[Strip, ...]
    flags: tuple[Flag, ...] = ()


@dataclass(frozen=True, eq=False)
class Demonstrated:
    """The demonstrations on one colour, ``portions`` of the tubes of ``box``."""

    box: Box
    portions: Portions
    demonstrations: tuple[Demonstration, ...]
    flags: tuple[Flag, ...]


def greyed(box: Box, puddle: Portions) -> Demonstration:
    """Grey a colour by its complement, to neutral and past it."""
    name, string = "greyed", grey_string(box, puddle)
    if string.is_grey_already or chroma(string.lab) <= GREY_CSTAR:
        return Demonstration(name, (), (Flag("colour_is_grey"),))
    if not string.steps or not string.is_grey:
        return Demonstration(name, (), (Flag("no_true_complement"),))
    opposite = _named(box, string.complement)
    ladder = Ladder.of(box, puddle, StripPaint(COMPLEMENT, opposite))
    rows = [_row(ladder, (step.parts, step.complement_parts)) for step in string.steps]
    at_grey = float(ladder.shares[rows[-1]])
    alone = colours_of(box, [opposite], [[1.0]])[0]
    rows += _past(ladder, at_grey, float(chroma(alone)))
    strip = ladder.strip(ladder.in_turn(rows, string.lab), string.lab, frozenset())
    steps = (*strip.steps, step_of(strip.steps[-1].place + 1, (0, 1), alone))
    dark = strip.steps[0].munsell_value < DARKEST
    flags = (Flag("too_dark_to_see"),) if dark else ()
    return Demonstration(name, (replace(strip, steps=steps),), flags)


def _named(box: Box, complement: Pairs) -> Portions:
    return tuple((box.tube(name), parts) for name, parts in complement)


PAST = (0.35, 0.7)
"""How far beyond the grey two more steps lie: shares of the complement's own C*."""


def _past(ladder: Ladder, at_grey: float, cstar: float) -> list[int]:
    rows, after = [], at_grey
    for share in PAST:
        row = ladder.nearest(np.abs(chroma(ladder.labs) - share * cstar), 0.1 * cstar, after)
        if row is not None:
            rows.append(row)
            after = float(ladder.shares[row])
    return rows


def _row(ladder: Ladder, parts: tuple[int, int]) -> int:
    return int(np.flatnonzero((ladder.ratios == parts).all(axis=1))[0])


LIGHTEST, DARKEST, STEPS = 8.0, 1.5, 5
"""Munsell values that a colour is lightened and darkened to, and in how many steps."""

LEAST_ROOM = 1.5
"""So many values a colour must have before it to be lightened or darkened in steps one sees."""


def lightened(box: Box, puddle: Portions) -> Demonstration:
    """Lighten a colour by white and, at the same values, by a light yellow and a flesh tint."""
    name, before = "lightened", colours_of(box, [puddle], [[1.0]])[0]
    value = float(munsell_value(before))
    if LIGHTEST - value < LEAST_ROOM:
        return Demonstration(name, (), (Flag("colour_is_light"),))
    yellow = tuple((tube, 1.0) for tube in tubes_for(box, LIGHT_YELLOW)[:1])
    paints = {
        WHITE: tuple((tube, 1.0) for tube in white_of(box)),
        LIGHT_YELLOW: yellow,
        FLESH_TINT: flesh_tint(box),
    }
    return _beside(box, name, puddle, paints, np.linspace(value, LIGHTEST, STEPS + 1)[1:])


def darkened(box: Box, puddle: Portions) -> Demonstration:
    """Darken a colour by black and, at the same values, by a dark blue and its complement."""
    name, before = "darkened", colours_of(box, [puddle], [[1.0]])[0]
    value = float(munsell_value(before))
    if value - DARKEST < LEAST_ROOM:
        return Demonstration(name, (), (Flag("colour_is_dark"),))
    string = grey_string(box, puddle)
    opposite = _named(box, string.complement) if string.is_grey and not string.is_let_down else ()
    paints: dict[str, Portions] = {
        BLACK: ((box.black, 1.0),) if box.black else (),
        DARK_BLUE: tuple((tube, 1.0) for tube in tubes_for(box, DARK_BLUE)[:1]),
        COMPLEMENT: opposite,
    }
    return _beside(box, name, puddle, paints, np.linspace(value, DARKEST, STEPS + 1)[1:])


def _beside(
    box: Box, name: str, puddle: Portions, paints: dict[str, Portions], values: Iterable[float]
) -> Demonstration:
    """Return strips by several paints at the same values; what is lacking or untrue is flagged."""
    before = colours_of(box, [puddle], [[1.0]])[0]
    own = {tube.name for tube, _ in puddle}
    strips: list[Strip] = []
    flags: list[Flag] = []
    values = list(values)
    for role, portions in paints.items():
        if not portions:
            flags.append(Flag("box_lacks", role=role))
            continue
        if {tube.name for tube, _ in portions} == own:
            flags.append(Flag("colour_is_it", role=role, tube=portions[0][0].name))
            continue
        if any(_same_paint(strip.added.portions, portions) for strip in strips):
            continue
        strip = Ladder.of(box, puddle, StripPaint(role, portions)).by_value(before, values)
        if len(strip.steps) > 1:
            strips.append(strip)
        else:
            flags.append(Flag("does_not_lead_there", role=role))
    flags += _not_as_the_trade_says(strips)
    return Demonstration(name, tuple(strips), tuple(flags))


def _same_paint(one: Portions, other: Portions) -> bool:
    return [(t.name, p) for t, p in one] == [(t.name, p) for t, p in other]


def _not_as_the_trade_says(strips: Sequence[Strip]) -> list[Flag]:
    """Return flags where white or black spoils nothing, and where another paint does no better."""
    if not strips:
        return []
    usual, flags = strips[0], []
    spoils = {WHITE: CHALKY, BLACK: FLAT}.get(usual.added.role)
    if spoils and not any(spoils in step.effects for step in usual.steps):
        flags.append(Flag("does_not_spoil", role=usual.added.role, effect=spoils))
    for other in strips[1:]:
        if usual.added.role in (WHITE, BLACK) and not keeps_more(other, usual):
            flags.append(Flag("keeps_no_more", role=other.added.role, than=usual.added.role))
    return flags


def last_beside(strip: Strip, usual: Strip) -> tuple[StripStep, StripStep]:
    """Return the last steps of two strips that stand at one place."""
    pairs = [(step, usual.at(step.place)) for step in strip.steps]
    return [(step, other) for step, other in pairs if other is not None][-1]


def keeps_more(strip: Strip, usual: Strip) -> bool:
    """Say whether a strip's last step holds more chroma, or is warmer, than another's beside it."""
    one, other = (step.lab for step in last_beside(strip, usual))
    return _holds_more(one, other) or warmth(one, other) > 0.0


def _holds_more(one: Array, other: Array) -> bool:
    """Say whether a colour holds more chroma, at one value: a shadow loses C* with L*."""
    return bool(chroma(one) * other[0] > chroma(other) * one[0])


BLUE_VALUE = 5.0
"""Munsell value that a blue is let down to, where its hue is seen."""

LET_DOWNS = tuple(range(1, 17))
"""Parts of white to one of blue."""

TO_GREY = (0.25, 0.5, 0.75, 1.0, 1.6, 2.5)
"""Shares of the way to its greyest, and beyond, at which steps are taken."""


def green_or_grey(box: Box, puddle: Portions) -> Demonstration:
    """Work an orange into a blue that then goes green, and a brown that does not.

    The blue is of the box's, not the colour that was asked for: it is the pair that is shown, the
    blue and the orange that go the fullest green where a brown leaves the same blue without one.
    """
    name = "green-or-grey"
    blues = [tube for tube in box.tubes if is_coloured(tube) and _is_blue(looks_of(box, tube))]
    warm, browns = oranges(box), tubes_for(box, BROWN)
    lacking = {BLUE: blues, ORANGE: warm, BROWN: browns, WHITE: white_of(box)}
    flags = tuple(Flag("box_lacks", role=role) for role, has in lacking.items() if not has)
    if flags:
        return Demonstration(name, (), flags)
    greens, clean = [], []
    for blue in blues:
        brown = [((tube, 1.0),) for tube in browns]
        greens += [one for one in _strips(box, blue, warm, ORANGE) if greenness(one) > 0.0]
        clean += [one for one in _strips(box, blue, brown, BROWN) if greenness(one) == 0.0]
    if not greens:
        return Demonstration(name, (), (Flag("no_blue_goes_green"),))
    if not clean:
        best = max(greens, key=lambda one: (_is_handy(one), greenness(one)))
        return Demonstration(name, (best,), (Flag("every_brown_goes_green"),))
    pairs = itertools.product(greens, clean)
    return Demonstration(name, max(pairs, key=lambda pair: _as_a_pair(*pair)))


def _as_a_pair(green: Strip, clean: Strip) -> tuple[bool, bool, float, float]:
    """Rank a strip that goes green and one that does not: of one blue, and easy to lay out."""
    one_blue = _same_paint(green.paints[0].portions, clean.paints[0].portions)
    return one_blue, _is_handy(green), greenness(green), -_least_cstar(clean)


HANDY_PARTS = 24
"""So many parts in all a hand still lays out gladly in front of a class (our own choice)."""


def _is_handy(strip: Strip) -> bool:
    return all(sum(step.parts) <= HANDY_PARTS for step in strip.steps)


def greenness(strip: Strip) -> float:
    """Return how green a strip is where it comes nearest to grey, in C*; 0 where no step is."""
    greens = [float(chroma(step.lab)) for step in strip.steps if GREEN in step.effects]
    return min(greens, default=0.0)


def _least_cstar(strip: Strip) -> float:
    return min(float(chroma(step.lab)) for step in strip.steps)


def _is_blue(looks: Looks) -> bool:
    return within(looks.tint_hue, BLUES) and looks.tint_chroma >= 4.0


def _strips(box: Box, blue: Tube, paints: Iterable[Portions], role: str) -> list[Strip]:
    """Return the strips of a let-down blue by each paint, to its greyest and past it.

    A brown that leads through a green between two steps is left out, though no step shows it.
    """
    mixes: list[Portions] = [((blue, 1.0), (box.white, float(parts))) for parts in LET_DOWNS]
    values = munsell_value(np.array([colours_of(box, [mix], [[1.0]])[0] for mix in mixes]))
    puddle = mixes[int(np.argmin(np.abs(values - BLUE_VALUE)))]
    before = colours_of(box, [puddle], [[1.0]])[0]
    strips = []
    for portions in paints:
        ladder = Ladder.of(box, puddle, StripPaint(role, portions))
        ladder = ladder._replace(puddle=StripPaint(BLUE, puddle))
        at_greyest = int(np.argmin(chroma(ladder.labs)))
        if role == BROWN and goes_green(ladder.labs[: at_greyest + 1], before):
            continue
        greyest = float(ladder.shares[at_greyest])
        shares = [share * greyest for share in TO_GREY if share * greyest < 1.0]
        rows = ladder.by_share(shares)
        strips.append(ladder.strip(ladder.in_turn(rows, before), before, frozenset({GREEN})))
    return strips


def chalky_and_flat(box: Box, puddle: Portions) -> Demonstration:
    """Lighten by white and darken by black, and beside it as a nudge does both."""
    name, lesson = "chalky-and-flat", teach(box, puddle)
    nudges = {nudge.direction: nudge.tube for nudge in lesson.nudges}
    white, black = white_of(box), box.black
    if not white or black is None:
        role = BLACK if white else WHITE
        return Demonstration(name, (), (Flag("box_lacks", role=role),))
    usual = _both_ways(box, puddle, white[0], black, (WHITE, BLACK))
    effects = {effect for step in usual.steps for effect in step.effects}
    if not {CHALKY, FLAT} <= effects:
        return Demonstration(name, (), (Flag("not_chalky_and_flat"),))
    lighter = box.tube(nudges.get("lighter") or white[0].name)
    darker = box.tube(nudges.get("darker") or black.name)
    tried = _both_ways(box, puddle, lighter, darker, (TRUER, TRUER))
    lighter = lighter if _stays_stronger(tried, usual, -1) else white[0]
    darker = darker if _stays_stronger(tried, usual, 1) else black
    if (lighter, darker) == (white[0], black):
        return Demonstration(name, (usual,), (Flag("nothing_keeps_it_truer"),))
    roles = (WHITE if lighter is white[0] else TRUER, BLACK if darker is black else TRUER)
    return Demonstration(name, (usual, _both_ways(box, puddle, lighter, darker, roles)))


def _stays_stronger(strip: Strip, usual: Strip, way: int) -> bool:
    """Say whether a strip's outmost step that way, beside another's, holds more chroma."""
    places = [step.place for step in strip.steps if way * step.place > 0 and usual.at(step.place)]
    if not places:
        return False
    one, other = strip.at(way * max(map(abs, places))), usual.at(way * max(map(abs, places)))
    return one is not None and other is not None and _holds_more(one.lab, other.lab)


WAYS = 3
"""Steps to either side of the puddle, a value apart."""


def _both_ways(
    box: Box, puddle: Portions, lighter: Tube, darker: Tube, roles: tuple[str, str]
) -> Strip:
    """Return one strip: lighter to the left of the puddle, darker to its right."""
    before = colours_of(box, [puddle], [[1.0]])[0]
    value = float(munsell_value(before))
    sides = []
    for tube, role, way in ((lighter, roles[0], 1.0), (darker, roles[1], -1.0)):
        values = [value + way * count for count in range(1, WAYS + 1)]
        values = [one for one in values if DARKEST - 0.5 <= one <= LIGHTEST + 0.5]
        ladder = Ladder.of(box, puddle, StripPaint(role, ((tube, 1.0),)))
        sides.append(ladder.by_value(before, values))
    left, right = sides
    lights = [replace(step, place=-step.place) for step in left.steps[::-1]]
    steps = [*(_in_three(step, 1) for step in lights), *(_in_three(s, 2) for s in right.steps[1:])]
    return Strip((left.paints[0], left.added, right.added), tuple(steps))


def _in_three(step: StripStep, place: int) -> StripStep:
    """Return a step of two paints as one of three; the other is the one at ``place``."""
    parts = [step.parts[0], 0, 0]
    parts[place] = step.parts[1]
    return replace(step, parts=tuple(parts))


DEMONSTRATIONS: dict[str, Callable[[Box, Portions], Demonstration]] = {
    "greyed": greyed,
    "green-or-grey": green_or_grey,
    "lightened": lightened,
    "darkened": darkened,
    "chalky-and-flat": chalky_and_flat,
}
"""Each by its name, in the order in which a tutor shows them."""


USUAL_VALUES = (2.5, 5.5)
"""Munsell values of a colour that can be lightened and darkened both."""


def usual_colour(box: Box) -> Tube:
    """Return the tube to show all on: the strongest that has room to its light and its dark.

    Raises:
        BoxError: no tube of the box has a hue.
    """
    looks = [looks_of(box, tube) for tube in box.tubes if is_coloured(tube)]
    low, high = USUAL_VALUES
    able = [one for one in looks if low <= one.value <= high] or looks
    if not able:
        raise BoxError("box_without_a_hue", box=box.name)
    return max(able, key=lambda one: one.chroma).tube


def demonstrate(
    portions: Sequence[str] = (), box: Box | None = None, names: Sequence[str] = ()
) -> Demonstrated:
    """Return demonstrations on a colour of parts such as ``["ultramarine=3", "PW6=1"]``.

    Without a box it is the one that comes with refmatch, and any built-in pigment may be in the
    colour; without portions, it is `usual_colour`; without names, all of them are shown.

    Raises:
        UsageError: a portion is not TUBE=PARTS, or no part is above 0; no such demonstration.
        UnknownTube: no such tube. BoxError: the box has no colour.
    """
    for name in names:
        if name not in DEMONSTRATIONS:
            raise UsageError("no_such_demonstration", asked=name, known=tuple(DEMONSTRATIONS))
    owned = box or built_in_box()
    puddle: Portions = (
        tuple(portions_of(portions, box)) if portions else ((usual_colour(owned), 1.0),)
    )
    wanted = names or tuple(DEMONSTRATIONS)
    made = tuple(show(owned, puddle) for name, show in DEMONSTRATIONS.items() if name in wanted)
    return Demonstrated(owned, puddle, made, generic_flags([*(t for t, _ in puddle), *owned.tubes]))
