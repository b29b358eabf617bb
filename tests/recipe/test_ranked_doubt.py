"""Recipes are ranked by the doubt of their own tubes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.paint.box import Box, built_in_tube
from refmatch.recipe.doubt import P90, covariance, distance_within, metric, root, spreads
from refmatch.recipe.mixture import entries_of
from refmatch.recipe.rank import Judge, rank

KEYS = (
    "titanium-white",
    "ivory-black",
    "phthalo-green",
    "quinacridone-rose",
    "burnt-umber",
    "PB29",
)
BOX = Box("doubts", tuple(built_in_tube(key) for key in KEYS))


def test_what_ranking_counts_is_what_a_prediction_says() -> None:
    """Two ways to one figure: the covariance of one mix, and that of many at once."""
    entries = entries_of(BOX, let_downs=False)
    rng = np.random.default_rng(3)
    for _ in range(8):
        parts = rng.uniform(0.05, 1.0, len(KEYS)) * (rng.random(len(KEYS)) < 0.6)
        parts[0] += 0.5
        palette = entries.tube_palette
        lab = palette.lab(parts)
        m = root(metric(lab))
        whole = m @ covariance(palette, BOX.tubes, parts / parts.sum(), lab) @ m
        np.testing.assert_allclose(spreads(entries, parts[None], m).box[0], whole, atol=1e-3)


@pytest.mark.parametrize("seed", range(6))
def test_the_error_to_expect_is_that_of_random_draws(seed: int) -> None:
    """Draws of NumPy's generator; the median and nine in ten, near the target and far from it."""
    rng = np.random.default_rng(seed)
    axes = rng.normal(size=(3, 3)) * (3.0, 1.0, 0.3)
    off = rng.normal(size=3) * rng.choice([0.5, 4.0])
    drawn = np.linalg.norm(off + rng.normal(size=(100_000, 3)) @ axes.T, axis=1)
    for deviate, percent in ((0.0, 50), (P90, 90)):
        ours = distance_within(off[None], (axes @ axes.T)[None], deviate)[0]
        assert ours == pytest.approx(np.percentile(drawn, percent), rel=0.08)


def test_a_touch_of_a_doubtful_black_loses_to_one_that_was_measured() -> None:
    """The same curves twice: only what is known of their strength differs."""
    measured = replace(BOX.tubes[1], name="own black", source="measured", doubt=0.05)
    entries = entries_of(replace(BOX, tubes=(*BOX.tubes, measured)), let_downs=False)
    touches = np.zeros((2, len(KEYS) + 1), dtype=np.intp)
    touches[:, 0] = 24
    touches[0, 1] = touches[1, -1] = 1
    lab = entries.tube_palette.lab(touches[0].astype(float))
    judged = rank(entries, touches, Judge(lab, lambda seen: delta_e_00(seen, lab), metric(lab)))
    assert judged.parts[0, -1] == 1
    assert judged.expected[1] > 1.5 * judged.expected[0]
