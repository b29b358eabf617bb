"""Which mothers: beside every choice there is."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from refmatch.plan.mothers import Costs, choose, work

TRIES = 40


def random_costs(seed: int) -> Costs:
    """Six targets and four cores; each may be drawn from about a third of the others."""
    draw = np.random.default_rng(seed)
    drawing = draw.uniform(1.0, 4.0, (10, 6))
    drawing[draw.random((10, 6)) < 0.6] = np.inf
    drawing[np.arange(6), np.arange(6)] = 0.0
    return Costs(draw.integers(2, 6, 10).astype(float), drawing)


def every_choice(costs: Costs) -> float:
    rows = np.array(list(itertools.product([False, True], repeat=len(costs.opening))))
    return min(work(costs, row) for row in rows)


def test_the_choice_is_nearly_always_the_least_work_and_never_far_from_it() -> None:
    beside = [
        (choose(costs := random_costs(seed)).work, every_choice(costs)) for seed in range(TRIES)
    ]
    found, least = np.array(beside).T
    assert np.all(found >= least - 1e-9)
    assert np.mean(found <= least + 1e-9) >= 0.95
    assert np.max(found / least) < 1.1


def test_the_work_is_that_of_its_mothers_and_what_is_drawn() -> None:
    for seed in range(TRIES):
        costs = random_costs(seed)
        choice = choose(costs)
        drawn = costs.drawing[choice.serves, np.arange(6)].sum()
        assert set(choice.serves) <= set(choice.mothers)
        assert choice.work == pytest.approx(costs.opening[choice.mothers].sum() + drawn)
