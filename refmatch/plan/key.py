"""The key of a painting: its values as a set, carried into what paint can do.

A photo's blacks and glare lie outside paint. To match each colour as near as may be,
one by one, crushes all that lies beyond onto one value and leaves the rest where it was:
what was lighter is no longer lighter. So the values are carried over together, by one
curve that always rises. It leaves the middle alone and draws the ends in softly. That
a picture's relations of value matter more than its values is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.recipe.reach import ValueRange, value_range
from refmatch.recipe.subsets import Mask

END_SLOPE = 0.5
"""How steep the curve is at its ends, beside its middle: the steps that are drawn together most
keep half of what the middle keeps (our own choice)."""

EVEN = (1.0 + END_SLOPE) / 2.0
"""The mean slope of an end that is drawn in from a middle left alone."""

LEAST_KEPT = 0.5
"""The share of the targets' own range that is kept at least, where the box has room for it."""

UNMOVED = 0.25
"""Less than this, in L*, is not told as moved: nobody sees it."""

NOWHERE = 0.005
"""A curve that moves nothing by more is the identity."""

GAP = 1e-6
"""Less of L* between dark and light is no range."""

DARK_LSTAR, LIGHT_LSTAR = 25.0, 75.0
"""Clipped targets below were lost in black, above burnt out; between, a channel ran out of room."""

LOST = Flag("photo_lost_in_black")
BURNT_OUT = Flag("photo_burnt_out")
TOO_STRONG = Flag("photo_too_strong")
NO_RANGE = Flag("box_has_one_value")


@dataclass(frozen=True)
class Curve:
    """A rising curve on L*: two half parabolas with straight line between them.

    From ``low`` to ``dark_knee`` it bends up from ``low_to``; up to ``light_knee`` it is a
    straight line of ``slope``; from there to ``high`` it bends down to ``high_to``. At both
    ends its slope is `END_SLOPE` of the middle's, and goes on so beyond them.
    """

    low: float
    low_to: float
    dark_knee: float
    light_knee: float
    high: float
    high_to: float
    slope: float

    def at(self, lstar: Array | float) -> Array:
        """Return the keyed L* of any L*, any shape."""
        x = np.asarray(lstar, dtype=float)
        dark = self.low_to + _bend(x - self.low, self.dark_knee - self.low, self.slope)
        light = self.high_to - _bend(self.high - x, self.high - self.light_knee, self.slope)
        knee_to = self.low_to + EVEN * self.slope * (self.dark_knee - self.low)
        middle = knee_to + self.slope * (x - self.dark_knee)
        return np.where(x < self.dark_knee, dark, np.where(x > self.light_knee, light, middle))

    def points(self, count: int = 33) -> Array:
        """Return points to draw it by, (count, 2): L* of the photo, and keyed."""
        lstar = np.linspace(self.low, self.high, count)
        return np.column_stack([lstar, self.at(lstar)])

    @property
    def is_identity(self) -> bool:
        """Whether it changes nothing."""
        return bool(np.all(np.abs(np.diff(self.points(), axis=1)) < NOWHERE))


AS_IT_IS = Curve(0.0, 0.0, 0.0, 100.0, 100.0, 100.0, 1.0)
"""The key left alone: every value stays."""


@dataclass(frozen=True, eq=False)
class Key:
    """A set of targets before and after the key.

    ``before`` and ``after`` are Lab, (n, 3): only L* differs. ``delta_e_00`` (n,) is how
    far each was moved, ``mean_delta_e_00`` their mean by the targets' shares. ``flags``
    hold for the key as a whole, ``of_each`` for each target.
    """

    curve: Curve
    box_range: ValueRange
    before: Array
    after: Array
    delta_e_00: Array
    mean_delta_e_00: float
    flags: tuple[Flag, ...]
    of_each: tuple[tuple[Flag, ...], ...]


