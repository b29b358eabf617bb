"""The index against every recipe there is, and its proof against what it leaves out."""

from __future__ import annotations

import itertools
import os
import subprocess
import sys
from collections.abc import Callable

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.paint.box import Box, built_in_tube
from refmatch.recipe.entries import Entries, entries_of
from refmatch.recipe.index.contents import build_index
from refmatch.recipe.index.measures import Measure, ciede2000, held
from refmatch.recipe.index.points import part_sums, whole_ratios
from refmatch.recipe.index.search import RESOLUTION, nearest, proved_gap
from refmatch.recipe.rank import LET_DOWN_PRICE, lab_of, price
from refmatch.recipe.reach import held_at_least, held_distance
from refmatch.recipe.subsets import members_of
from tests.recipe.boxes import tint_targets, whole_part_targets

SIX = ("PW6", "PY74", "burnt-sienna", "PR122", "PB29", "PG7")
TOTAL = 14


@pytest.fixture(scope="module")
def entries() -> Entries:
    return entries_of(Box("six", tuple(built_in_tube(name) for name in SIX)))


@pytest.fixture(scope="module")
def everything(entries: Entries) -> np.ndarray:
    """Every recipe in lowest terms, enumerated plainly and not by the index's own code."""
    pieces = []
    for size in range(1, 5):
        rows = [r for r in itertools.product(range(1, TOTAL), repeat=size) if sum(r) <= TOTAL]
        parts = np.array([r for r in rows if np.gcd.reduce(r) == 1])
        for members in members_of(entries, size, 4):
            full = np.zeros((len(parts), len(entries.items)), dtype=np.intp)
            full[:, members] = parts
            pieces.append(full)
    return np.concatenate(pieces)


@pytest.fixture(scope="module")
def best(entries: Entries, everything: np.ndarray) -> Callable[[Measure], float]:
    """The least objective of all recipes by a measure, their colours reckoned once."""
    lab, cost = lab_of(entries, everything), price(entries, everything)
    return lambda measure: float((measure.distance(lab) + cost).min())


def targets(entries: Entries) -> list[np.ndarray]:
    draw = np.random.default_rng(4)
    far = [np.array([draw.uniform(5, 95), *draw.uniform(-80, 80, 2)]) for _ in range(25)]
    return whole_part_targets(entries.box, 20, 6) + tint_targets(entries.box, 15, 7) + far


def least(parts: np.ndarray, entries: Entries, measure: Measure) -> float:
    return float((measure.distance(lab_of(entries, parts)) + price(entries, parts)).min())


@pytest.mark.parametrize("measured", [ciede2000, held])
def test_a_whole_index_finds_the_best_of_all_recipes(
    entries: Entries, everything: np.ndarray, best: Callable[[Measure], float], measured
) -> None:
    index = build_index(entries, 4, TOTAL)
    assert index.complete_to == float("inf")
    assert index.rows == len(everything)
    for target in targets(entries):
        measure = measured(target)
        found = nearest(index, measure, len(entries.items))
        ours = least(found.parts, entries, measure)
        assert ours <= best(measure) + RESOLUTION
        assert found.gap == RESOLUTION


def test_what_a_small_index_proves_is_true(
    entries: Entries, best: Callable[[Measure], float]
) -> None:
    blind = build_index(entries, 4, TOTAL, 20_000, 0)
    index = build_index(entries, 4, TOTAL, 20_000)
    assert index.rows == blind.rows <= 20_000
    assert np.isfinite(index.complete_to)
    assert blind.beyond is None
    assert index.beyond is not None
    gaps = []
    for target in targets(entries):
        measure = ciede2000(target)
        found = nearest(index, measure, len(entries.items))
        assert found.best - best(measure) <= found.gap + 1e-9
        gaps.append((found.gap, proved_gap(blind, measure, found.best)))
    surveyed, unsurveyed = np.array(gaps).T
    assert np.all(surveyed <= unsurveyed)
    assert surveyed.max() < 0.5 * unsurveyed.max()


