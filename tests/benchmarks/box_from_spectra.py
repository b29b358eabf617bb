"""How true a box is that was made from an instrument's spectra, in the virtual studio.

    python -m tests.benchmarks.box_from_spectra [--studios 10]

Masstone, 1 to 1 and 1 to 9 white of each tube of a box of 12, mixed by a 5 % hand and read
with 0.2 % noise; then random mixes of three or four tubes, from paints that keep to the
model, and from paints that leave it as real ones do.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box_file import built_in_box
from refmatch.paint.fit.tubes import Characterised, Named, characterise
from refmatch.recipe.doubt import covariance, uncertainty
from refmatch.recipe.mixture import Palette
from tests.virtual_studio.instrument import colours_and_black, let_downs, measured, random_mixes
from tests.virtual_studio.paints import AS_REAL, NONE, Breaks, another_painters

MIXES = 100
FIRST = 100
"""The first seed; nothing in the calibration was chosen by these studios, but by seeds from 0."""
DARK_LSTAR = 40.0


@dataclass(frozen=True, eq=False)
class Result:
    """Of many mixes: how far off, how far they were said to be at p90, and how light they are."""

    off: Array
    generic: Array
    said_p90: Array
    lstar: Array


def studio_result(seed: int, breaks: Breaks, with_black: bool) -> Result:
    """Calibrate one painter's box, and try it."""
    box = built_in_box()
    studio = another_painters(box.tubes, seed, breaks)
    mixes = let_downs(studio)
    if with_black:
        black = [tube.name for tube in studio.tubes].index("ivory black")
        mixes += colours_and_black(studio, black)
    made = calibrated(studio.tubes, studio.white, measured(studio, mixes, seed))
    parts = random_mixes(studio, MIXES, seed + 7)
    true = studio.lab(parts)
    palette = Palette.of(made.box.tubes, made.box.surface)
    lab = palette.lab(parts)
    said = [
        uncertainty(one, covariance(palette, made.box.tubes, row, one))[1]
        for one, row in zip(lab, parts, strict=True)
    ]
    plain = Palette.of(box.tubes, box.surface).lab(parts)
    return Result(delta_e_00(lab, true), delta_e_00(plain, true), np.array(said), true[:, 0])


def calibrated(tubes, white, swatches) -> Characterised:
    """Characterise a box of tubes of known pigment."""
    named = [Named.of(tube) for tube in tubes]
    return characterise(named, tubes[white].name, swatches, "measured", "volume")


def all_of(results: list[Result]) -> Result:
    """Put the results of several studios together."""
    fields = ("off", "generic", "said_p90", "lstar")
    return Result(*(np.concatenate([getattr(each, name) for each in results]) for name in fields))


def told(name: str, found: Result) -> str:
    """Say the figures in a line."""
    median, p90 = np.percentile(found.off, [50.0, 90.0])
    plain, plain_p90 = np.percentile(found.generic, [50.0, 90.0])
    within = found.off <= found.said_p90
    dark = found.lstar < DARK_LSTAR
    return (
        f"{name:34s} {median:5.2f} {p90:5.2f}   uncalibrated {plain:5.2f} {plain_p90:5.2f}   "
        f"within the stated p90: {100 * within.mean():.0f} %, "
        f"L* < 40 {100 * within[dark].mean():.0f} %, above {100 * within[~dark].mean():.0f} %"
    )


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--studios", type=int, default=10)
    count = parser.parse_args().studios
    cases = {
        "paints that keep to the model": (NONE, False),
        "paints that break it": (AS_REAL, False),
        "the same, colours with black too": (AS_REAL, True),
    }
    print("dE00 of random mixes of 3 or 4 tubes: median and 90th percentile")
    for name, (breaks, with_black) in cases.items():
        seeds = range(FIRST, FIRST + count)
        found = all_of([studio_result(seed, breaks, with_black) for seed in seeds])
        print(told(name, found))


if __name__ == "__main__":
    main()
