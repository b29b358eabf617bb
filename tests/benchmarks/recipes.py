"""How near the solver's recipes come, and how long it takes: `python -m tests.benchmarks.recipes`.

Times are told as multiples of one 1000 x 1000 float64 matrix product of numpy in the
same run, since machines differ and are noisy.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Iterator

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.doubt import metric
from refmatch.recipe.rank import Judge, rank
from refmatch.recipe.solve import Bench, Options, candidates, lay_out
from refmatch.recipe.subsets import members_of, spread_out
from tests.recipe.boxes import (
    eight_tubes,
    garden_table,
    tint_targets,
    whole_part_targets,
    whole_ratios,
)

PARTS = 32


def main() -> None:
    product = timed(lambda: MATRIX @ MATRIX, times=9)
    bench = lay_out(garden_table())
    print(f"{len(bench.entries.items)} entries")
    laying = timed(lambda: lay_out(garden_table()), 1)
    print(f"laying out: {laying / product:.1f} products")
    report("200 whole-part mixes", bench, whole_part_targets(bench.entries.box, 200, 20261124))
    report("200 tints to 1:49", bench, tint_targets(bench.entries.box, 200, 49))
    spent = [
        timed(lambda lab=lab: candidates(bench, lab), 1)
        for lab in whole_part_targets(bench.entries.box, 40, 5)
    ]
    print(
        f"a target: median {statistics.median(spent) / product:.1f}, "
        f"p95 {np.percentile(spent, 95) / product:.1f} products; "
        f"median {1e3 * statistics.median(spent):.0f} ms here"
    )
    beside_every_recipe()


def report(name: str, bench: Bench, targets: list[Array]) -> None:
    """Print how far the nearest recipes are, and the first choices."""
    found = [candidates(bench, lab).found.distance for lab in targets]
    for which, far in (
        ("nearest", [distance.min() for distance in found]),
        ("first choice", [distance[0] for distance in found]),
    ):
        words = ", ".join(f"p{p} {np.percentile(far, p):.2f}" for p in (50, 95, 100))
        print(f"{name}: dE00 on paper of the {which} {words}")


def beside_every_recipe() -> None:
    """Print how much the search misses beside every recipe of eight tubes, 32 parts."""
    bench = lay_out(eight_tubes(), Options(total=PARTS))
    targets = whole_part_targets(bench.entries.box, 15, 8) + tint_targets(bench.entries.box, 15, 9)
    found: list[list[np.ndarray]] = [[] for _ in targets]
    count = 0
    for parts in every_recipe(bench):
        count += len(parts)
        lab = bench.entries.palette.lab(parts.astype(float))
        for kept, target in zip(found, targets, strict=True):
            kept.append(parts[np.linalg.norm(lab - target, axis=1) < 8.0])
    missed = []
    for kept, target in zip(found, targets, strict=True):
        judge = Judge(target, lambda lab, aim=target: delta_e_00(lab, aim), metric(target))
        judged = rank(bench.entries, np.concatenate(kept), judge)
        missed.append(candidates(bench, target).found.expected.min() - judged.expected.min())
    print(
        f"30 targets beside all {count / 1e6:.1f} million recipes of 8 tubes, {PARTS} parts: "
        f"dE00 to expect worse by median {np.median(missed):.3f}, at most {max(missed):.3f}"
    )


def every_recipe(bench: Bench) -> Iterator[np.ndarray]:
    """Yield all recipes in lowest terms, a subset at a time."""
    entries = bench.entries
    for size in range(1, bench.options.tubes + 1):
        parts = whole_ratios(size, PARTS)
        for members in members_of(entries, size, bench.options.tubes):
            yield spread_out(np.tile(members, (len(parts), 1)), parts, len(entries.items))


def timed(work: Callable[[], object], times: int) -> float:
    """Return the median seconds of some runs."""
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        spent.append(time.perf_counter() - start)
    return statistics.median(spent)


MATRIX = np.random.default_rng(0).standard_normal((1000, 1000))

if __name__ == "__main__":
    main()
