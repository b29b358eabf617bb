"""Palettes and whole plans of seven pictures: `python -m tests.benchmarks.plan`.

Three sample images and four photographs that come with scikit-image, their masses as the
picture decides them, the built-in box of twelve tubes: the smallest palette, what each
tube fewer costs, and what to buy. Then 24 masses and a box of 24 tubes. Times are the
processor's, and told as multiples of one target's recipes, in the same run.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from typing import TypeVar

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box, built_in_tube
from refmatch.photo.masses import Family
from refmatch.plan.advise import all_to_buy, known_palettes
from refmatch.plan.choose import Choice, best_palette, of_tubes, smallest, weights_of
from refmatch.plan.cores import cores_of
from refmatch.plan.key import key
from refmatch.plan.whole import Wish, whole_plan
from refmatch.recipe.solve import Bench, lay_out, solve
from refmatch.target import Target
from tests.benchmarks.puddles import pictures
from tests.recipe.boxes import garden_table

COUNTS = range(3, 9)
T = TypeVar("T")

LARGE = (
    "PW6",
    "hansa-yellow-light",
    "PY74",
    "cadmium-yellow",
    "yellow-ochre",
    "raw-sienna",
    "burnt-sienna",
    "burnt-umber",
    "raw-umber",
    "cadmium-orange",
    "cadmium-red-light",
    "PR254",
    "quinacridone-rose",
    "PR122",
    "dioxazine-violet",
    "PB29",
    "cobalt-blue",
    "cerulean-blue",
    "phthalo-blue",
    "prussian-blue",
    "PG7",
    "viridian",
    "chromium-oxide-green",
    "ivory-black",
)


def main() -> None:
    box = garden_table()
    bench = lay_out(box)
    for name, masses in pictures(None):
        small_box(name, masses, bench)
    large = Box("large", tuple(built_in_tube(tube) for tube in LARGE))
    whole = lay_out(large)
    for name, masses in pictures(24):
        large_box(name, masses, whole)


def small_box(name: str, masses: Sequence[Family], bench: Bench) -> None:
    """Print the palettes of one picture from the built-in box, and what to buy."""
    box, shares = bench.entries.box, np.array([family.share for family in masses])
    labs = keyed(masses, box)
    cores, spent = timed(lambda: cores_of(box, labs))
    fewest, more = timed(lambda: smallest(cores, shares))
    one_s = one_target_s(bench, labs)
    print(f"{name}, {len(masses)} masses; smallest: {told(fewest, shares)}")
    print(f"   in {(spent + more) / one_s:.1f} of one target's time")
    for count in COUNTS:
        print(f"   {told(best_palette(cores, shares, count), shares)}")
    for known in known_palettes(box):
        print(f"   {known.name}: {told(of_tubes(cores, shares, known.tubes), shares)}")
    every, spent = timed(lambda: cores_of(all_to_buy(box), labs))
    bought, more = timed(lambda: best_palette(every, shares, len(fewest.tubes)))
    print(
        f"   to buy: {told(bought, shares)}; in {(spent + more) / one_s:.0f} of one target's time"
    )


def large_box(name: str, masses: Sequence[Family], bench: Bench) -> None:
    """Print how long the palettes of up to 24 masses and 24 tubes take."""
    box, shares = bench.entries.box, np.array([family.share for family in masses])
    labs = keyed(masses, box)
    one_s = one_target_s(bench, labs)
    cores, spent = timed(lambda: cores_of(box, labs))
    times = []
    for count in COUNTS:
        _, more = timed(lambda count=count: best_palette(cores, shares, count))
        times.append(f"{more / one_s:.1f}")
    fewest, more = timed(lambda: smallest(cores, shares))
    targets = tuple(Target(m.label, m.lab) for m in masses)
    _, whole = timed(lambda: whole_plan(Wish(targets, shares, box)))
    print(
        f"{name}, {len(masses)} masses of 24 tubes: cores {spent:.2f} s, {spent / one_s:.1f} of "
        f"one target's time; best of 3 to 8: {', '.join(times)}; smallest {more / one_s:.1f}, "
        f"{more:.2f} s; the whole plan "
        f"{whole / one_s:.0f}, {whole:.1f} s; {told(fewest, shares)}"
    )


def keyed(masses: Sequence[Family], box: Box) -> Array:
    """Return the masses' Lab, keyed to the box."""
    return key(np.array([m.lab for m in masses]), np.array([m.share for m in masses]), box).after


def one_target_s(bench: Bench, labs: Array) -> float:
    """Return how long the recipes of one target take, the median of some."""
    some = [Target("", lab) for lab in labs[:7]]
    return float(
        np.median([timed(lambda target=target: solve(bench, target))[1] for target in some])
    )


def timed(work: Callable[[], T]) -> tuple[T, float]:
    """Return what some work finds, and the processor's seconds that it took."""
    start = time.process_time()
    return work(), time.process_time() - start


def told(choice: Choice, shares: Array) -> str:
    """Return a palette in a line."""
    weights = weights_of(shares)
    missed = f", misses {len(choice.missed)}" if choice.missed else ""
    proved = "" if choice.proved else f", {choice.cost - choice.bound:.2f} unproved"
    return (
        f"{len(choice.tubes)} ({', '.join(choice.tubes)}): nearest "
        f"{choice.distance @ weights:.2f}, expected {choice.expected @ weights:.2f}{missed}{proved}"
    )


if __name__ == "__main__":
    main()
