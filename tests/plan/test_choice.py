"""Palettes of a real box, beside trying every palette by another road, and SciPy."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.optimize import minimize

from refmatch.colorimetry.lab import delta_e_00
from refmatch.errors import BoxError, UsageError
from refmatch.paint.box import Box, built_in_tube
from refmatch.plan.choose import best_palette, of_tubes, smallest, without_each
from refmatch.plan.cores import Cores, cores_of
from refmatch.recipe.continuous import Aim, improve
from refmatch.recipe.doubt import distance_within, metric, root, spreads
from refmatch.recipe.mixture import Palette, entries_of
from refmatch.recipe.rank import TUBE_PRICE
from refmatch.recipe.subsets import rough_look, spread_out
from tests.recipe.boxes import tint_targets
from tests.refusals import refused

TEN = (
    "PW6",
    "PY74",
    "yellow-ochre",
    "burnt-sienna",
    "burnt-umber",
    "PR254",
    "quinacridone-rose",
    "PB29",
    "phthalo-blue",
    "ivory-black",
)
SHARES = np.array([0.4, 0.3, 0.2, 0.07, 0.03])


def ten_tubes() -> Box:
    return Box("ten", tuple(built_in_tube(name) for name in TEN))


@pytest.fixture(scope="module")
def targets() -> np.ndarray:
    return np.array(tint_targets(ten_tubes(), 5, 7))


@pytest.fixture(scope="module")
def cores(targets: np.ndarray) -> Cores:
    return cores_of(ten_tubes(), targets)


def every_core(box: Box, lab: np.ndarray) -> dict[frozenset[str], float]:
    """What each core costs, each searched for from its own rough look, none passed over."""
    entries, g = entries_of(box, let_downs=False), metric(lab)
    costs = {}
    for size in range(4):
        rows = [(0, *row) for row in itertools.combinations(range(1, len(TEN)), size)]
        subsets = rough_look(entries, np.array(rows, dtype=np.intp))
        rough = np.linalg.norm((subsets.rough_lab - lab) @ root(g), axis=2).argmin(axis=1)
        start = subsets.start(np.arange(len(rows)), rough)
        shares, _ = improve(entries, subsets.members, start, Aim(lab, root(g), 12))
        parts = spread_out(subsets.members, shares, len(TEN))
        off = (entries.palette.lab(parts) - lab) @ root(g)
        expected = distance_within(off, spreads(entries, parts, root(g)).both)
        for members, cost in zip(subsets.members, expected + TUBE_PRICE * size, strict=True):
            costs[frozenset(TEN[member] for member in members)] = float(cost)
    return costs


@pytest.fixture(scope="module")
def palette_costs(targets: np.ndarray) -> dict[int, dict[frozenset[str], float]]:
    """What every palette of 3 to 6 tubes costs, from its meaning alone."""
    by_target = [every_core(ten_tubes(), lab) for lab in targets]
    costs: dict[int, dict[frozenset[str], float]] = {}
    for count in range(3, 7):
        for row in itertools.combinations(TEN[1:], count - 1):
            palette = frozenset({TEN[0], *row})
            least = [min(c for core, c in each.items() if core <= palette) for each in by_target]
            costs.setdefault(count, {})[palette] = float(SHARES @ least)
    return costs


@pytest.mark.parametrize("count", [3, 4, 5, 6])
def test_equals_trying_every_palette(cores: Cores, palette_costs, count: int) -> None:
    """Of ten tubes, 36 to 126 palettes each; costs found by searching for every core."""
    choice = best_palette(cores, SHARES, count)
    best = min(palette_costs[count].values())
    assert choice.proved
    assert len(choice.tubes) == count
    assert choice.cost == pytest.approx(best, abs=0.01)
    assert palette_costs[count][frozenset(choice.tubes)] == pytest.approx(best, abs=0.01)


def test_no_core_is_left_far_above_what_scipy_finds(cores: Cores, targets: np.ndarray) -> None:
    """SLSQP on the simplex from several starts (SciPy), for cores drawn by lot."""
    draw, tubes = np.random.default_rng(3), [built_in_tube(name) for name in TEN]
    for target, lab in enumerate(targets[:3]):
        m = root(metric(lab))
        for core in draw.choice(len(cores.holds), 6, replace=False):
            members = [0, *(1 + np.flatnonzero(cores.holds[core]))]
            palette = Palette.of([tubes[member] for member in members])

            def miss(shares: np.ndarray, palette=palette, lab=lab, m=m) -> float:
                return float(np.linalg.norm((palette.lab(shares) - lab) @ m))

            size = len(members)
            found = [
                minimize(
                    miss,
                    start,
                    method="SLSQP",
                    bounds=[(1e-4, 1.0)] * size,
                    constraints={"type": "eq", "fun": lambda x: x.sum() - 1.0},
                )
                for start in draw.dirichlet(np.ones(size), 4)
            ]
            theirs = min(found, key=lambda each: each.fun)
            usable = ~(cores.holds & ~cores.holds[core]).any(axis=1)
            ours = cores.distance[usable, target].min()
            assert ours <= float(delta_e_00(palette.lab(theirs.x), lab)) + 0.15


def test_a_tube_more_never_makes_it_worse(cores: Cores) -> None:
    told = [best_palette(cores, SHARES, count) for count in range(2, 11)]
    assert np.all(np.diff([choice.cost for choice in told]) <= 1e-9)
    assert told[-1].tubes == TEN


def test_the_smallest_palette_reaches_what_the_box_reaches(cores: Cores) -> None:
    """And none of a tube fewer does, of all there are."""
    needed = np.maximum(2.0, cores.distance.min(axis=0) + 0.5)
    found = smallest(cores, SHARES)
    assert np.all(found.distance <= needed)
    for row in itertools.combinations(cores.colours, len(found.tubes) - 2):
        assert np.any(of_tubes(cores, SHARES, row).distance > needed)


def test_leaving_out_any_tube_of_the_smallest_palette_loses_a_target(cores: Cores) -> None:
    needed = np.maximum(2.0, cores.distance.min(axis=0) + 0.5)
    for left in without_each(cores, SHARES, smallest(cores, SHARES)).values():
        assert np.any(left.distance > needed)


def test_tubes_insisted_on_are_in_the_palette(cores: Cores) -> None:
    free, held = (best_palette(cores, SHARES, 4, keep) for keep in ((), ("ivory-black",)))
    assert "ivory-black" in held.tubes
    assert held.cost >= free.cost
    assert "ivory-black" in smallest(cores, SHARES, ("ivory-black",)).tubes
    with refused(UsageError, match="palette of 2"):
        best_palette(cores, SHARES, 2, ("ivory-black", "PB29"))


def test_the_larger_mass_decides() -> None:
    """With one colour beside white, the colour is that of the mass that fills the picture."""
    tubes = [built_in_tube(name) for name in TEN]
    sky, apple = (
        Palette.of([tubes[TEN.index(name)], tubes[0]]).lab(np.array([1.0, 3.0]))
        for name in ("PB29", "PR254")
    )
    looked = cores_of(ten_tubes(), np.array([sky, apple]))
    assert best_palette(looked, np.array([9.0, 1.0]), 2).tubes == ("PW6", "PB29")
    assert best_palette(looked, np.array([1.0, 9.0]), 2).tubes == ("PW6", "PR254")


def test_a_box_needs_a_colour_and_a_palette_two_tubes(cores: Cores) -> None:
    with refused(BoxError, match="add a colour"):
        cores_of(Box("bare", (built_in_tube("PW6"),)), np.array([[50.0, 0.0, 0.0]]))
    with refused(UsageError, match="white and a colour"):
        best_palette(cores, SHARES, 1)


def test_a_box_may_be_too_large_to_choose_from() -> None:
    many = tuple(built_in_tube("PB29", f"blue {number}") for number in range(63))
    with refused(BoxError, match="at most 63"):
        cores_of(Box("many", (built_in_tube("PW6"), *many)), np.array([[50.0, 0.0, 0.0]]))


def test_a_white_and_one_colour_are_a_palette() -> None:
    pair = Box("pair", (built_in_tube("PW6"), built_in_tube("PB29")))
    looked = cores_of(pair, np.array([[60.0, 0.0, -25.0], [95.0, 0.0, 2.0]]))
    for found in (smallest(looked, np.ones(2)), best_palette(looked, np.ones(2), 2)):
        assert found.tubes == ("PW6", "PB29")
        assert found.proved
