"""The solver beside other ways to find a recipe: `python -m tests.benchmarks.solver`.

Nominal objectives (distance and the price of tubes, let-downs and parts) of each way's own
best, up to four tubes and 32 parts; times are the processor's, on one thread, and as
multiples of one 1000 x 1000 float64 matrix product of numpy in the same run. Every tenth
target of eight tubes is held beside every recipe, and with ``--reference`` every tenth of the
larger boxes beside a far wider search. ``--others`` runs three ways of SciPy.
"""

from __future__ import annotations

import argparse
import os
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeVar

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from scipy.optimize import differential_evolution, minimize, nnls

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.library import mixtures, pigments
from refmatch.recipe import growth
from refmatch.recipe import solve as search
from refmatch.recipe.lattice import Kept
from refmatch.recipe.mixture import Entries, entries_of
from refmatch.recipe.rank import lab_of, price
from refmatch.recipe.reach import held_distance
from refmatch.recipe.solve import Bench, candidates, lay_out, solve, solve_all
from refmatch.recipe.subsets import Indices, members_of, spread_out
from refmatch.target import Target
from tests.benchmarks.plan import LARGE
from tests.benchmarks.puddles import pictures
from tests.recipe.boxes import (
    eight_tubes,
    garden_table,
    tint_targets,
    whole_part_targets,
    whole_ratios,
)

T = TypeVar("T")
PARTS, TUBES = 32, 4
ALIKE = ("hansa-yellow-light", "raw-sienna", "viridian", "cadmium-orange")
SOME = 10
"""Of how many targets one is compared with what takes long."""

FEW = 20
"""How many targets the slow ways answer."""


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--reference", action="store_true", help="a far wider search besides")
    asked.add_argument("--others", action="store_true", help="the ways of SciPy besides")
    given = asked.parse_args()
    photo = [family.lab for _, masses in pictures(24) for family in masses]
    for box in boxes():
        targets = targets_of(box, photo)
        bench, laying = timed(lambda b=box: lay_out(b))
        found = [timed(lambda lab=lab, at=bench: nominal(at, lab)) for lab in targets]
        product = timed(lambda: [MATRIX @ MATRIX for _ in range(9)])[1] / 9
        answers = [timed(lambda lab=lab, at=bench: solve(at, Target("", lab))) for lab in targets]
        whole = [spent for _, spent in answers]
        within = [spent for answer, spent in answers if answer.in_gamut]
        name = f"{len(box.tubes)} tubes ({len(bench.entries.items)} entries)"
        report(name, [best for best, _ in found], [spent for _, spent in found])
        print(
            f"    with steps and words {spread(whole)}, within reach {spread(within)}; p95 "
            f"{np.percentile(whole, 95) / product:.1f} products of {1e3 * product:.0f} ms; "
            f"laying out {1e3 * laying:.0f} ms",
            flush=True,
        )
        if len(box.tubes) == 8:
            compare(found[::SOME], every_recipe(bench, targets[::SOME]), "every recipe")
        elif given.reference:
            wider = [reference(bench, lab) for lab in targets[::SOME]]
            compare(found[::SOME], wider, "a wider search")
    sheet()
    if given.others:
        beside_others(garden_table())


def sheet() -> None:
    """Print what nine masses of each picture take together, from the dozen tubes."""
    bench, clock, spent = lay_out(garden_table()), [], []
    for _, masses in pictures(24):
        targets = [Target("", family.lab) for family in masses[:9]]
        start = time.perf_counter()
        spent.append(timed(lambda some=targets: solve_all(bench, some))[1])
        clock.append(time.perf_counter() - start)
    product = timed(lambda: [MATRIX @ MATRIX for _ in range(9)])[1] / 9
    print(
        f"nine masses of a sheet, {len(spent)} pictures: clock p50 {np.median(clock):.2f}, at most "
        f"{max(clock):.2f} s; processor p50 {np.median(spent):.2f}, at most {max(spent):.2f} s, "
        f"{np.median(spent) / product:.0f} products",
        flush=True,
    )


