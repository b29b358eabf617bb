"""The complement that greys a puddle, and the string of steps from the strong colour to that grey.

Paint's complements are not those of light: which tube greys a colour is seen by mixing. So
each tube whose hue lies opposite is mixed in, more and more, and the one that leads straightest
to grey is the complement. Where no tube does, two mixed together may: a violet for a yellow.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.hues import munsell_chroma, munsell_value
from refmatch.colorimetry.lab import chroma, hue_deg
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import BLACKS, Box, Tube
from refmatch.paint.library import pigments
from refmatch.recipe.mixture import Palette
from refmatch.recipe.moves import goes_green, hues_apart

Pairs = tuple[tuple[str, float], ...]
Portions = Sequence[tuple[Tube, float]]

OPPOSITE_DEG = 90.0
"""From so far around the CIELAB circle a tube may be a complement. Wide, as the circle of mixing is
not CIELAB's: ultramarine is greyed by burnt sienna, 130 degrees away, and a yellowish green by
red, 100 (common practice). Which of them is one, mixing tells."""

TINT = 4.0
"""Parts of white in which a tube shows its hue; a dark transparent one hides it in masstone."""

GREY_CSTAR = 6.0
"""C* up to which a colour passes for a grey: Munsell chroma 1 to 1.5, the greys of
`colorimetry.hues`."""

HUED_FROM = 1.5
"""Munsell chroma in a tint below which a tube has no hue that could be opposite."""

STEPS = 5
"""Mixtures in a string, of which the last is the grey."""

MOST_PARTS = 40
"""The most whole parts of a step: a puddle and its complement counted together."""

LEAST_SHARE = 0.1
"""The share at grey below which a complement is too strong to be laid out in five steps."""

LET_DOWN = 9.0
"""Parts of white to one in which a complement is let down that is too strong."""

MOST_SHARE = 0.75
"""The most that a complement may be of a mixture: beyond, the colour is greyed out of itself."""

PAIR_RATIOS = ((1, 1), (2, 1), (1, 2), (3, 1), (1, 3))
"""In what parts two tubes are mixed to a complement that no tube is."""

LACKING_PRICE, AMOUNT_PRICE, NEW_PRICE = 2.0, 20.0, 6.0
"""What a C* short of grey, a complement that is all the mixture, and a tube more in the puddle
weigh against one C* or half an L* of a crooked way (our own choice)."""

VALUE_HELD = 0.5
"""By how much of a Munsell value a step may wander before white or a dark must hold it."""

TOLERANCE = 0.25
"""The share of a step of chroma by which simpler parts may miss an even string."""


@dataclass(frozen=True, eq=False)
class Complement:
    """One or two tubes in parts that grey a puddle.

    ``least_cstar`` is how near to grey they bring it, ``at`` the share of them then; ``stray`` how
    far the way there bends (C*) and changes value (half of L*); ``greens`` says that it leads
    through green, ``is_new`` that a tube of them is not in the puddle.
    """

    portions: tuple[tuple[Tube, float], ...]
    least_cstar: float
    at: float
    stray: float
    greens: bool
    is_new: bool

    @property
    def is_grey(self) -> bool:
        """Whether it makes a grey, and not by way of a green."""
        return self.least_cstar <= GREY_CSTAR and not self.greens

    @property
    def price(self) -> float:
        """What is lacking to grey, how crooked the way is, and how much paint it takes."""
        lacking = max(self.least_cstar - GREY_CSTAR, 0.0)
        new = NEW_PRICE if self.is_new else 0.0
        return LACKING_PRICE * lacking + self.stray + AMOUNT_PRICE * self.at + new

    @property
    def is_handy(self) -> bool:
        """Whether it makes a grey, and is weak enough for steps of whole parts."""
        return self.is_grey and self.at >= LEAST_SHARE


@dataclass(frozen=True, eq=False)
class GreyStep:
    """Whole parts of the puddle and of its complement, the colour they make (3,), its value.

    ``holds`` is "lighter" or "darker" where white or a dark must bring the value back.
    """

    parts: int
    complement_parts: int
    lab: Array
    munsell_value: float
    holds: str


@dataclass(frozen=True, eq=False)
class GreyString:
    """From a colour (3,) to its grey. Without a complement there are no steps.

    ``complement`` are its tubes in parts, of which the second is white where it ``is_let_down``;
    ``is_grey`` tells whether the last step is one.
    """

    lab: Array
    munsell_value: float
    complement: Pairs
    steps: tuple[GreyStep, ...]
    is_grey: bool
    is_let_down: bool = False

    @property
    def is_grey_already(self) -> bool:
        """Whether there is no hue to be neutralised."""
        return bool(munsell_chroma(self.lab) < HUED_FROM)


def is_earth(tube: Tube) -> bool:
    """Whether all pigments of a tube are earths."""
    known = pigments()
    return bool(tube.keys) and all(k in known and known[k].kind == "earth" for k in tube.keys)


def is_coloured(tube: Tube) -> bool:
    """Whether a tube is neither white nor black."""
    return not tube.is_white and not (tube.keys and BLACKS.issuperset(tube.keys))


SHARES: Array = np.geomspace(0.002, MOST_SHARE, 60)
"""In what shares of the mixture complements are tried, close for the strong ones."""


def complements(
    box: Box, puddle: Portions, among: Sequence[Tube] | None = None
) -> tuple[Complement, ...]:
    """Return the tubes that grey a puddle, the best first; none of a puddle that is grey.

    Those that make a grey come first, the straightest way before others; then as near
    as each comes.
    """
    before = _lab(box, puddle)
    if munsell_chroma(before) < HUED_FROM:
        return ()
    wanted = [tube for tube in (box.tubes if among is None else among) if is_coloured(tube)]
    opposite = [tube for tube in wanted if _is_opposite(box, puddle, [(tube, 1.0)])]
    return _ranked(_greying(box, puddle, before, [(tube, 1.0)]) for tube in opposite)


def grey_string(box: Box, puddle: Portions, among: Sequence[Tube] | None = None) -> GreyString:
    """Return a puddle's string to grey, by one tube, or by two mixed where no one does it."""
    before = _lab(box, puddle)
    value = float(munsell_value(before))
    candidates = complements(box, puddle, among)
    if munsell_chroma(before) >= HUED_FROM and not any(one.is_handy for one in candidates):
        candidates = _ranked([*candidates, *_mixed_complements(box, puddle, before, among)])
    if not candidates:
        return GreyString(before, value, (), (), False)
    best = next((one for one in candidates if one.is_handy), candidates[0])
    steps = _steps(box, puddle, before, best)
    named = tuple((tube.name, parts) for tube, parts in best.portions)
    is_grey = bool(steps) and bool(chroma(steps[-1].lab) <= GREY_CSTAR)
    let_down = best.portions[-1][0].is_white
    return GreyString(before, value, named, steps, is_grey, let_down)


