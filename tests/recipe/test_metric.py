"""The metric of a colour difference against the difference itself."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.recipe.doubt import metric, root


@pytest.mark.parametrize(
    "lab", [(50, 20, -30), (80, -5, 60), (20, 3, 2), (62, 14, 38), (40, 10, -55), (95, 0, 2)]
)
def test_near_a_colour_the_metric_is_ciede2000(lab: tuple[float, ...]) -> None:
    """Sharma, Wu & Dalal 2005 is the difference; a metric is its second order."""
    target = np.array(lab, dtype=float)
    draw = np.random.default_rng(0)
    around = target + draw.normal(0.0, 0.8, (300, 3))
    true = delta_e_00(around, target)
    away = around - target
    told = np.sqrt(np.einsum("ni,ij,nj->n", away, metric(target), away))
    far = true > 0.3
    assert np.median(np.abs(told[far] / true[far] - 1.0)) < 0.06
    assert np.quantile(np.abs(told[far] / true[far] - 1.0), 0.95) < 0.2


def test_a_euclidean_distance_has_the_identity_as_metric() -> None:
    def plain(labs: np.ndarray, target: np.ndarray) -> np.ndarray:
        return np.linalg.norm(labs - target, axis=-1)

    np.testing.assert_allclose(metric(np.array([50.0, 10.0, 10.0]), plain), np.eye(3), atol=1e-9)


def test_the_root_squared_is_the_metric() -> None:
    g = metric(np.array([30.0, 40.0, -20.0]))
    np.testing.assert_allclose(root(g) @ root(g), g, atol=1e-12)
