"""How near a colour within a box of Lab can possibly come to a target, in CIEDE2000.

A search that discards whole boxes of colours must never discard the best one. So each
term of the difference is bounded by interval arithmetic: lengths and weights by their
ends, the hue by the box's corners. The result is never above the true least difference;
for small boxes it is within a few per cent of it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array

MOST_T = 1.5725
"""The largest value of T, equation (15) of Sharma, Wu & Dalal 2005, over all hues."""

T_SLOPE = 0.0419
"""A bound on how fast T turns, per degree: the sum of its amplitudes times frequencies."""


@dataclass(frozen=True, eq=False)
class Span:
    """Lower and upper ends of a quantity, (n,) each."""

    low: Array
    high: Array


def delta_e_00_at_least(low: Array, high: Array, target: Array) -> Array:
    """Return a lower bound of dE00 from ``target`` (3,) to any colour of each box, (n,).

    Boxes have the corners ``low`` and ``high``, (n, 3). Equation numbers are those of
    Sharma, Wu & Dalal 2005, doi:10.1002/col.20070.
    """
    a, b = float(target[1]), float(target[2])
    chroma = chroma_span(low, high)
    g = Span(_g((np.hypot(a, b) + chroma.high) / 2.0), _g((np.hypot(a, b) + chroma.low) / 2.0))
    ours = Span(np.hypot(g.low * a, b), np.hypot(g.high * a, b))
    theirs = _length(low[:, 1:], high[:, 1:], g)
    hue = _hue_span(low, high, target, g)
    d_c = Span(
        np.maximum(np.maximum(theirs.low - ours.high, ours.low - theirs.high), 0.0),
        np.maximum(theirs.high - ours.low, ours.high - theirs.low),
    )
    apart = (
        outside(low[:, 1], high[:, 1], a) ** 2 * g.low**2 + outside(low[:, 2], high[:, 2], b) ** 2
    )
    d_h_squared = np.maximum(
        2.0 * ours.low * theirs.low * (1.0 - np.cos(np.radians(hue.least))),
        np.maximum(apart - d_c.high**2, 0.0),
    )
    c_bar = (ours.high + theirs.high) / 2.0
    s_c, s_h = 1.0 + 0.045 * c_bar, 1.0 + 0.015 * c_bar * hue.most_t  # (19), (20)
    opposite = _sign(theirs, ours) * hue.sign < 0.0
    rotation = np.where(opposite, 0.0, _rotation(hue, c_bar))
    in_plane = _least_form(d_c.low / s_c, np.sqrt(d_h_squared) / s_h, rotation)
    plain = (1.0 - _rotation(hue, c_bar) / 2.0) * apart / np.maximum(s_c, s_h) ** 2
    return np.sqrt(_lightness(low, high, target) + np.maximum(in_plane, plain))


def _lightness(low: Array, high: Array, target: Array) -> Array:
    """Return the least squared lightness term, with the largest S_L (18) of the box."""
    lstar = float(target[0])
    farthest = np.abs((lstar + low[:, 0]) / 2.0 - 50.0)
    farthest = np.maximum(farthest, np.abs((lstar + high[:, 0]) / 2.0 - 50.0)) ** 2
    s_l = 1.0 + 0.015 * farthest / np.sqrt(20.0 + farthest)
    return (outside(low[:, 0], high[:, 0], lstar) / s_l) ** 2


@dataclass(frozen=True, eq=False)
class _Hue:
    """The hue of a box beside the target's: degrees, and what depends on them."""

    least: Array
    sign: Array
    middle: Array
    half: Array
    most_t: Array


