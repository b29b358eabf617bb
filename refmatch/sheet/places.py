"""Where the numbers stand beside the holes, so that none covers a hole or another number."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from refmatch.sheet.pen import Area

DIRECTIONS = 16
REACHES = (1.0, 1.6, 2.4, 3.4, 4.6, 6.0)
"""How far out a number may stand, in heights of its plate."""


@dataclass(frozen=True)
class Ring:
    """A circle on the page, in points."""

    x: float
    y: float
    radius: float


def beside(rings: Sequence[Ring], size: tuple[float, float], room: Area) -> list[Area]:
    """Return a plate of ``size`` (width, height) for each ring, inside ``room``.

    Rings are taken in turn; each gets the nearest place, above first, that meets
    no ring and no earlier plate. Where everything is taken, the one that meets least.
    """
    plates: list[Area] = []
    for ring in rings:
        plates.append(
            min(_candidates(ring, size), key=lambda c: _cost(c, ring, rings, plates, room))
        )
    return plates


def _candidates(ring: Ring, size: tuple[float, float]) -> list[Area]:
    width, height = size
    found = []
    for reach in REACHES:
        for turn in range(DIRECTIONS):
            # Above first, then alternately right and left of it.
            step = (turn + 1) // 2 * (1 if turn % 2 else -1)
            angle = math.radians(-90.0 + step * 360.0 / DIRECTIONS)
            along = ring.radius + (reach - 0.3) * height
            x = ring.x + math.cos(angle) * (along + width / 2.0 - height / 4.0)
            y = ring.y + math.sin(angle) * (along + height / 4.0)
            found.append(Area(x - width / 2.0, y - height / 2.0, width, height))
    return found


def _cost(
    plate: Area, own: Ring, rings: Sequence[Ring], plates: Sequence[Area], room: Area
) -> float:
    distance = math.hypot(plate.x + plate.width / 2 - own.x, plate.y + plate.height / 2 - own.y)
    meets = sum(_overlap(plate, other) for other in plates)
    meets += sum(_overlap(plate, _around(ring)) for ring in rings)
    outside = plate.width * plate.height - _overlap(plate, room)
    return distance + 1000.0 * meets + 10000.0 * outside


def _around(ring: Ring) -> Area:
    reach = ring.radius + 1.0
    return Area(ring.x - reach, ring.y - reach, 2.0 * reach, 2.0 * reach)


def _overlap(one: Area, other: Area) -> float:
    across = min(one.right, other.right) - max(one.x, other.x)
    down = min(one.bottom, other.bottom) - max(one.y, other.y)
    return max(across, 0.0) * max(down, 0.0)