def boxes() -> list[Box]:
    """Boxes of 8, 12, 20, 24 and 40 tubes."""
    names = ["titanium-white", *(key for key in pigments() if key != "titanium-white"), *mixtures()]
    usual = [name for name in LARGE if name not in ALIKE]
    many = [Box("many", tuple(built_in_tube(k) for k in row)) for row in (usual, LARGE, names[:40])]
    return [eight_tubes(), garden_table(), *many]


def targets_of(box: Box, photo: Sequence[Array]) -> list[Array]:
    """Return 150 targets: 60 mixes of the box, 60 masses of pictures, 30 mostly out of reach."""
    draw = np.random.default_rng(13)
    targets = whole_part_targets(box, 30, 11) + tint_targets(box, 30, 12)
    targets += [photo[i] for i in draw.choice(len(photo), 60, replace=False)]
    for _ in range(30):
        lightness, hue = draw.uniform(5, 95), draw.uniform(0, 2 * np.pi)
        strength = draw.uniform(50, 110)
        targets.append(np.array([lightness, strength * np.cos(hue), strength * np.sin(hue)]))
    return targets


def nominal(bench: Bench, lab: Array) -> tuple[float, bool]:
    """Return the best nominal objective for a target, and whether it is within reach."""
    ranked = candidates(bench, lab)
    found = ranked.found
    return float((found.distance + price(bench.entries, found.parts)).min()), ranked.within_reach


def reference(bench: Bench, lab: Array) -> float:
    """Return the best nominal objective of the same search with hardly anything passed over."""
    kept = growth.THOROUGH, growth.OFFERED, search.ROUNDED, search.KEPT
    wide = ((40_000, 4), (8000, 4), (4000, 8))
    field = bench.field
    try:
        growth.OFFERED, search.ROUNDED, search.KEPT = 8, 4000, Kept(40, 8000)
        growth.THOROUGH = wide
        wider = replace(bench)
        object.__setattr__(wider, "field", lambda lab: replace(field(lab), stages=wide))
        return nominal(wider, lab)[0]
    finally:
        growth.THOROUGH, growth.OFFERED, search.ROUNDED, search.KEPT = kept


def every_recipe(bench: Bench, targets: Sequence[Array]) -> list[float]:
    """Return the best nominal objective of all recipes there are, for each target."""
    reach = [nominal(bench, lab)[1] for lab in targets]
    best = np.full(len(targets), np.inf)
    for parts in recipes_of(bench.entries):
        lab, cost = lab_of(bench.entries, parts), price(bench.entries, parts)
        for number, target in enumerate(targets):
            distance = delta_e_00 if reach[number] else held_distance
            best[number] = min(best[number], float((distance(lab, target) + cost).min()))
    return list(best)