def _ranked(candidates: Iterable[Complement]) -> tuple[Complement, ...]:
    """Return those that make a grey first, and then the cheapest; of equals the first."""
    return tuple(sorted(candidates, key=lambda one: (not one.is_grey, one.price)))


def _mixed_complements(
    box: Box, puddle: Portions, before: Array, among: Sequence[Tube] | None
) -> list[Complement]:
    """Return complements of two tubes, and of one that is let down in white."""
    wanted = [tube for tube in (box.tubes if among is None else among) if is_coloured(tube)]
    mixed: list[Portions] = [
        [(one, float(p)), (two, float(q))]
        for one, two in itertools.combinations(wanted, 2)
        for p, q in PAIR_RATIOS
    ]
    if any(tube.is_white for tube in box.tubes):
        mixed += [[(tube, 1.0), (box.white, LET_DOWN)] for tube in wanted]
    return [
        _greying(box, puddle, before, pair) for pair in mixed if _is_opposite(box, puddle, pair)
    ]


def _lab(box: Box, portions: Portions) -> Array:
    palette = Palette.of([tube for tube, _ in portions], box.surface)
    return palette.lab(np.array([parts for _, parts in portions]))


def tint_of(box: Box, portions: Portions) -> Array:
    """Return the colour of portions let down in the white of the box, where it has one."""
    if not any(tube.is_white for tube in box.tubes):
        return _lab(box, portions)
    whole = sum(parts for _, parts in portions)
    return _lab(box, [*portions, (box.white, TINT * whole)])


