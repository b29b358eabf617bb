"""What the hand adds: first order against many draws, and what a painter would expect."""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.recipe.doubt import metric, root, spreads
from refmatch.recipe.hand import hand_distances, part_errors
from refmatch.recipe.mixture import entries_of, is_strong
from tests.recipe.boxes import garden_table


def entry(entries, tube: str, white_parts: int = 0) -> int:
    (found,) = [
        i
        for i, item in enumerate(entries.items)
        if (item.tube, item.white_parts) == (tube, white_parts)
    ]
    return found


def test_first_order_agrees_with_random_draws() -> None:
    """Independent draws from NumPy's generator, not the fixed ones the program uses."""
    entries = entries_of(garden_table())
    draw = np.random.default_rng(12)
    ratios = []
    for _ in range(12):
        parts = np.zeros(len(entries.items))
        plain = draw.choice(12, 3, replace=False)
        parts[plain] = draw.integers(3, 12, 3)
        target = entries.palette.lab(parts)
        hand = np.trace(spreads(entries, parts[None], root(metric(target))).hand[0])
        laid = parts * np.exp(part_errors(parts) * draw.standard_normal((4000, len(parts))))
        true = np.sqrt(np.mean(delta_e_00(entries.palette.lab(laid), target) ** 2))
        ratios.append(np.sqrt(hand) / true)
    assert 0.85 < np.median(ratios) < 1.15
    assert min(ratios) > 0.6
    assert max(ratios) < 1.5


def test_the_fixed_draws_have_the_spread_they_stand_for() -> None:
    entries = entries_of(garden_table())
    parts = np.zeros(len(entries.items))
    parts[[0, 3, 7]] = (10.0, 4.0, 3.0)
    target = entries.palette.lab(parts)
    fixed = hand_distances(entries, parts, target)
    draw = np.random.default_rng(5)
    laid = parts * np.exp(part_errors(parts) * draw.standard_normal((20000, len(parts))))
    random = delta_e_00(entries.palette.lab(laid), target)
    assert abs(np.median(fixed) / np.median(random) - 1.0) < 0.1
    np.testing.assert_array_equal(fixed, hand_distances(entries, parts, target))


def test_a_touch_is_less_sure_than_a_part_and_than_a_let_down() -> None:
    """Common practice, no source: that is why strong tubes are let down first."""
    entries = entries_of(garden_table())
    strong, let_down = entry(entries, "phthalo blue"), entry(entries, "phthalo blue", 9)
    white = entry(entries, "titanium white")
    direct, by_let_down = np.zeros((2, len(entries.items)))
    direct[white], direct[strong] = 29.0, 1.0
    by_let_down[white], by_let_down[let_down] = 20.0, 10.0
    target = entries.palette.lab(direct)
    np.testing.assert_allclose(entries.palette.lab(by_let_down), target, atol=1e-9)
    assert np.median(hand_distances(entries, by_let_down, target)) < np.median(
        hand_distances(entries, direct, target)
    )


def test_strong_tubes_are_those_a_painter_calls_strong() -> None:
    """Common practice, no source."""
    box = garden_table()
    strong = {tube.name for tube in box.tubes if is_strong(tube, box.white)}
    assert {"phthalo blue", "phthalo green", "quinacridone magenta", "pyrrole red"} <= strong
    assert strong.isdisjoint({"yellow ochre", "burnt umber", "burnt sienna", "cerulean blue"})
