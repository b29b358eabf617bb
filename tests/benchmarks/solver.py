"""The solver beside other ways to find a recipe: `python -m tests.benchmarks.solver`.

Twelve tubes, up to four of them, whole parts to 32 in all; the nominal objective (dE00,
and the price of tubes and parts) of each way's own best. The same targets for all, in
one run, on one core; slow ways answer the first of them only, as their rows say. Brute
force reckons the spectra of all recipes for a target; since its answer is that of a
scan of all their colours, the scan gives the answers and a few runs give its time.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
from scipy.optimize import differential_evolution, minimize, nnls

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.library import mixtures, pigments
from refmatch.recipe.entries import Entries, entries_of
from refmatch.recipe.index.contents import build_index
from refmatch.recipe.index.measures import ciede2000
from refmatch.recipe.index.points import whole_ratios
from refmatch.recipe.index.search import nearest
from refmatch.recipe.rank import lab_of, price
from refmatch.recipe.subsets import gather, members_of
from tests.recipe.boxes import garden_table, whole_part_targets

PARTS, TUBES = 32, 4
SLOW = 20
"""How many reachable targets, and as many others, the slow ways answer."""


def main() -> None:
    entries = entries_of(garden_table(), let_downs=False)
    reachable, spectra = reachable_targets(entries, 200)
    beyond = unreachable_targets(entries, 100)
    product = timed(lambda: MATRIX @ MATRIX, 9)
    start = time.perf_counter()
    index = build_index(entries, TUBES, PARTS)
    print(f"index: {index.rows / 1e6:.1f} million recipes, {index.nbytes / 1e6:.0f} MB, ", end="")
    print(f"built in {time.perf_counter() - start:.1f} s; product {1e3 * product:.0f} ms")
    scan = Scan(entries)
    ours = {"reachable": reachable, "beyond reach": beyond}
    exact = {name: np.array([scan.best(lab) for lab in labs]) for name, labs in ours.items()}
    brute_s = timed(lambda: brute_force(entries, reachable[0]), 3)
    print(f"brute force: {brute_s:.1f} s a target")
    for name, labs in ours.items():
        spent, gaps = run(lambda lab: nearest(index, ciede2000(lab), 12).best, labs, exact[name])
        tell(f"this solver, {name}", spent, gaps, brute_s, product)
    for name, way in {
        "scan of precomputed Lab": lambda lab, _: scan.plain(lab),
        "differential evolution": lambda lab, _: by_evolution(entries, lab),
        "SLSQP from 24 starts": lambda lab, _: by_slsqp(entries, lab),
        "NNLS on reflectance": lambda lab, seen: by_nnls(entries, lab, seen),
    }.items():
        labs, known = reachable[:SLOW], spectra[:SLOW]
        pairs = list(zip(labs, known, strict=True))
        spent, gaps = run(lambda pair, w=way: w(*pair), pairs, exact["reachable"][:SLOW])
        tell(f"{name}, reachable", spent, gaps, brute_s, product)
        if "NNLS" not in name:
            pairs = [(lab, None) for lab in beyond[:SLOW]]
            spent, gaps = run(lambda pair, w=way: w(*pair), pairs, exact["beyond reach"][:SLOW])
            tell(f"{name}, beyond", spent, gaps, brute_s, product)
    growth(product)


def tell(name: str, spent: Array, gaps: Array, brute_s: float, product: float) -> None:
    """Print a row: times, how much faster than brute force, and gaps to it."""
    p95 = np.percentile(spent, 95)
    print(
        f"{name:38} n {len(spent):3}  p50 {1e3 * np.median(spent):8.1f} p95 {1e3 * p95:8.1f} ms "
        f"= {p95 / product:7.2f} products, {brute_s / np.median(spent):7.0f} x brute; "
        f"gap p50 {np.median(gaps):.3f} p95 {np.percentile(gaps, 95):.3f} max {gaps.max():.3f}"
    )


def run(way: Callable, targets: list, exact: Array) -> tuple[Array, Array]:
    """Return the seconds and the gaps of a way, target by target."""
    spent, found = [], []
    for target in targets:
        start = time.perf_counter()
        found.append(way(target))
        spent.append(time.perf_counter() - start)
    return np.array(spent), np.array(found) - exact


def reachable_targets(entries: Entries, count: int) -> tuple[list[Array], list[Array]]:
    """Return Lab and reflectance of whole-part mixes."""
    draw = np.random.default_rng(20261124)
    parts = np.zeros((count, len(entries.items)))
    for row in parts:
        size = draw.integers(2, 5)
        chosen = draw.choice(len(row), size, replace=False)
        row[chosen] = 1 + draw.multinomial(PARTS - size, np.full(size, 1.0 / size))
    seen = entries.palette.reflectance(parts)
    return list(entries.palette.lab(parts)), list(seen)


def unreachable_targets(entries: Entries, count: int) -> list[Array]:
    """Return Lab half as far again from grey as the strongest mixes found near them."""
    labs = np.array(whole_part_targets(entries.box, count, 77))
    labs[:, 1:] *= 1.5
    labs[:, 1:] += 12.0 * np.sign(labs[:, 1:])
    return list(labs)


class Scan:
    """All recipes' colours in single precision, and a scan over them."""

    def __init__(self, entries: Entries) -> None:
        labs, prices = [], []
        for size in range(1, TUBES + 1):
            ratios = whole_ratios(size, PARTS)
            for members in members_of(entries, size, TUBES):
                curves = gather(entries.palette, members)
                labs.append(curves.lab(ratios.astype(float)).astype(np.float32))
                prices.append(0.25 * (size - 1) + 0.012 * ratios.sum(axis=1, dtype=int))
        lab, cost = np.concatenate(labs), np.concatenate(prices).astype(np.float32)
        order = np.argsort(lab[:, 0])
        self.lab, self.cost = lab[order], cost[order]

    def best(self, target: Array) -> float:
        """Return the least objective, looking only where lightness alone allows it."""
        low, high = np.searchsorted(self.lab[:, 0], target[0] + np.array([-1.0, 1.0]))
        best = self._least(low, high, target) if high > low else 40.0
        reach = 1.76 * best  # S_L is at most 1.75
        low, high = np.searchsorted(self.lab[:, 0], target[0] + np.array([-reach, reach]))
        return self._least(low, high, target)

    def plain(self, target: Array) -> float:
        """Return the least objective of a scan of everything."""
        return self._least(0, len(self.lab), target)

    def _least(self, low: int, high: int, target: Array) -> float:
        best = np.inf
        for start in range(low, high, 500_000):
            end = min(high, start + 500_000)
            worth = delta_e_00(self.lab[start:end], target) + self.cost[start:end]
            best = min(best, float(worth.min()))
        return best


