"""The lower bound of CIEDE2000 over a box, against the difference itself."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.bound import MOST_T, T_SLOPE, _t, delta_e_00_at_least
from refmatch.colorimetry.lab import delta_e_00

CORNERS = np.array([[i, j, k] for i in (0, 1) for j in (0, 1) for k in (0, 1)], dtype=float)


@pytest.mark.parametrize("side", [2.0, 8.0])
@pytest.mark.parametrize("spread", [3.0, 15.0, 40.0])
@pytest.mark.parametrize("most_chroma", [3.0, 90.0])
def test_no_colour_of_a_box_is_nearer(side: float, spread: float, most_chroma: float) -> None:
    """Corners and random points of random boxes about random targets (Sharma et al. 2005)."""
    draw = np.random.default_rng(int(side * spread + most_chroma))
    slack, tight = [], []
    for _ in range(150):
        target = np.array([draw.uniform(2, 98), *draw.uniform(-most_chroma, most_chroma, 2)])
        low = np.floor((target + draw.normal(0.0, spread, (100, 3))) / side) * side
        inside = np.concatenate([np.tile(CORNERS, (100, 1, 1)), draw.random((100, 40, 3))], axis=1)
        true = delta_e_00(low[:, None] + side * inside, target).min(axis=1)
        bound = delta_e_00_at_least(low, low + side, target)
        slack.append((true - bound).min())
        tight.extend((bound / np.maximum(true, 1e-9))[true > side / 2.0])
    assert min(slack) > -1e-9
    assert np.median(tight) > 0.5


def test_a_point_is_its_own_box() -> None:
    draw = np.random.default_rng(1)
    points = np.column_stack([draw.uniform(0, 100, 500), draw.uniform(-80, 80, (500, 2))])
    target = np.array([55.0, 30.0, -20.0])
    true = delta_e_00(points, target)
    bound = delta_e_00_at_least(points, points, target)
    assert np.all(bound <= true + 1e-9)
    assert np.median(bound / true) > 0.98


def test_the_constants_of_t() -> None:
    hues = np.arange(0.0, 360.0, 0.01)
    assert _t(hues).max() <= MOST_T
    assert np.abs(np.gradient(_t(hues), hues)).max() <= T_SLOPE