def recipes_of(entries: Entries) -> list[Indices]:
    """Return all recipes of a box in lowest terms, some subsets at a time."""
    pieces = []
    for size in range(1, TUBES + 1):
        members, ratios = members_of(entries, size, TUBES), whole_ratios(size, PARTS)
        for some in np.array_split(members, max(1, len(members) // 20)):
            rows = np.repeat(some, len(ratios), axis=0)
            whole = np.tile(ratios, (len(some), 1))
            pieces.append(spread_out(rows, whole.astype(np.uint8), len(entries.items)))
    return pieces


def compare(found: Sequence[tuple[tuple[float, bool], float]], best: list[float], to: str) -> None:
    """Print what the solver's best costs more than another's."""
    worse = np.array([ours for (ours, _), _ in found]) - np.array(best)
    print(
        f"    worse than {to} by mean {worse.mean():.4f}, p95 {np.percentile(worse, 95):.3f}, "
        f"at most {worse.max():.3f}; mean objective of that {np.mean(best):.3f}"
    )


def report(name: str, found: Sequence[tuple[float, bool]], spent: Sequence[float]) -> None:
    """Print a box's row."""
    best, reached = [ours for ours, _ in found], sum(within for _, within in found)
    print(f"{name}: {spread(spent)}; mean objective {np.mean(best):.4f}, {reached} within reach")


def spread(spent: Sequence[float]) -> str:
    """Return the middle and the 95th percentile of seconds in ms."""
    return f"p50 {1e3 * np.median(spent):.0f}, p95 {1e3 * np.percentile(spent, 95):.0f} ms"


def beside_others(box: Box) -> None:
    """Print what SciPy's ways do for mixes of a box, without let-downs."""
    entries = entries_of(box, let_downs=False)
    bench, targets = lay_out(box), whole_part_targets(box, FEW, 11)
    ours = [(nominal(bench, lab)[0], 0.0) for lab in targets]
    seen = [nearest_spectrum(bench, lab) for lab in targets]
    for name, way in {
        "differential evolution": lambda lab, _: by_evolution(entries, lab),
        "SLSQP from 24 starts": lambda lab, _: by_slsqp(entries, lab),
        "NNLS on reflectance": lambda lab, spectrum: by_nnls(entries, lab, spectrum),
    }.items():
        pairs = [
            timed(lambda lab=lab, s=spectrum, w=way: w(lab, s))
            for lab, spectrum in zip(targets, seen, strict=True)
        ]
        worse = np.array([best for best, _ in pairs]) - np.array([best for best, _ in ours])
        print(
            f"{name}: {spread([t for _, t in pairs])}; worse than the solver by p50 "
            f"{np.median(worse):.2f}, p95 {np.percentile(worse, 95):.1f}, at most {worse.max():.1f}"
        )


def nearest_spectrum(bench: Bench, lab: Array) -> Array:
    """Return the reflectance of the best recipe for a target."""
    parts = candidates(bench, lab).found.parts[0]
    return bench.entries.palette.reflectance(parts.astype(float))


def rounded(entries: Entries, shares: Array, target: Array) -> float:
    """Keep the four largest shares, round them at every total, and return the best objective."""
    kept = np.where(shares >= np.sort(shares)[-TUBES], shares, 0.0)
    parts = np.rint(np.arange(2, PARTS + 1)[:, None] * kept / kept.sum()).astype(np.intp)
    parts = parts[(parts.sum(axis=1) > 0) & (parts.sum(axis=1) <= PARTS)]
    worth = delta_e_00(lab_of(entries, parts), target) + price(entries, parts)
    return float(worth.min())


def by_evolution(entries: Entries, target: Array) -> float:
    """SciPy's differential evolution over the shares of all tubes, then rounding."""

    def miss(shares: Array) -> float:
        return float(delta_e_00(entries.palette.lab(shares + 1e-9), target))

    bounds = [(0.0, 1.0)] * len(entries.items)
    found = differential_evolution(miss, bounds, seed=1, maxiter=60, polish=True)
    return rounded(entries, found.x, target)


def by_slsqp(entries: Entries, target: Array) -> float:
    """SciPy's SLSQP over the shares of all tubes from many starts, each rounded."""
    draw, size, best = np.random.default_rng(1), len(entries.items), np.inf

    def miss(shares: Array) -> float:
        return float(delta_e_00(entries.palette.lab(np.abs(shares) + 1e-9), target))

    for _ in range(24):
        start = draw.dirichlet(np.full(size, 0.4))
        found = minimize(
            miss,
            start,
            method="SLSQP",
            bounds=[(0.0, 1.0)] * size,
            constraints={"type": "eq", "fun": lambda x: x.sum() - 1.0},
        )
        best = min(best, rounded(entries, np.abs(found.x), target))
    return best


def by_nnls(entries: Entries, target: Array, seen: Array) -> float:
    """Non-negative least squares of the tubes' reflectances to the target's, then rounding."""
    tubes = entries.palette.reflectance(np.eye(len(entries.items)))
    shares, _ = nnls(tubes.T, seen)
    return rounded(entries, shares, target)


MATRIX = np.random.default_rng(0).standard_normal((1000, 1000))


def timed(work: Callable[[], T]) -> tuple[T, float]:
    """Return what some work finds, and the processor's seconds that it took."""
    start = time.process_time()
    return work(), time.process_time() - start


if __name__ == "__main__":
    main()
