"""The key, the puddles and the strings of seven pictures: `python -m tests.benchmarks.puddles`.

Three sample images and four photographs that come with scikit-image, twelve masses each, the
built-in box. `--read` prints the plans as a painter reads them. Times are told as
multiples of one target's recipes in the same run.
"""

from __future__ import annotations

import argparse
import io
import itertools
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import skimage.data
from PIL import Image

from refmatch.colorimetry.lab import delta_e_00
from refmatch.paint.box import Box
from refmatch.paint.kubelka_munk import FINISHES
from refmatch.photo.light.balance import as_shot
from refmatch.photo.load import load
from refmatch.photo.masses import Family, find
from refmatch.plan.glaze import glaze_for
from refmatch.plan.key import Key, key, unkeyed
from refmatch.plan.mothers import Plan, Set
from refmatch.plan.order import plan_puddles
from refmatch.plan.strings import ColourString, strings
from refmatch.recipe.choice import alternatives
from refmatch.recipe.solve import Bench, Ranked, candidates, lay_out
from refmatch.say.plan import (
    glaze_words,
    key_words,
    puddle_words,
    string_step_words,
    string_words,
    work_words,
)
from tests.recipe.boxes import garden_table

SAMPLES = Path(__file__).parents[2] / "sample_images"
OWN = ("garden-table", "orchard-shade", "dab-board")
FROM_SKIMAGE = ("coffee", "chelsea", "astronaut", "rocket")
MASSES = 12
SEEN_LSTAR = 2.0
"""A difference in L* that shows side by side."""


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--read", action="store_true", help="print the plans too")
    asked.add_argument("--masses", type=int, default=MASSES)
    told = asked.parse_args()
    gloss = garden_table()
    matt = replace(gloss, name="matt", surface=replace(gloss.surface, f=FINISHES["matt"]))
    bench, sunken = lay_out(gloss), lay_out(matt)
    for name, masses in pictures(told.masses):
        report(name, masses, bench, read=told.read)
        values(name, masses, sunken)


def pictures(count: int) -> Iterator[tuple[str, Sequence[Family]]]:
    """Yield the masses of each picture."""
    with tempfile.TemporaryDirectory() as folder:
        for name in (*OWN, *FROM_SKIMAGE):
            path = SAMPLES / f"{name}.jpg"
            if name in FROM_SKIMAGE:
                path = Path(folder) / f"{name}.png"
                data = io.BytesIO()
                Image.fromarray(getattr(skimage.data, name)()).save(data, "png")
                path.write_bytes(data.getvalue())
            yield name, find(load(path), as_shot(), count).items


def report(name: str, masses: Sequence[Family], bench: Bench, *, read: bool) -> None:
    """Print what mother puddles save, and what they cost."""
    found = keyed(masses, bench.entries.box)
    start = time.perf_counter()
    ranked = [candidates(bench, lab) for lab in found.after]
    one_s = (time.perf_counter() - start) / len(ranked)
    asked = as_set(masses, found, bench, ranked)
    start = time.perf_counter()
    plan = plan_puddles(bench.entries, asked)
    runs = strings(bench.entries, asked, plan)
    spent = (time.perf_counter() - start) / one_s
    off = np.array([each.delta_e_00 for run in runs for each in run.steps if each.laid_out])
    print(
        f"{name}: {plan.alone} puddles from tubes without mothers, {plan.from_tubes} with; "
        f"laid out {plan.laid_out_alone} and {plan.laid_out} things; mean dE00 "
        f"{plan.mean_alone_delta_e_00:.2f} and {plan.mean_delta_e_00:.2f}; {len(runs)} strings "
        f"of {[len(run.steps) for run in runs]} steps, dE00 "
        f"{off.mean() if len(off) else 0.0:.1f}; {spent:.1f} of one target's time"
    )
    if read:
        read_out(found, plan, runs)
        for label, lab, best in zip(asked.labels, asked.labs, ranked, strict=True):
            glaze = None
            if not best.within_reach:
                nearest = float(delta_e_00(best.found.lab[0], lab))
                glaze = glaze_for(bench.entries.box, lab, nearest)
            if glaze:
                print(f"  {label}: {glaze_words(glaze)}")


def read_out(found: Key, plan: Plan, runs: Sequence[ColourString]) -> None:
    """Print a plan as a painter reads it."""
    print(f"  {key_words(found)}")
    for line in work_words(plan):
        print(f"  {line}")
    for number, puddle in enumerate(plan.puddles, start=1):
        indent = "   " if puddle.drawn_from else ""
        off = "" if puddle.delta_e_00 is None else f" ({puddle.delta_e_00:.1f})"
        print(f"  {number:2}. {indent}{puddle_words(puddle, plan)}{off}")
    for run in runs:
        print(f"  String of “{run.label}”. {string_words(run)}")
        for place in run.in_work_order:
            step = run.steps[place]
            print(f"      {place + 1}. {string_step_words(run, place)} ({step.delta_e_00:.1f})")


def values(name: str, masses: Sequence[Family], bench: Bench) -> None:
    """Print what becomes of the photo's order of values in matt paint, with and without the key."""
    for word, made in (("without", unkeyed), ("with", key)):
        found = keyed(masses, bench.entries.box, made)
        mixes = np.array([candidates(bench, lab).found.lab[0] for lab in found.after])
        photo = found.before[:, 0]
        pairs = [
            (one, other)
            for one, other in itertools.permutations(range(len(photo)), 2)
            if photo[one] - photo[other] >= SEEN_LSTAR
        ]
        lost = sum(mixes[one, 0] - mixes[other, 0] < SEEN_LSTAR / 4.0 for one, other in pairs)
        turned = sum(mixes[one, 0] < mixes[other, 0] for one, other in pairs)
        off = np.average(delta_e_00(mixes, found.before), weights=shares_of(masses))
        print(
            f"  matt, {word} the key: of {len(pairs)} pairs that differ in value {lost} do so no "
            f"more, {turned} are turned round; mean dE00 from the photo {off:.2f}"
        )


def keyed(masses: Sequence[Family], box: Box, made=key) -> Key:
    return made(np.array([mass.lab for mass in masses]), shares_of(masses), box)


def shares_of(masses: Sequence[Family]) -> np.ndarray:
    return np.array([mass.share for mass in masses])


def as_set(masses: Sequence[Family], found: Key, bench: Bench, ranked: Sequence[Ranked]) -> Set:
    """Return the masses with all the ways that `refmatch mix` would show for each."""
    ways = [
        [each.found.parts[choice.row] for choice in alternatives(bench.entries, each.found)]
        for each in ranked
    ]
    return Set(
        [mass.label for mass in masses],
        found.after,
        shares_of(masses),
        np.array([way[0] for way in ways]),
        [(place, parts) for place, way in enumerate(ways) for parts in way[1:]],
    )


if __name__ == "__main__":
    main()