def test_everything_up_to_the_limit_is_held(entries: Entries, everything: np.ndarray) -> None:
    index = build_index(entries, 4, TOTAL, most_rows=20_000)
    let_downs = ((everything > 0) & entries.is_let_down).sum(axis=1)
    cost = price(entries, everything)
    held = cost - LET_DOWN_PRICE * let_downs <= index.complete_to + 1e-9
    assert index.rows == held.sum()
    assert cost[~held].min() > index.complete_to


def test_habits_close_subsets(entries: Entries) -> None:
    index = build_index(entries, 3, TOTAL)
    blue = [item.tube for item in entries.items].index("PB29")
    dues = [np.where((g.members == blue).any(axis=1), np.inf, 0.0) for g in index.grids]
    target = np.array([50.0, 0.0, -25.0])
    found = nearest(index, ciede2000(target), len(entries.items), dues)
    assert len(found.parts)
    assert not found.parts[:, blue].any()


def test_stored_colours_are_those_of_the_model(entries: Entries) -> None:
    index = build_index(entries, 3, TOTAL)
    for grid in index.grids:
        rows = np.arange(0, len(grid.recipe), 7)
        subset, parts = grid.parts(rows)
        full = np.zeros((len(rows), len(entries.items)), dtype=np.intp)
        np.put_along_axis(full, grid.members[subset], parts.astype(np.intp), axis=1)
        stored = grid.lab[rows] / 100.0
        assert np.abs(stored - lab_of(entries, full)).max() < 0.02


def test_ratios_are_each_there_once_and_in_order() -> None:
    """Coprime pairs that sum to s are as many as Euler's totient of s."""
    totients = [1, 2, 2, 4, 2, 6, 4, 6, 4]
    assert len(whole_ratios(2, 10)) == sum(totients)
    assert np.all(np.diff(part_sums(4, 12).astype(int)) >= 0)
    assert len(np.unique(whole_ratios(4, 12), axis=0)) == len(whole_ratios(4, 12))


def test_no_colour_of_a_box_is_nearer_by_the_held_distance() -> None:
    draw = np.random.default_rng(2)
    for _ in range(60):
        target = np.array([draw.uniform(2, 98), *draw.uniform(-90, 90, 2)])
        low = np.floor((target + draw.normal(0.0, 25.0, (80, 3))) / 4.0) * 4.0
        inside = low[:, None] + 4.0 * draw.random((80, 60, 3))
        true = held_distance(inside, target).min(axis=1)
        assert np.all(held_at_least(low, low + 4.0, target) <= true + 1e-9)


def test_no_choice_hangs_on_the_threads_of_linear_algebra() -> None:
    program = (
        "import numpy as np\n"
        "from refmatch.recipe.solve import lay_out, solve\n"
        "from refmatch.target import Target\n"
        "from tests.recipe.boxes import garden_table, tint_targets, whole_part_targets\n"
        "box = garden_table(); bench = lay_out(box)\n"
        "for lab in whole_part_targets(box, 3, 1) + tint_targets(box, 3, 2):\n"
        "    for recipe in solve(bench, Target('1', lab)).recipes: print(recipe.laid_out)\n"
    )
    told = [
        subprocess.run(
            [sys.executable, "-c", program],
            env={**os.environ, "OPENBLAS_NUM_THREADS": threads, "REFMATCH_CACHE": "off"},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for threads in ("1", "2")
    ]
    assert told[0] == told[1]
    assert told[0]


def test_an_answer_states_the_gap_it_proved(entries: Entries) -> None:
    from refmatch.recipe.solve import lay_out, solve
    from refmatch.target import Target

    answer = solve(lay_out(entries.box), Target("1", np.array([60.0, 10.0, 20.0])))
    assert answer.gap_delta_e_00 is not None
    assert answer.gap_delta_e_00 >= RESOLUTION


def test_delta_e_is_what_the_measure_says() -> None:
    target, lab = np.array([40.0, 10.0, -30.0]), np.array([[41.0, 9.0, -28.0]])
    assert ciede2000(target).distance(lab) == delta_e_00(lab, target)
