"""The growing k-means against scikit-learn's, and against divisions known beforehand."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.photo.masses import DAMPING, cells_of, growing_k_means, lloyd, squared_distances
from tests.photo.made_photos import photo_of_srgb, photograph


@pytest.mark.parametrize("name", ["coffee", "chelsea", "astronaut", "rocket"])
def test_inertia_is_that_of_scikit_learn_s_best_of_ten(name):
    """scikit-learn, k-means++ with ten starts, on the same weighted cells of a photograph.

    Both are local optima, ours from one start: within 5 %.
    """
    from sklearn.cluster import KMeans  # here, since every worker gathers every file
    from threadpoolctl import threadpool_limits

    cells = cells_of(photo_of_srgb(photograph(name)).working(320).xyz)
    weights = cells.solid**DAMPING
    ours = list(growing_k_means(cells.lab, weights, 8))
    for count in (3, 5, 8):
        with threadpool_limits(1):  # its threads wait on each other for so few points
            theirs = KMeans(count, n_init=10, random_state=0).fit(cells.lab, sample_weight=weights)
        ratio = ours[count - 1].inertia / theirs.inertia_
        print(f"{name} {count}: {ratio:.4f}")
        assert ratio < 1.05


def test_separate_clouds_are_found_exactly():
    rng = np.random.default_rng(1)
    middles = np.array([[20.0, 0, 0], [50, 40, 0], [50, -40, 10], [80, 0, 60]])
    truth = np.repeat(np.arange(4), 50)
    points = middles[truth] + rng.normal(0.0, 1.0, (200, 3))
    found = list(growing_k_means(points, np.ones(200), 4))[3]
    for kind in range(4):
        assert len(set(found.labels[truth == kind])) == 1
    assert len(set(found.labels)) == 4


def test_a_weight_is_worth_so_many_copies():
    rng = np.random.default_rng(2)
    points = rng.uniform(0.0, 100.0, (40, 3))
    weights = rng.integers(1, 6, 40)
    weighted = list(growing_k_means(points, weights.astype(float), 4))[3]
    copied = np.repeat(points, weights, axis=0)
    start = lloyd(copied, np.ones(len(copied)), weighted.centres)
    np.testing.assert_allclose(start.centres, weighted.centres, atol=1e-9)
    assert start.inertia == pytest.approx(weighted.inertia)


def test_more_centres_never_fit_worse():
    points = np.random.default_rng(3).uniform(0.0, 100.0, (300, 3))
    inertia = [run.inertia for run in growing_k_means(points, np.ones(300), 9)]
    assert np.all(np.diff(inertia) <= 0.0)


def test_no_more_centres_than_different_points():
    points = np.repeat(np.array([[10.0, 0, 0], [60, 0, 0]]), 5, axis=0)
    assert len(list(growing_k_means(points, np.ones(10), 6))) == 2


def test_squared_distances():
    points = np.array([[0.0, 0, 0], [1, 2, 2]])
    np.testing.assert_allclose(squared_distances(points, points), [[0.0, 9.0], [9.0, 0.0]])
