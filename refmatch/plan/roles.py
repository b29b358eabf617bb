"""Which tube of a box plays which part before a class: its dark blue, its brown, a flesh tint.

A tube is known by its colour, not by its name, so that any box may serve: by its own colour as
squeezed, and by its tint, where a dark transparent one shows its hue.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.hues import munsell_chroma, munsell_hue, munsell_value
from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box, Tube, built_in_tube
from refmatch.recipe.mixture import Palette
from refmatch.recipe.neutral import (
    is_coloured,
    is_earth,
    tint_of,
)

PUDDLE, WHITE, BLACK, COMPLEMENT = "puddle", "white", "black", "complement"
LIGHT_YELLOW, FLESH_TINT, DARK_BLUE = "light yellow", "flesh tint", "dark blue"
BLUE, ORANGE, BROWN, TRUER = "blue", "orange", "brown", "truer"
"""The parts that paints play: what each is to the colour, in a painter's word."""

Portions = tuple[tuple[Tube, float], ...]


def colours_of(
    box: Box, paints: Sequence[Portions], parts: Sequence[Sequence[float]] | Array
) -> Array:
    """Return the Lab, (n, 3), of parts (n, paints) of paints that are mixtures themselves."""
    tubes = [tube for paint in paints for tube, _ in paint]
    shares = np.zeros((len(paints), len(tubes)))
    column = 0
    for row, paint in enumerate(paints):
        amounts = np.array([amount for _, amount in paint])
        shares[row, column : column + len(paint)] = amounts / amounts.sum()
        column += len(paint)
    return Palette.of(tubes, box.surface).lab(np.asarray(parts, dtype=float) @ shares)


class Role(NamedTuple):
    """What makes a tube play a part, and which of several does best: the one of the most."""

    plays: Callable[[Looks], bool]
    best: Callable[[Looks], float]


class Looks(NamedTuple):
    """Munsell hue (0 to 100), value and chroma of a tube as squeezed, and of its tint."""

    tube: Tube
    hue: float
    value: float
    chroma: float
    tint_hue: float
    tint_chroma: float


YELLOWS, ORANGES, REDS, BLUES, WARM = (
    (17.5, 32.0),
    (9.0, 20.0),
    (95.0, 10.0),
    (58.0, 80.0),
    (5.0, 22.0),
)
"""Munsell hues of what a painter calls so, from the names of `colorimetry.hues`, a little wider as
tubes of one name differ: a tube of a lemon yellow is greener than a yellow in a picture."""

ROLES: dict[str, Role] = {
    LIGHT_YELLOW: Role(
        lambda one: within(one.hue, YELLOWS) and one.value >= 7.0 and one.chroma >= 6.0,
        lambda one: one.value,
    ),
    ORANGE: Role(
        lambda one: within(one.hue, ORANGES) and one.value >= 4.5 and one.chroma >= 11.0,
        lambda one: one.hue,
    ),
    "red": Role(
        lambda one: within(one.hue, REDS) and one.value >= 2.5 and one.chroma >= 9.0,
        lambda one: one.chroma,
    ),
    "ochre": Role(
        lambda one: is_earth(one.tube) and within(one.hue, YELLOWS) and one.value >= 4.0,
        lambda one: one.chroma,
    ),
    DARK_BLUE: Role(
        lambda one: within(one.tint_hue, BLUES) and one.tint_chroma >= 5.0 and one.value <= 2.5,
        lambda one: one.tint_hue,
    ),
    BROWN: Role(
        lambda one: within(one.tint_hue, WARM) and 1.0 <= one.tint_chroma < 6.0 and one.value < 3.5,
        lambda one: one.chroma,
    ),
}
"""Which tube plays a part, by its colour, and of several the best; a tutor's choice (common
practice, no source): the reddest of the dark blues, as a greenish one turns a red to green; the
yellowest orange; the strongest red, ochre and brown."""


def within(hue: float, ends: tuple[float, float]) -> bool:
    """Say whether a Munsell hue lies between two, upwards; 95 to 10 goes by way of 100."""
    low, high = ends
    return low < hue <= high if low < high else hue > low or hue <= high


def looks_of(box: Box, tube: Tube) -> Looks:
    """Return how a tube looks as squeezed and in its tint."""
    own, tint = colours_of(box, [((tube, 1.0),)], [[1.0]])[0], tint_of(box, [(tube, 1.0)])
    hue, value, strength = float(munsell_hue(own)), munsell_value(own), munsell_chroma(own)
    in_white = float(munsell_hue(tint)), float(munsell_chroma(tint))
    return Looks(tube, hue, float(value), float(strength), *in_white)


def tubes_for(box: Box, role: str) -> tuple[Tube, ...]:
    """Return the tubes of a box that play a part, the best first."""
    looks = [looks_of(box, tube) for tube in box.tubes if is_coloured(tube)]
    able = [one for one in looks if ROLES[role].plays(one)]
    return tuple(one.tube for one in sorted(able, key=ROLES[role].best, reverse=True))


ORANGE_RATIOS = ((1, 1), (2, 1), (3, 1), (4, 1), (6, 1), (9, 1), (12, 1), (16, 1))
"""Parts of yellow and red in which an orange is mixed that no tube is."""

ORANGE_HUE = 15.0
"""Munsell hue of an orange that is mixed: 5YR, the middle of the family (ASTM D1535)."""


def oranges(box: Box) -> tuple[Portions, ...]:
    """Return the oranges of a box: its tubes, else one of its yellow and its red."""
    ready = tubes_for(box, ORANGE)
    if ready:
        return tuple(((tube, 1.0),) for tube in ready)
    pairs = itertools.product(tubes_for(box, LIGHT_YELLOW)[:1], tubes_for(box, "red")[:1])
    return tuple(_orange(box, yellow, red) for yellow, red in pairs)


def _orange(box: Box, yellow: Tube, red: Tube) -> Portions:
    mixes: list[Portions] = [((yellow, float(p)), (red, float(q))) for p, q in ORANGE_RATIOS]
    hues = [float(munsell_hue(colours_of(box, [mix], [[1.0]])[0])) for mix in mixes]
    return mixes[int(np.argmin(np.abs(np.array(hues) - ORANGE_HUE)))]


FLESH_WHITE, FLESH_OCHRE = range(4, 31, 2), (1, 2, 3)
"""Parts of white, and of ochre to one of red, among which a flesh tint is looked for."""


def flesh_tint(box: Box) -> Portions:
    """Return white with a little ochre and red, as near as may be to the convenience tube.

    Empty where the box has no white, no ochre or no red.
    """
    white, ochre, red = white_of(box), tubes_for(box, "ochre")[:1], tubes_for(box, "red")[:1]
    if not (white and ochre and red):
        return ()
    aim = colours_of(box, [((built_in_tube(FLESH_TINT), 1.0),)], [[1.0]])[0]
    mixes: list[Portions] = [
        ((white[0], float(w)), (ochre[0], float(o)), (red[0], 1.0))
        for w, o in itertools.product(FLESH_WHITE, FLESH_OCHRE)
    ]
    off = [float(delta_e_00(colours_of(box, [mix], [[1.0]])[0], aim)) for mix in mixes]
    return mixes[int(np.argmin(off))]


def white_of(box: Box) -> tuple[Tube, ...]:
    return (box.white,) if any(tube.is_white for tube in box.tubes) else ()
