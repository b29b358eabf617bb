"""Numbers beside holes: inside the photo, and on no hole or other number while there is room."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.sheet.cover import Ring, beside
from refmatch.sheet.pen import Area

ROOM = Area(0.0, 0.0, 500.0, 300.0)
SIZE = (15.0, 11.0)


def _overlap(one: Area, other: Area) -> float:
    across = min(one.right, other.right) - max(one.x, other.x)
    down = min(one.bottom, other.bottom) - max(one.y, other.y)
    return max(across, 0.0) * max(down, 0.0)


@pytest.mark.parametrize("seed", range(10))
def test_twenty_holes_anywhere(seed):
    rng = np.random.default_rng(seed)
    rings = [Ring(x, y, 4.0) for x, y in rng.uniform((0, 0), (500, 300), (20, 2))]
    plates = beside(rings, SIZE, ROOM)
    for index, plate in enumerate(plates):
        assert _overlap(plate, ROOM) == pytest.approx(SIZE[0] * SIZE[1])
        assert all(_overlap(plate, other) == 0.0 for other in plates[index + 1 :])
        for ring in rings:
            box = Area(ring.x - 4.0, ring.y - 4.0, 8.0, 8.0)
            assert _overlap(plate, box) == 0.0


@pytest.mark.parametrize("corner", [(0.0, 0.0), (500.0, 0.0), (0.0, 300.0), (500.0, 300.0)])
def test_a_hole_in_a_corner_has_its_number_inside(corner):
    plate = beside([Ring(*corner, 4.0)], SIZE, ROOM)[0]
    assert _overlap(plate, ROOM) == pytest.approx(SIZE[0] * SIZE[1])


def test_a_lone_hole_has_its_number_just_above():
    plate = beside([Ring(250.0, 150.0, 4.0)], SIZE, ROOM)[0]
    assert plate.x + plate.width / 2.0 == pytest.approx(250.0)
    assert 0.0 < 150.0 - 4.0 - plate.bottom < 5.0