def _is_opposite(box: Box, puddle: Portions, other: Portions) -> bool:
    one, two = tint_of(box, puddle), tint_of(box, other)
    if munsell_chroma(two) < HUED_FROM:
        return False
    return bool(hues_apart(hue_deg(two), hue_deg(one)) >= OPPOSITE_DEG)


def _mixed(
    box: Box,
    puddle: Portions,
    other: Portions,
    shares: Array,
) -> Array:
    """Return the Lab, (n, 3), of a puddle that holds such shares (n,) of another."""
    palette = Palette.of([tube for tube, _ in (*puddle, *other)], box.surface)
    own, more = (np.array([parts for _, parts in one]) for one in (puddle, other))
    own, more = own / own.sum(), more / more.sum()
    return palette.lab(np.column_stack([np.outer(1.0 - shares, own), np.outer(shares, more)]))


def _greying(
    box: Box,
    puddle: Portions,
    before: Array,
    portions: Portions,
) -> Complement:
    labs = _mixed(box, puddle, portions, SHARES)
    least = int(np.argmin(chroma(labs)))
    way = labs[: least + 1]
    across = np.abs(way[:, 1:] @ np.array([-before[2], before[1]])) / chroma(before)
    return Complement(
        tuple(portions),
        float(chroma(labs[least])),
        float(SHARES[least]),
        float(np.max(across + np.abs(way[:, 0] - before[0]) / 2.0)),
        goes_green(way, before),
        not {tube.name for tube, _ in portions} <= {tube.name for tube, _ in puddle},
    )


def _steps(box: Box, puddle: Portions, before: Array, best: Complement) -> tuple[GreyStep, ...]:
    """Return steps of even chroma in the simplest whole parts that keep them even."""
    ratios = whole_ratios()
    shares = ratios[:, 1] / ratios.sum(axis=1)
    ratios, shares = ratios[shares <= best.at * 1.05], shares[shares <= best.at * 1.05]
    if not len(ratios):
        return ()
    labs = _mixed(box, puddle, best.portions, shares)
    last = int(np.argmin(chroma(labs)))
    from_c, to_c = float(chroma(before)), float(chroma(labs[last]))
    made, taken = [], (from_c, 0.0)
    for wanted in np.linspace(from_c, to_c, STEPS + 1)[1:]:
        able = (chroma(labs) < taken[0]) & (shares > taken[1])
        if not able.any():
            break
        off = np.where(able, np.abs(chroma(labs) - wanted), np.inf)
        near = off <= max(off.min(), TOLERANCE * (from_c - to_c) / STEPS)
        if wanted == to_c:
            # as grey as it gets, or a grey at all, but in simple parts
            near &= chroma(labs) <= (GREY_CSTAR if to_c <= GREY_CSTAR else 1.1 * to_c)
        at = int(np.argmin(np.where(near, ratios.sum(axis=1) + off / 1e3, np.inf)))
        made.append(_step(ratios[at], labs[at], before))
        taken = float(chroma(labs[at])), float(shares[at])
    return tuple(made)


def whole_ratios() -> Array:
    """Return whole parts of puddle and complement in lowest terms, (n, 2)."""
    return np.array(
        [
            (parts, total - parts)
            for total in range(2, MOST_PARTS + 1)
            for parts in range(1, total)
            if np.gcd(parts, total) == 1
        ]
    )


def _step(ratio: Array, lab: Array, before: Array) -> GreyStep:
    value = float(munsell_value(lab))
    drift = value - float(munsell_value(before))
    holds = "" if abs(drift) < VALUE_HELD else ("lighter" if drift < 0.0 else "darker")
    return GreyStep(int(ratio[0]), int(ratio[1]), lab, value, holds)
