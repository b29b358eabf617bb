"""Continuous optima against SciPy's own search."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize

from refmatch.recipe.continuous import Aim, Limits, Measure, improved
from refmatch.recipe.doubt import metric, root
from refmatch.recipe.growth import Field, grow, start, starts_of
from refmatch.recipe.mixture import entries_of
from refmatch.recipe.reach import Held, held_distance
from refmatch.recipe.subsets import gather
from tests.recipe.boxes import eight_tubes, tint_targets, whole_part_targets

LEAST = 1.0 / 32


def searched(measure: Measure) -> tuple[Field, list]:
    entries = entries_of(eight_tubes())
    everything = np.arange(len(entries.items))
    field = Field(
        entries,
        starts_of(entries, 3, everything),
        3,
        32,
        lambda members: np.ones(len(members), dtype=bool),
        lambda members: np.zeros(len(members)),
    )
    return field, list(grow(field, measure, start(field, measure)))


def measures() -> list[Measure]:
    box = eight_tubes()
    near = whole_part_targets(box, 2, 1) + tint_targets(box, 2, 2)
    far = [np.array([55.0, 60.0, -70.0]), np.array([90.0, -30.0, 90.0])]
    return [*(Aim(lab, root(metric(lab)), 0) for lab in near), *(Held(lab) for lab in far)]


@pytest.mark.parametrize("measure", measures())
def test_no_subset_is_left_far_above_what_scipy_finds(measure: Measure) -> None:
    """SLSQP on the simplex from several starts (SciPy), for the best subsets of each size."""
    field, sizes = searched(measure)
    for found in sizes[1:]:
        size = found.members.shape[1]
        for row in range(3):
            curves = gather(field.entries.palette, found.members[row])

            def miss(shares: np.ndarray, curves=curves) -> float:
                return float(np.linalg.norm(measure.miss(curves.lab(shares[None]))[0]))

            starts = [np.full(size, 1.0 / size), found.shares[row], *np.eye(size) * 0.85 + 0.05]
            theirs = min(
                minimize(
                    miss,
                    first / first.sum(),
                    method="SLSQP",
                    bounds=[(LEAST, 1.0)] * size,
                    constraints={"type": "eq", "fun": lambda x: x.sum() - 1.0},
                ).fun
                for first in starts
            )
            assert found.distance[row] <= theirs + 0.05


def test_a_share_is_never_less_than_a_hand_can_lay_out() -> None:
    """White with a touch of ultramarine: the touch would be one part in 400."""
    entries = entries_of(eight_tubes())
    members = np.array([[0, 6]])
    lab = entries.palette.lab(
        np.eye(len(entries.items))[0] + 0.0025 * np.eye(len(entries.items))[6]
    )
    aim = Aim(lab, root(metric(lab)), 0)
    half = np.array([[0.5, 0.5]])
    free, near = improved(entries, members, half, aim, Limits(20))
    held, off = improved(entries, members, half, aim, Limits(20, LEAST))
    assert free[0, 1] == pytest.approx(0.0025 / 1.0025, rel=0.05)
    assert held[0, 1] == pytest.approx(LEAST, rel=0.05)
    assert near.distance[0] < 0.05 < off.distance[0]


def test_the_miss_of_a_colour_out_of_reach_is_as_long_as_its_held_distance() -> None:
    draw = np.random.default_rng(5)
    for _ in range(20):
        target = np.array([draw.uniform(5, 95), *draw.uniform(-80, 80, 2)])
        labs = target + draw.normal(0.0, 20.0, (50, 3))
        missed, slopes = Held(target).miss(labs)
        np.testing.assert_allclose(
            np.linalg.norm(missed, axis=1), held_distance(labs, target), rtol=1e-3, atol=1e-3
        )
        inside = np.hypot(labs[:, 1], labs[:, 2]) > 5.0
        for axis in range(3):
            step = 1e-4 * np.eye(3)[axis]
            by_axis = (Held(target).miss(labs + step)[0] - Held(target).miss(labs - step)[0]) / 2e-4
            turned = np.sum(labs[:, 1:] * target[1:], axis=1) > 0.0
            np.testing.assert_allclose(
                slopes[inside & turned, :, axis], by_axis[inside & turned], atol=1e-4
            )
