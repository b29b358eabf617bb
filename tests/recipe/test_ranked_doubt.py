"""Recipes are ranked by the doubt of their own tubes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.paint.box import Box, built_in_tube
from refmatch.recipe.doubt import covariance, metric
from refmatch.recipe.mixture import entries_of
from refmatch.recipe.rank import Judge, rank, spread_squared

KEYS = (
    "titanium-white",
    "ivory-black",
    "phthalo-green",
    "quinacridone-rose",
    "burnt-umber",
    "PB29",
)
BOX = Box("doubts", tuple(built_in_tube(key) for key in KEYS))


def test_what_ranking_counts_is_nearly_what_a_prediction_says() -> None:
    """Two ways to one figure: tr(G C) of the covariance, and the ranking's quicker sum."""
    entries = entries_of(BOX, let_downs=False)
    rng = np.random.default_rng(3)
    for _ in range(8):
        parts = rng.uniform(0.05, 1.0, len(KEYS)) * (rng.random(len(KEYS)) < 0.6)
        parts[0] += 0.5
        palette = entries.tube_palette
        lab = palette.lab(parts)
        g = metric(lab)
        whole = np.trace(g @ covariance(palette, BOX.tubes, parts, lab))
        _, counted = spread_squared(entries, parts[None], g)
        assert 0.4 * whole < counted[0] < 1.02 * whole


def test_a_touch_of_a_doubtful_black_loses_to_one_that_was_measured() -> None:
    """The same curves twice: only what is known of their strength differs."""
    measured = replace(BOX.tubes[1], name="own black", source="measured", doubt=0.05)
    entries = entries_of(replace(BOX, tubes=(*BOX.tubes, measured)), let_downs=False)
    touches = np.zeros((2, len(KEYS) + 1), dtype=np.intp)
    touches[:, 0] = 24
    touches[0, 1] = touches[1, -1] = 1
    lab = entries.tube_palette.lab(touches[0].astype(float))
    judged = rank(entries, touches, Judge(lambda seen: delta_e_00(seen, lab), metric(lab)))
    assert judged.parts[0, -1] == 1
    assert judged.expected[1] > 1.5 * judged.expected[0]