def key(labs: Array, shares: Array, box: Box, *, clipped: Mask | Sequence[bool] = ()) -> Key:
    """Carry a set of targets into the value range of a box, and keep the order of their values.

    All keyed L* lie within the range that the box mixes. Where all do already, none is
    moved. Hue and chroma are left alone: where a box cannot reach them, its recipes hold
    value first, then hue, and give up chroma.

    Args:
        labs: the targets, (n, 3), D50; n >= 1.
        shares: of the picture, (n,), of any sum.
        box: whose range counts.
        clipped: (n,), which of them the camera clipped; none where left out.
    """
    reach = value_range(box)
    return _keyed(labs, shares, _curve(labs[:, 0], reach), reach, clipped)


def unkeyed(labs: Array, shares: Array, box: Box, *, clipped: Mask | Sequence[bool] = ()) -> Key:
    """Return the same targets with the key switched off: all stay as the photo has them."""
    return _keyed(labs, shares, AS_IT_IS, value_range(box), clipped)


def _keyed(
    labs: Array, shares: Array, curve: Curve, reach: ValueRange, clipped: Mask | Sequence[bool]
) -> Key:
    after = np.array(labs, dtype=float)
    after[:, 0] = labs[:, 0] if curve is AS_IT_IS else np.clip(curve.at(labs[:, 0]), *reach)
    moved = delta_e_00(after, labs)
    lost = clipped if len(clipped) else [False] * len(labs)
    return Key(
        curve=curve,
        box_range=reach,
        before=np.array(labs, dtype=float),
        after=after,
        delta_e_00=moved,
        mean_delta_e_00=float(np.average(moved, weights=shares)),
        flags=(NO_RANGE,) if _is_point(reach) else (),
        of_each=tuple(_clipped_flags(lab, bool(so)) for lab, so in zip(labs, lost, strict=True)),
    )


def _clipped_flags(lab: Array, clipped: bool) -> tuple[Flag, ...]:
    if not clipped:
        return ()
    if DARK_LSTAR < lab[0] < LIGHT_LSTAR:
        return (TOO_STRONG,)
    return (BURNT_OUT,) if lab[0] >= LIGHT_LSTAR else (LOST,)


def _curve(lstar: Array, reach: ValueRange) -> Curve:
    """Return the curve that carries these L* into a box's range and changes least between.

    The ends are drawn in from where the middle may stay as it is. Where the box is so
    narrow that the two bends would meet, the whole is drawn together about that place.
    """
    low, high = float(np.min(lstar)), float(np.max(lstar))
    low_to, high_to = _ends(low, high, reach)
    if low_to == low and high_to == high:
        return AS_IT_IS
    if high - low < GAP:  # one value: lifted or lowered as it is
        return Curve(low, low_to, low, high, high, high_to, 1.0)
    mean = (high_to - low_to) / (high - low)
    slope = min(1.0, mean / EVEN)
    share = EVEN * slope
    dark, light = (low_to - share * low) / (1.0 - share), (high_to - share * high) / (1.0 - share)
    if slope < 1.0:  # the bends meet
        dark = light = float(np.clip(dark, low, high))
    return Curve(low, low_to, max(dark, low), min(light, high), high, high_to, slope)


def _ends(low: float, high: float, reach: ValueRange) -> tuple[float, float]:
    """Return where the darkest and the lightest target go.

    Where all lie beyond one end of the box, the other end makes room, so that their
    differences are kept by `LEAST_KEPT`.
    """
    room = min(LEAST_KEPT * (high - low), reach.light_lstar - reach.dark_lstar)
    low_to = float(np.clip(low, reach.dark_lstar, reach.light_lstar - room))
    high_to = float(np.clip(high, low_to + room, max(reach.light_lstar, low_to + room)))
    return low_to, high_to


def _bend(along: Array, length: float, slope: float) -> Array:
    """Return how far a half parabola rises, from `END_SLOPE` of a slope to the whole of it."""
    steeper = slope * (1.0 - END_SLOPE) / (2.0 * max(length, 1e-9))
    within = np.clip(along, 0.0, length)
    return slope * END_SLOPE * along + steeper * within**2


def _is_point(reach: ValueRange) -> bool:
    return reach.light_lstar - reach.dark_lstar < GAP
