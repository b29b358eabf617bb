"""Ways in which a puddle can be nudged, and what of a move goes that way and what goes astray.

A colour is moved along one axis of CIELAB: lightness L*, chroma C*, a* or b*. The move
is parted in two: the step along the axis with all else as it was, and all else with the
axis as it was. Each part is told by its own CIEDE2000.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.lab import chroma, delta_e_00
from refmatch.colorimetry.spectrum import Array


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
