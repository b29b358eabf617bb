"""The search for the cheapest palette, beside trying them all and an integer program."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from refmatch.plan.choose import cheapest
from refmatch.plan.task import Task


def invented(tubes: int, targets: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Cores of up to three of ``tubes``, and costs that fall, on the whole, with their size."""
    draw = np.random.default_rng(seed)
    rows = [row for size in range(4) for row in itertools.combinations(range(tubes), size)]
    holds = np.zeros((len(rows), tubes), dtype=bool)
    for number, row in enumerate(rows):
        holds[number, list(row)] = True
    cost = draw.gamma(2.0, 10.0 / (1.0 + holds.sum(axis=1) ** 2)[:, None], (len(rows), targets))
    return holds, cost


def every_palette(tubes: int, count: int) -> np.ndarray:
    rows = np.array(list(itertools.combinations(range(tubes), count)))
    palettes = np.zeros((len(rows), tubes), dtype=bool)
    np.put_along_axis(palettes, rows, True, axis=1)
    return palettes


def plain_total(holds: np.ndarray, cost: np.ndarray, palette: np.ndarray) -> float:
    """What a palette costs, straight from its meaning."""
    usable = [not (row & ~palette).any() for row in holds]
    return float(cost[usable].min(axis=0).sum())


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("count", [1, 2, 3, 5, 9])
def test_equals_trying_every_palette(seed: int, count: int) -> None:
    holds, cost = invented(9, 6, seed)
    found = cheapest(Task.of(holds, cost), count)
    totals = [plain_total(holds, cost, palette) for palette in every_palette(9, count)]
    assert found.total == pytest.approx(min(totals), abs=1e-5)
    assert plain_total(holds, cost, found.kept) == pytest.approx(found.total, abs=1e-9)
    assert found.kept.sum() == count
    assert found.proved


@pytest.mark.parametrize("count", [2, 3, 5])
def test_keeps_what_is_to_be_kept_at_the_least_cost(count: int) -> None:
    holds, cost = invented(9, 6, 2)
    keep = np.isin(np.arange(9), [0, 7])
    found = cheapest(Task.of(holds, cost), count, keep)
    palettes = [each for each in every_palette(9, count) if not (keep & ~each).any()]
    assert found.total == pytest.approx(
        min(plain_total(holds, cost, palette) for palette in palettes), abs=1e-5
    )
    assert found.kept[keep].all()


def by_integer_program(holds: np.ndarray, cost: np.ndarray, count: int) -> float:
    """The same choice as an integer program, solved by HiGHS (SciPy)."""
    (cores, tubes), targets = holds.shape, cost.shape[1]
    one_each = np.kron(np.eye(targets), np.ones(cores))
    asks = np.kron(np.eye(targets), holds.T.astype(float))
    no_tubes = np.zeros((targets, tubes))
    kept = np.tile(np.eye(tubes), (targets, 1))
    solved = milp(
        np.concatenate([cost.T.ravel(), np.zeros(tubes)]),
        integrality=np.concatenate([np.zeros(cores * targets), np.ones(tubes)]),
        bounds=Bounds(0.0, 1.0),
        constraints=[
            LinearConstraint(np.hstack([one_each, no_tubes]), 1.0, 1.0),
            LinearConstraint(np.hstack([asks, -kept]), -np.inf, 0.0),
            LinearConstraint(
                np.concatenate([np.zeros(cores * targets), np.ones(tubes)]), count, count
            ),
        ],
    )
    return float(solved.fun)


@pytest.mark.parametrize("count", [3, 5])
def test_equals_an_integer_program(count: int) -> None:
    """SciPy's HiGHS, which is nobody's here, for fourteen tubes and eight targets."""
    holds, cost = invented(14, 8, 11)
    found = cheapest(Task.of(holds, cost), count)
    assert found.total == pytest.approx(by_integer_program(holds, cost, count), abs=1e-4)


def test_an_unfinished_search_tells_a_bound_that_holds() -> None:
    holds, cost = invented(12, 8, 5)
    task = Task.of(holds, cost)
    finished, cut_short = cheapest(task, 4), cheapest(task, 4, most_decisions=3)
    assert cut_short.bound <= finished.total + 1e-6 <= cut_short.total + 2e-6
    assert not cut_short.proved
    assert cut_short.bound > 0.0


def test_says_where_nothing_is_cheap_enough() -> None:
    holds, cost = invented(9, 6, 0)
    task = Task.of(holds, cost)
    best = cheapest(task, 3).total
    assert cheapest(task, 3, below=best - 0.5).bound >= best - 0.5
    assert cheapest(task, 3, below=best + 0.5).total == pytest.approx(best, abs=1e-5)
