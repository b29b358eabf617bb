"""A move of a puddle in Lab, as a painter speaks of it: lighter, warmer, duller, chalky.

What a tube does to a puddle is never one thing. A move is parted in two, the step along what was
asked for with all else as it was, and all else with that as it was; each is measured by
its own CIEDE2000. And a move may spoil a colour, in one of four ways that every painter knows.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.hues import LEANS_ABOVE, munsell_chroma
from refmatch.colorimetry.lab import chroma, delta_e_00, hue_deg
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import WARM_POLE_DEG, both_blue


class Direction(NamedTuple):
    """An axis ("lightness", "chroma", "warmth" or "turn"), and which way along it.

    ``sign`` is +1 or -1. A turn along the hue circle goes the shorter way to ``towards_deg``.
    """

    axis: str
    sign: float = 1.0
    towards_deg: float = 0.0


DIRECTIONS: dict[str, Direction] = {
    "lighter": Direction("lightness"),
    "darker": Direction("lightness", -1.0),
    "warmer": Direction("warmth"),
    "cooler": Direction("warmth", -1.0),
    "duller": Direction("chroma", -1.0),
    "stronger": Direction("chroma"),
    "redder": Direction("turn", towards_deg=0.0),
    "yellower": Direction("turn", towards_deg=90.0),
    "greener": Direction("turn", towards_deg=180.0),
}
"""What a painter asks for. The hues of a turn are the ends of the axes a* and b*."""

USUAL = ("lighter", "darker", "warmer", "cooler", "duller", "stronger")
"""What is asked of any colour."""

TURNS_OF_BLUE, TURNS_OF_ORANGE = ("redder", "greener"), ("redder", "yellower")
"""What is asked besides where temperature tells little: at its poles the hue turns across it."""

NEAR_POLE_DEG = 25.0
"""How far from orange a hue still is one: the reds end at about 30, the yellows begin at 80."""

HUELESS_BELOW = 1.0
"""C* under which nothing is said of a hue angle."""

DISAGREE = 0.25
"""Where hue and chroma pull against one another, the share of the greater that the lesser may be,
in dE00, before nothing is claimed (our own choice)."""

LEAST_DELTA_E_00 = 1.0
"""Of a smaller change no temperature is claimed, and nothing is called muddy."""

SPOILT_DELTA_E_00 = 0.5
"""The chroma that makes a lightened colour chalky and a darkened one flat: half of what is seen at
once, since a nudge is only the beginning."""

PRICE = 0.25
"""The same of a long way, for each dE00 of lightness: a nudge goes 2, and is spoilt by 0.5."""


def directions_of(lab: Array) -> tuple[str, ...]:
    """Return what a painter asks of a colour, shape (3,).

    Of two blues painters dispute which is the warm one, and an orange is as warm as a hue can
    be: for these the turns of the hue stand beside temperature.
    """
    if chroma(lab) < HUELESS_BELOW:
        return USUAL
    if both_blue(lab, lab):
        return USUAL + TURNS_OF_BLUE
    off = abs(float(hue_deg(lab)) - WARM_POLE_DEG)
    return USUAL + TURNS_OF_ORANGE if off < NEAR_POLE_DEG else USUAL


def is_neutral(lab: Array) -> bool:
    """Whether a colour, shape (3,), is a grey that leans nowhere: it has no chroma to change."""
    return bool(munsell_chroma(lab) < LEANS_ABOVE)


def along_and_astray(labs: Array, before: Array, direction: Direction) -> tuple[Array, Array]:
    """Part moves from ``before`` (3,) to ``labs`` (n, 3) in two, each in dE00, (n,).

    The first is how far a move goes the wanted way, below zero where it goes the other;
    the second how far everything else has gone.
    """
    start = np.broadcast_to(before, labs.shape)
    size, step, rest = PARTED[direction.axis](labs, start, direction)
    return np.sign(size) * delta_e_00(step, start), delta_e_00(rest, start)


Parted = tuple[Array, Array, Array]
"""How far it goes the wanted way (n,), the colours of the step alone and of all else, (n, 3)."""


def _lightness(labs: Array, start: Array, direction: Direction) -> Parted:
    step, rest = start.copy(), labs.copy()
    step[:, 0], rest[:, 0] = labs[:, 0], start[:, 0]
    return direction.sign * (labs - start)[:, 0], step, rest


def _chroma(labs: Array, start: Array, direction: Direction) -> Parted:
    size = direction.sign * (chroma(labs) - chroma(start))
    return size, _lch(start, of_chroma=labs), _lch(labs, of_chroma=start)


def _warmth(labs: Array, start: Array, direction: Direction) -> Parted:
    """Part a move by what of it leads towards orange, or away.

    Of the hue that is its turn, of chroma as much as the hue lies at a pole; each is part of the
    step where it leads the way that both together go, else of all the rest. Where they pull
    against one another, as they are seen, there is no step at all. A grey has no hue, and goes
    straight towards a pole.
    """
    by_chroma, by_hue = _towards_warm(labs, start)
    way = np.sign(by_chroma + by_hue)
    was, d_c = chroma(start), chroma(labs) - chroma(start)
    gained = np.sign(d_c) * np.minimum(np.abs(d_c), np.abs(by_chroma))
    turned, grown = _lch(start, of_hue=labs), _with_chroma(start, was + gained, start)
    one, other = delta_e_00(turned, start), delta_e_00(grown, start)
    disagree = (by_chroma * by_hue < 0.0) & (
        np.minimum(one, other) > DISAGREE * np.maximum(one, other)
    )
    size = np.where(disagree, 0.0, direction.sign * (by_chroma + by_hue))
    gained = np.where(way * by_chroma > 0.0, gained, 0.0)
    turns = (way * by_hue > 0.0)[:, None]
    step = _with_chroma(np.where(turns, turned, start), was + gained, start)
    rest = _with_chroma(np.where(turns, _lch(labs, of_hue=start), labs), was + d_c - gained, start)
    hueless = (np.minimum(was, chroma(labs)) < HUELESS_BELOW)[:, None]
    straight = np.zeros_like(start)
    straight[:, 1:] = (by_chroma + by_hue)[:, None] * WARM_POLE
    return size, np.where(hueless, start + straight, step), np.where(hueless, labs - straight, rest)


def _turn(labs: Array, start: Array, direction: Direction) -> Parted:
    turned = _signed(hue_deg(labs) - hue_deg(start))
    room = _signed(direction.towards_deg - hue_deg(start))
    size = turned * np.sign(room)
    size = np.where(size > np.abs(room), 0.0, size)  # beyond the end it is another hue
    hueless = np.minimum(chroma(labs), chroma(start)) < HUELESS_BELOW
    return (
        np.where(hueless, 0.0, size),
        _lch(start, of_hue=labs),
        _lch(labs, of_hue=start),
    )


PARTED = {"lightness": _lightness, "chroma": _chroma, "warmth": _warmth, "turn": _turn}

WARM_POLE: Array = np.array([np.cos(np.radians(WARM_POLE_DEG)), np.sin(np.radians(WARM_POLE_DEG))])


def _towards_warm(labs: Array, start: Array) -> tuple[Array, Array]:
    """Return how far chroma, and how far hue, has moved colours towards orange, in a*b*, (n,).

    With t the angle from the warm pole, C' cos t' - C cos t is exactly the change of C times the
    mean of cos t, plus the mean of C times the change of cos t. A grey has no hue of its own
    to turn: there all is said of chroma. Both colours are compared at one value, as a
    shadow loses C* with L* (`spoilt`) and is not called cooler for it.
    """
    at_one_value = labs[:, 1:] * (start[:, :1] / np.maximum(labs[:, :1], 1.0))
    was, now = start[:, 1:] @ WARM_POLE, at_one_value @ WARM_POLE
    c_was, c_now = chroma(start), np.hypot(*at_one_value.T)
    hueless = np.minimum(c_was, c_now) < HUELESS_BELOW
    cos_was, cos_now = (
        warm / np.where(hueless, 1.0, c) for warm, c in ((was, c_was), (now, c_now))
    )
    by_chroma = np.where(hueless, now - was, (c_now - c_was) * (cos_was + cos_now) / 2.0)
    return by_chroma, now - was - by_chroma


def warmth(after: Array, before: Array) -> float:
    """Return by how much one colour (3,) is warmer than another, in dE00, below zero if cooler.

    Zero where it is hardly seen, or where hue and chroma do not agree on it.
    """
    along, _ = along_and_astray(after[None], before, DIRECTIONS["warmer"])
    return float(along[0]) if abs(along[0]) >= LEAST_DELTA_E_00 else 0.0


def hues_apart(one_deg: Array | float, other_deg: Array | float) -> Array:
    """Return how far hue angles are from one another, 0 to 180 degrees."""
    return np.abs(_signed(np.asarray(one_deg) - other_deg))


def _signed(turn_deg: Array) -> Array:
    return (turn_deg + 180.0) % 360.0 - 180.0


def _lch(lab: Array, *, of_chroma: Array | None = None, of_hue: Array | None = None) -> Array:
    """Return colours (n, 3) with the chroma, or the hue, of others."""
    if of_hue is not None:
        return _with_chroma(np.column_stack([lab[:, 0], of_hue[:, 1:]]), chroma(lab), lab)
    assert of_chroma is not None
    return _with_chroma(lab, chroma(of_chroma), of_chroma)


def _with_chroma(lab: Array, wanted: Array, hued: Array) -> Array:
    """Return colours (n, 3) of so much chroma; a perfect grey takes the hue of another."""
    own = chroma(lab)
    has_hue = own > 1e-9
    scale = wanted / np.where(has_hue, own, 1.0)
    plane = np.where(has_hue[:, None], scale[:, None] * lab[:, 1:], hued[:, 1:])
    return np.column_stack([lab[:, 0], plane])


# What spoils a colour.

CHALKY, FLAT, GREEN, MUDDY = "chalky", "flat", "green", "muddy"

GREENS_DEG = (100.0, 200.0)
"""CIELAB hues of greens, from the olives that a yellow ends in (common practice, no source)."""

GREEN_CHROMA, GREEN_TURN_DEG = 6.0, 8.0
"""C* from which a green is seen as one, and how far a hue must turn to have gone there."""


def spoilt(after: Array, before: Array, *, coloured: bool, price: float = 0.0) -> tuple[str, ...]:
    """Return how a move spoils a colour, shape (3,).

    ``coloured`` says that a tube with a hue of its own made the move. ``price`` is how much chroma
    it may cost for each dE00 of lightness: 0 of a nudge, which is short (`PRICE` of a long way).

    Chalky: lighter at the price of chroma, as white lightens and nothing makes up for the hue.
    Flat: darker, and C* falls faster than L*. In a shadow both fall alike, since less of the same
    light comes back; black takes the colour first. Muddy: the same by a coloured tube that takes
    more of the light than of the chroma; a complement of the colour's own value takes chroma
    alone. That a colour goes green, `goes_green` tells by where the tube leads.
    """
    d_l, d_c = (size_along(axis, after, before) for axis in ("lightness", "chroma"))
    if d_c > -max(SPOILT_DELTA_E_00, price * abs(d_l)) or abs(d_l) < LEAST_DELTA_E_00:
        return ()
    if d_l > 0.0:
        return (CHALKY,)
    if chroma(after) * before[0] >= chroma(before) * after[0]:
        return ()
    if coloured:
        return (MUDDY,) if d_l < d_c <= -LEAST_DELTA_E_00 else ()
    return (FLAT,)


def goes_green(path: Array, before: Array) -> bool:
    """Tell whether a colour (3,) is led through a green, or a fuller green, on a path (n, 3)."""
    low, high = GREENS_DEG
    hues, middle = hue_deg(path), (low + high) / 2.0
    off, off_before = np.abs(_signed(hues - middle)), np.abs(_signed(hue_deg(before) - middle))
    green = (hues > low) & (hues < high) & (chroma(path) >= GREEN_CHROMA)
    return bool(np.any(green & (off_before - off >= GREEN_TURN_DEG)))


def size_along(axis: str, after: Array, before: Array) -> float:
    """Return how far one colour (3,) is from another up an axis, in dE00, below zero if down."""
    along, _ = along_and_astray(after[None], before, Direction(axis))
    return float(along[0])