def brute_force(entries: Entries, target: Array) -> float:
    """Reckon every recipe's spectrum and colour for one target."""
    best = np.inf
    for size in range(1, TUBES + 1):
        ratios = whole_ratios(size, PARTS)
        cost = 0.25 * (size - 1) + 0.012 * ratios.sum(axis=1, dtype=int)
        for members in members_of(entries, size, TUBES):
            lab = gather(entries.palette, members).lab(ratios.astype(float))
            best = min(best, float((delta_e_00(lab, target) + cost).min()))
    return best


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


def growth(product: float) -> None:
    """Print how time and proof grow with the tubes of the box and of a recipe."""
    names = ["titanium-white", *(key for key in pigments() if key != "titanium-white"), *mixtures()]
    for count, tubes in [(6, 4), (12, 4), (24, 4), (36, 4), (48, 4), (12, 2), (12, 3), (12, 5)]:
        box = Box("many", tuple(built_in_tube(key) for key in names[:count]))
        entries = entries_of(box, let_downs=False)
        start = time.perf_counter()
        index = build_index(entries, tubes, PARTS)
        built = time.perf_counter() - start
        spent, gaps = [], []
        for lab in whole_part_targets(box, 40, 5):
            start = time.perf_counter()
            gaps.append(nearest(index, ciede2000(lab), count).gap)
            spent.append(time.perf_counter() - start)
        p95 = np.percentile(spent, 95)
        print(
            f"{count:3} tubes, {tubes} a recipe: index {index.rows / 1e6:5.1f} M rows, "
            f"{index.nbytes / 1e6:4.0f} MB, built in {built:5.1f} s; a target p50 "
            f"{1e3 * np.median(spent):6.1f} p95 {1e3 * p95:6.1f} ms = {p95 / product:5.2f} "
            f"products; "
            f"proved gap p50 {np.median(gaps):.3f} p95 {np.percentile(gaps, 95):.3f}"
        )


def timed(work: Callable[[], object], times: int) -> float:
    """Return the median seconds of some runs."""
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        spent.append(time.perf_counter() - start)
    return float(np.median(spent))


MATRIX = np.random.default_rng(0).standard_normal((1000, 1000))

if __name__ == "__main__":
    main()
