"""What first choices are like: `python -m tests.benchmarks.first_choices [--seed N] [--mixes]`.

Of 200 colours of the sample photos and of scikit-image's own (the mean under a hole of 2 % at
random places, Lab by scikit-image), from the twelve usual tubes; with ``--mixes`` the table of the
trade's own mixes, a row for each and the misses named.
"""

from __future__ import annotations

import argparse

import cv2
import numpy as np
from PIL import Image
from skimage.color import rgb2lab

from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box
from refmatch.paint.box_file import built_in_box
from refmatch.recipe.model import Recipe
from refmatch.recipe.solve import Bench, candidates, lay_out, solve
from refmatch.target import Target
from tests.photo.made_photos import photograph
from tests.recipe.trade_mixes import MIXES, Mix, allowed, boxes, laughed_at

SAMPLES = ("garden-table", "orchard-shade")
OWN = ("astronaut", "coffee", "chelsea")
OF_EACH = 40


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--mixes", action="store_true")
    words = asked.parse_args()
    bench = lay_out(built_in_box("garden-table"))
    shares(bench, colours(words.seed))
    if words.mixes:
        for name, box in boxes().items():
            table(name, box)


def colours(seed: int) -> list[Array]:
    """Return the mean Lab under random holes of the photos."""
    draw = np.random.default_rng(seed)
    found = []
    for photo in (*map(sample, SAMPLES), *map(photograph, OWN)):
        side = max(9, round(0.02 * min(photo.shape[:2])))
        smooth = cv2.blur(photo.astype(np.float32) / 255.0, (side, side))
        rows = draw.integers(side, photo.shape[0] - side, OF_EACH)
        columns = draw.integers(side, photo.shape[1] - side, OF_EACH)
        found += list(rgb2lab(smooth[rows, columns]))
    return found


def sample(name: str) -> np.ndarray:
    """Return a sample photo, uint8 sRGB."""
    return np.asarray(Image.open(f"sample_images/{name}.jpg").convert("RGB"))


def shares(bench: Bench, labs: list[Array]) -> None:
    """Print how often first choices are short, and what that costs in the error to expect."""
    rows = []
    for lab in labs:
        answer = solve(bench, Target("1", lab))
        found, first = candidates(bench, lab).found, answer.recipes[0]
        let_downs = sum(item.let_down_white_parts > 0 for item in first.laid_out)
        parts = sum(item.parts for item in first.laid_out)
        costs = found.expected[0] - found.expected.min()
        held = abs(first.delta_lstar) if answer.in_gamut else np.nan
        rows.append((len(first.portions), parts, let_downs, len(first.steps), costs, held))
    tubes, parts, let_downs, steps, costs, held = np.array(rows, dtype=float).T
    print(f"{len(labs)} colours, {np.mean(~np.isnan(held)):.0%} within reach")
    print(f"three tubes or fewer {np.mean(tubes <= 3):.0%} (asked 70 %)")
    print(f"12 parts or fewer {np.mean(parts <= 12):.0%} (asked 80 %)")
    print(f"no let-down {np.mean(let_downs == 0):.0%} (80 %), two {np.mean(let_downs > 1):.1%}")
    print(f"six steps or fewer {np.mean(steps <= 6):.0%} (asked 90 %)")
    reached = held[~np.isnan(held)]
    print(f"within 1 L* of those in reach {np.mean(reached <= 1.0):.0%}")
    print(
        f"error to expect above the best of all: mean {costs.mean():.2f}, p90 "
        f"{np.percentile(costs, 90):.2f}; within 0.3: {np.mean(costs <= 0.3):.0%}"
    )


def table(name: str, box: Box) -> None:
    """Print each of the trade's own mixes, hit or miss."""
    print(f"\n{name}")
    bench, hits, laughs = lay_out(box), 0, 0
    for mix in MIXES:
        first = solve(bench, Target(mix.name, np.array(mix.lab, dtype=float))).recipes[0]
        held = {key for portion in first.portions for key in box.tube(portion.tube).keys}
        missed, laughed = held - allowed(mix, box), held & laughed_at(mix, box)
        hits, laughs = hits + (not missed), laughs + bool(laughed)
        print(f"  {line(mix, first)}{' MISS by ' + ', '.join(missed) if missed else ''}")
    print(f"{name}: {hits} of {len(MIXES)} as a tutor would, {laughs} laughed at")


def line(mix: Mix, recipe: Recipe) -> str:
    """Return a row of the table."""
    parts = ", ".join(
        f"{item.parts} {item.tube}{' 1:9' if item.let_down_white_parts else ''}"
        for item in recipe.laid_out
    )
    return f"{mix.name:18} {recipe.delta_e_00:.1f} / {recipe.delta_e_00_expected:.1f}  {parts}"


if __name__ == "__main__":
    main()
