"""Continuous optima against SciPy's own search."""

from __future__ import annotations

import numpy as np
from scipy.optimize import minimize

from refmatch.recipe.continuous import optima
from refmatch.recipe.entries import entries_of
from refmatch.recipe.metric import metric, root
from refmatch.recipe.subsets import all_subsets, gather
from tests.recipe.boxes import eight_tubes, tint_targets, whole_part_targets


def test_no_subset_is_left_far_above_what_scipy_finds() -> None:
    """SLSQP on the simplex from several starts (SciPy), for the best subsets of each size."""
    entries = entries_of(eight_tubes())
    by_size = all_subsets(entries, 3)
    targets = whole_part_targets(entries.box, 3, 1) + tint_targets(entries.box, 3, 2)
    for target in targets:
        g = metric(target)
        m = root(g)
        for subsets in by_size[1:]:
            found = optima(entries, subsets, target, g, np.ones(len(subsets.members), bool))
            for row in range(2):
                curves = gather(entries.palette, found.members[row])

                def miss(shares: np.ndarray, curves=curves, target=target, m=m) -> float:
                    return float(np.linalg.norm((curves.lab(shares) - target) @ m))

                size = subsets.size
                starts = [np.full(size, 1.0 / size), found.shares[row], *np.eye(size) * 0.9 + 0.03]
                theirs = min(
                    minimize(
                        miss,
                        start / start.sum(),
                        method="SLSQP",
                        bounds=[(1e-4, 1.0)] * size,
                        constraints={"type": "eq", "fun": lambda x: x.sum() - 1.0},
                    ).fun
                    for start in starts
                )
                assert found.distance[row] <= theirs + 0.05


def test_habits_close_subsets() -> None:
    entries = entries_of(eight_tubes())
    subsets = all_subsets(entries, 2)[1]
    permitted = np.zeros(len(subsets.members), dtype=bool)
    permitted[5] = True
    target = np.array([50.0, 0.0, 0.0])
    found = optima(entries, subsets, target, metric(target), permitted)
    np.testing.assert_array_equal(found.members, subsets.members[[5]])