def _hue_span(low: Array, high: Array, target: Array, g: Span) -> _Hue:
    """Bound the hue difference and the mean hue, a' stretched by g at both its ends."""
    a, b = float(target[1]), float(target[2])
    corner_a = np.stack([low[:, 1], low[:, 1], high[:, 1], high[:, 1]])
    corner_b = np.stack([low[:, 2], high[:, 2], low[:, 2], high[:, 2]])
    hues = np.degrees(
        np.arctan2(np.tile(corner_b, (2, 1)), np.vstack([corner_a * g.low, corner_a * g.high]))
    )
    own = np.degrees(np.arctan2(b, g.low * a))
    drift = _turn(np.degrees(np.arctan2(b, g.high * a)) - own)
    relative = _turn(hues - own)
    first, last = relative.min(axis=0), relative.max(axis=0)
    around = (_length(low[:, 1:], high[:, 1:]).low <= 0.0) | (last - first > 180.0)
    first = np.where(around, -180.0, np.maximum(first - np.maximum(drift, 0.0), -180.0))
    last = np.where(around, 180.0, np.minimum(last - np.minimum(drift, 0.0), 180.0))
    unsure = around | (first <= -175.0) | (last >= 175.0)  # the mean may lie on either side
    sign = np.where(first > 0.0, 1.0, np.where(last < 0.0, -1.0, 0.0))
    start = own + first / 2.0 + np.minimum(drift, 0.0)
    end = own + last / 2.0 + np.maximum(drift, 0.0)
    half = np.where(unsure, 180.0, (end - start) / 2.0)
    middle = (start + end) / 2.0
    return _Hue(
        least=np.maximum(np.maximum(first, -last), 0.0),
        sign=np.where(unsure, 0.0, sign),
        middle=middle,
        half=half,
        most_t=np.minimum(_t(middle) + T_SLOPE * half, MOST_T),
    )


def _rotation(hue: _Hue, c_bar: Array) -> Array:
    """Return the largest size of R_T (21) within the mean hues of each box."""
    away = np.maximum(np.abs(_turn(275.0 - hue.middle)) - hue.half, 0.0)
    r_c = 2.0 * np.sqrt(c_bar**7 / (c_bar**7 + 25.0**7))  # (17)
    return np.sin(np.radians(60.0 * np.exp(-((away / 25.0) ** 2)))) * r_c  # (16), (21)


def _least_form(x: Array, y: Array, rotation: Array) -> Array:
    """Return the least of u^2 + v^2 - rotation u v over u >= x, v >= y, all 0 or more."""
    v = np.maximum(y, rotation * x / 2.0)
    u = np.maximum(x, rotation * y / 2.0)
    return np.minimum(x * x + v * v - rotation * x * v, u * u + y * y - rotation * u * y)


def _sign(theirs: Span, ours: Span) -> Array:
    return np.where(theirs.low > ours.high, 1.0, np.where(ours.low > theirs.high, -1.0, 0.0))


def _length(low: Array, high: Array, stretch: Span | None = None) -> Span:
    """Return the span of lengths in boxes of the a*b* plane, a* stretched if asked."""
    least = np.maximum(np.maximum(low, -high), 0.0)
    most = np.maximum(np.abs(low), np.abs(high))
    if stretch is None:
        return Span(np.hypot(*least.T), np.hypot(*most.T))
    return Span(
        np.hypot(stretch.low * least[:, 0], least[:, 1]),
        np.hypot(stretch.high * most[:, 0], most[:, 1]),
    )


def chroma_span(low: Array, high: Array) -> Span:
    """Return between what C* the colours of each box lie."""
    return _length(low[:, 1:], high[:, 1:])


def least_turn(low: Array, high: Array, target: Array) -> Array:
    """Return the least hue difference of each box from a target, in degrees, (n,)."""
    plain = Span(np.ones(len(low)), np.ones(len(low)))
    return _hue_span(low, high, target, plain).least


def outside(low: Array, high: Array, value: float) -> Array:
    """Return how far a value lies outside each interval, 0 inside, (n,)."""
    return np.maximum(np.maximum(low - value, value - high), 0.0)


def _g(c_bar: Array) -> Array:
    """Return 1 + G, equations (4) and (5); falls as chroma grows."""
    seventh = c_bar**7
    return 1.5 - 0.5 * np.sqrt(seventh / (seventh + 25.0**7))


def _t(hue: Array) -> Array:
    """Return T (15) of a mean hue in degrees."""
    h = np.radians(hue)
    return (
        1.0
        - 0.17 * np.cos(h - np.radians(30.0))
        + 0.24 * np.cos(2.0 * h)
        + 0.32 * np.cos(3.0 * h + np.radians(6.0))
        - 0.20 * np.cos(4.0 * h - np.radians(63.0))
    )


def _turn(degrees: Array) -> Array:
    """Bring an angle to -180 .. 180 degrees."""
    return (degrees + 180.0) % 360.0 - 180.0
