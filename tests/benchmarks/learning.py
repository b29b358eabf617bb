"""How much a box learns from the piles that are checked, and how well it keeps out wrong photos.

    python -m tests.benchmarks.learning [--studios 8] [--lights D50 LED-B3 A] [--wrong-only]
        [--courses-only] [--bent] [--final]

Five tubes of a painter nobody knows (white, black, three colours), a box of generic curves, twelve
colours that these tubes can make. For each the solver's first recipe from the box as it then is,
mixed by a 5 % hand; a photo of the pile; and the box learns from all photos so far that pass its
gates. The first mix's true dE00 from its target, the first three puddles beside the last three.

Then one photo among so many is wrong on purpose: in half of all cases the first, in the others
any. It is refused, or it moves mixes of the palette (median) by so much.

The tubes are as far off as those of another maker; ``--bent``: bent anyhow, which is farther.
``--final``: by camera bodies that nothing was made from.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.gates import gate
from refmatch.dabs.learn import LEAST_PERCENT, Evidence, learn
from refmatch.paint.box import NINE_IN_TEN, Box, strength_beside
from refmatch.recipe.mixture import Palette
from tests.benchmarks.box_from_photo import _bench, _recipe
from tests.virtual_studio.paints import AS_REAL, NONE, Breaks, another_painters, other_makers
from tests.virtual_studio.piles import (
    CHART,
    CHART_IN_SHADE,
    HAND,
    WAYS,
    WRONG_PUDDLE,
    WRONGS,
    Table,
    pile_photo,
    random_piles,
    table_of,
)

FIRST = 900
"""The first seed; the limits of the gates were chosen by studios 0 to 9."""

PUDDLES, ENDS = 12, 3
MIXES = 60
AMONG = (1, 2, 4, 8, 12)
"""Photos that a wrong one is among, itself counted."""

REFUSED_BELOW = 1.0
CASES = {"keep to model": NONE, "break it": AS_REAL}


@dataclass(frozen=True, eq=False)
class Course:
    """Twelve puddles: the dE00 of each first mix, (12,), and how many photos were taken in."""

    off: Array
    taken: int
    mixes_before: float
    mixes_after: float


def taught(box: Box, photos: list[Evidence]) -> Box:
    """Return the box after all photos that pass."""
    taken = gate(box, photos)[0]
    return learn(box, [photos[number] for number in taken]) if taken else box


def course(table: Table, way: str) -> Course:
    """Mix twelve puddles one after the other, learning from each."""
    rng = np.random.default_rng(table.seed)
    targets = table.lab(random_piles(table.seed + 1, PUDDLES))
    box, photos, off = table.box, [], []
    for number, target in enumerate(targets):
        meant = _recipe(_bench(box), target)
        laid = meant * np.exp(rng.normal(0.0, HAND, len(meant)))
        off.append(float(delta_e_00(table.lab(laid[None])[0], target)))
        photos.append(pile_photo(table, way, meant, 100 * table.seed + number, laid=laid))
        box = taught(table.box, photos)
    taken = len(gate(table.box, photos)[0])
    return Course(np.array(off), taken, _miss(table, table.box), _miss(table, box))


def _miss(table: Table, box: Box) -> float:
    mixes = random_piles(table.seed + 2, MIXES)
    return float(np.median(delta_e_00(_lab(box, mixes), table.lab(mixes))))


def _lab(box: Box, mixes: Array) -> Array:
    return Palette.of(box.tubes, box.surface).lab(mixes)


def report_courses(tables: Iterable[Table], way: str, told: str) -> None:
    """Print one line: first mixes, then random mixes predicted, before and after."""
    runs = [course(table, way) for table in tables]
    off = np.stack([run.off for run in runs])
    first, last = off[:, :ENDS], off[:, -ENDS:]
    ratio = last.mean() / first.mean()
    halved = np.mean(last.mean(axis=1) < 0.5 * first.mean(axis=1))
    before = np.median([run.mixes_before for run in runs])
    after = np.median([run.mixes_after for run in runs])
    print(
        f"{told:12s} {way:22s} first three {first.mean():.1f} ({np.median(first):.1f})   "
        f"last three {last.mean():.1f} ({np.median(last):.1f})   {ratio:.2f}   "
        f"halved in {100 * halved:3.0f} %   random mixes {before:.1f} -> {after:.1f}   "
        f"taken in {np.mean([run.taken for run in runs]):.1f} of {PUDDLES}",
        flush=True,
    )


def moved_by(table: Table, way: str, wrong: str, among: int) -> float | None:
    """Return by how much one wrong photo moves mixes of the palette, None where it is refused."""
    piles = random_piles(table.seed + 1, PUDDLES)
    place = 0 if table.seed % 2 else table.seed % among
    seeds = [100 * table.seed + number for number in range(among)]
    photos = [pile_photo(table, way, row, seed) for row, seed in zip(piles, seeds, strict=False)]
    told = piles[(place + 5) % PUDDLES] if wrong == WRONG_PUDDLE else None
    photos[place] = pile_photo(table, way, piles[place], seeds[place], wrong=wrong, told=told)
    taken = gate(table.box, photos)[0]
    if place not in taken:
        return None
    others = [photos[number] for number in taken if number != place]
    without = learn(table.box, others) if others else table.box
    with_it = learn(table.box, [photos[number] for number in taken])
    mixes = random_piles(table.seed + 2, MIXES)
    return float(np.median(delta_e_00(_lab(with_it, mixes), _lab(without, mixes))))


def report_wrong(tables: list[Table], way: str, wrong: str) -> None:
    """Print one line: of how many wrong photos how many were taken in, and what they moved."""
    found = {among: [moved_by(table, way, wrong, among) for table in tables] for among in AMONG}
    moves = [move for row in found.values() for move in row]
    taken = [move for move in moves if move is not None]
    worse = [among for among, row in found.items() for move in row if (move or 0.0) > REFUSED_BELOW]
    print(
        f"{way:22s} {wrong:34s} refused {len(moves) - len(taken):3d} of {len(moves)}   "
        f"moved by 1 dE00 or more {len(worse):2d}   most {max(taken, default=0.0):.1f}"
        f"{f'   among {sorted(worse)}' if worse else ''}",
        flush=True,
    )


def report_strengths(tables: Iterable[Table], way: str) -> None:
    """Print one line: how true it is what is told of each tube's strength."""
    off, within, right = [], [], []
    for table in tables:
        piles = random_piles(table.seed + 1, PUDDLES)
        photos = [pile_photo(table, way, row, 100 * table.seed + n) for n, row in enumerate(piles)]
        taken = gate(table.box, photos)[0]
        true = {
            tube.name: k.sum()
            for tube, k in zip(table.studio.tubes, table.studio.absorption, strict=True)
        }
        after = learn(table.box, [photos[n] for n in taken]) if taken else table.box
        learnt_of = sorted({tube for n in taken for dab in photos[n].dabs for tube in dab.tubes})
        for number in learnt_of:
            tube = table.box.tubes[number]
            if tube.is_white:
                continue
            found = strength_beside(after.tubes[number], tube)
            ratio = true[tube.name] / tube.absorption.sum()
            miss = abs(float(np.log(found.ratio / ratio)))
            off.append(miss)
            within.append(miss < NINE_IN_TEN * found.doubt)
            if found.is_certain and 100.0 * abs(found.ratio - 1.0) >= LEAST_PERCENT:
                right.append((found.ratio > 1.0) == (ratio > 1.0))
    print(
        f"{way:22s} strength off by {100 * np.median(off):.0f} % (median of {len(off)} tubes)   "
        f"within nine in ten: {100 * np.mean(within):.0f} %   told other than assumed: "
        f"{len(right)}, the right way in {100 * np.mean(right):.0f} %",
        flush=True,
    )


def tables_of(given: argparse.Namespace, breaks: Breaks, times: int = 1) -> list[Table]:
    """Return painters' tables, the lights in turn; ``times`` as many as are asked for."""
    maker = another_painters if given.bent else other_makers
    lights = given.lights
    return [
        table_of(seed, lights[seed % len(lights)], breaks, maker=maker, final=given.final)
        for seed in range(FIRST, FIRST + times * given.studios)
    ]


def main() -> None:
    """Print both tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--studios", type=int, default=8)
    parser.add_argument("--lights", nargs="*", default=["D50", "LED-B3", "A", "D65"])
    parser.add_argument("--wrong-only", action="store_true")
    parser.add_argument("--courses-only", action="store_true", help="what is learnt, no more")
    parser.add_argument("--bent", action="store_true")
    parser.add_argument("--final", action="store_true")
    parser.add_argument("--ways", nargs="*", default=WAYS)
    parser.add_argument("--cases", nargs="*", default=list(CASES))
    given = parser.parse_args()
    if not given.wrong_only:
        print("dE00 of the first mix, mean (median): first three puddles, last three, their ratio")
        for told in given.cases:
            for way in given.ways:
                report_courses(tables_of(given, CASES[told]), way, told)
        if given.courses_only:
            return
        print("\nwhat is told of strengths, twelve photos")
        for way in given.ways:
            report_strengths(tables_of(given, NONE), way)
    print(f"\none wrong photo among {', '.join(map(str, AMONG))}")
    tables = tables_of(given, AS_REAL, times=2)
    for way in given.ways:
        for wrong in WRONGS:
            if wrong != CHART_IN_SHADE or way == CHART:
                report_wrong(tables, way, wrong)


if __name__ == "__main__":
    main()
