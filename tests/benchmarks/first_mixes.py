"""First mixes of another maker's paints: `python -m tests.benchmarks.first_mixes`.

How far mixes of exact parts are from what is predicted, and how often they lie within the stated
90 %: of painters of the virtual studio, and of real oils (``docs/derivations/oils.csv``) by the
curves that stood here before these were fitted to: published acrylics, and memory.
"""

from __future__ import annotations

import argparse
import importlib
import sys
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Tube, built_in_tube
from refmatch.paint.fit.belief import belief_of
from refmatch.paint.library import FROM_MEMORY, pigments
from refmatch.paint.makers import spread_of
from refmatch.recipe.doubt import covariance, uncertainty
from refmatch.recipe.mixture import Palette
from tests.virtual_studio.paints import AS_REAL, other_makers

TOP = Path(__file__).parents[2]
DARK = 40.0
"""L* under which a mix counts as dark."""

TINT = 0.5
"""Share of white from which a mix counts as a tint."""

WHITE = "titanium-white"
BEFORE = {
    "PW4": "zinc-white",
    "PW1": "lead-white",
    "PB29": "ultramarine-blue",
    "PB28": "cobalt-blue",
    "PG18": "viridian",
    "PB27": "prussian-blue",
    "PBk9": "ivory-black",
}
"""Which pigment's curves stood for an oil before it was measured."""


@dataclass(frozen=True, eq=False)
class Mix:
    """A mix of ``keys``: how far off it is, what was stated, and whether it is dark or a tint."""

    keys: tuple[str, ...]
    off: float
    p50: float
    p90: float
    lstar: float
    white: float


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--painters", type=int, default=40)
    asked.add_argument("--piles", type=int, default=24)
    asked.add_argument("--seed", type=int, default=0)
    given = asked.parse_args()
    mixes = [
        mix
        for painter in range(given.seed, given.seed + given.painters)
        for mix in painters_mixes(painter, given.piles)
    ]
    print(f"{given.painters} painters, {given.piles} mixes each, seeds from {given.seed}")
    report(mixes)
    worst(mixes)
    print("\nreal oils by curves from acrylics and from memory")
    real = list(real_oils())
    report(real)
    for mix in real:
        print(f"    {' + '.join(mix.keys):32} {mix.off:5.1f} of {mix.p90:5.1f}")


def painters_mixes(seed: int, count: int) -> list[Mix]:
    """Return mixes of one to three colours and white, of any pigments of one maker."""
    rng = np.random.default_rng(10_000 + seed)
    colours = [key for key, pigment in pigments().items() if pigment.kind != "white"]
    keys = (WHITE, *rng.choice(colours, 11, replace=False))
    tubes = [built_in_tube(str(key)) for key in keys]
    studio = other_makers(tubes, seed, AS_REAL)
    mixes = []
    for _ in range(count):
        parts = np.zeros(len(tubes))
        used = rng.choice(np.arange(1, len(tubes)), rng.integers(1, 4), replace=False)
        parts[used] = np.exp(rng.uniform(np.log(0.05), 0.0, len(used)))
        if rng.random() < 0.7:
            parts[0] = parts.sum() * np.exp(rng.uniform(-2.0, 3.0))
        mixes.append(judged(tubes, parts, studio.lab(parts[None])[0]))
    return mixes


def real_oils() -> list[Mix]:
    """Return the oils that the earlier curves stood for, in masstone, in tints and with black."""
    sys.path.insert(0, str(TOP / "docs" / "derivations"))
    oils: Any = importlib.import_module("oils")
    density = oils.paint_densities(oils.read_table())
    mixes = []
    for sample in oils.read_samples():
        if not set(sample.mass) <= set(BEFORE) or set(sample.mass) <= {"PW4", "PW1"}:
            continue
        names = tuple(sample.mass)
        swatch = oils.swatch_of(sample, names, density)
        tubes = [before(BEFORE[name]) for name in names]
        lab = reflectance_to_lab(swatch.reflectance)
        mixes.append(judged(tubes, np.array(swatch.parts), lab))
    return mixes


def before(key: str) -> Tube:
    """Return a tube as it was before oils were measured, with what such curves leave in doubt."""
    tube = built_in_tube(key)
    curves = tomllib.loads((TOP / "tests" / "data" / "remembered_curves.toml").read_text("utf-8"))
    if key not in curves:
        return tube
    row = curves[key]
    tube = replace(
        tube, absorption=np.array(row["absorption"]), scattering=np.array(row["scattering"])
    )
    spread = spread_of([replace(pigments()[key], medium=FROM_MEMORY)])
    return replace(tube, source="remembered", modes=belief_of(tube, spread).factor.T)


def judged(tubes: list[Tube], parts: Array, true: Array) -> Mix:
    """Return how far a mix is from what is predicted, beside what is stated."""
    palette = Palette.of(tubes)
    lab = palette.lab(parts)
    p50, p90 = uncertainty(lab, covariance(palette, tubes, parts, lab))
    white = sum(share for share, tube in zip(parts, tubes, strict=True) if tube.is_white)
    used = tuple(tube.keys[0] for tube, share in zip(tubes, parts, strict=True) if share > 0.0)
    off = float(delta_e_00(lab, true))
    return Mix(used, off, p50, p90, float(lab[0]), float(white / parts.sum()))


def report(mixes: list[Mix]) -> None:
    """Print median, 90th percentile, and how true both stated figures are."""
    kinds: dict[str, Callable[[Mix], bool]] = {
        "all": lambda mix: True,
        "dark": lambda mix: mix.lstar < DARK,
        "light": lambda mix: mix.lstar >= DARK,
        "tints": lambda mix: mix.white >= TINT,
        "no white": lambda mix: mix.white == 0.0,
    }
    for name, is_of in kinds.items():
        some = [mix for mix in mixes if is_of(mix)]
        if not some:
            continue
        off, p50, p90 = (np.array([getattr(mix, f) for mix in some]) for f in ("off", "p50", "p90"))
        print(
            f"  {name:9} {len(some):4}: {np.median(off):5.2f} ({np.percentile(off, 90):5.2f}), "
            f"stated p50 {np.median(p50):5.2f}, p90 {np.median(p90):5.2f}; "
            f"within p50 {np.mean(off <= p50):4.0%}, within p90 {np.mean(off <= p90):4.0%}"
        )


def worst(mixes: list[Mix]) -> None:
    """Print by pigment, the farthest off first, and by kind how true the stated 90 % are."""
    for title, name_of in (("pigment", str), ("kind", lambda key: pigments()[key].kind)):
        by_name: dict[str, list[Mix]] = {}
        for mix in mixes:
            for name in {name_of(key) for key in mix.keys if key != WHITE}:
                by_name.setdefault(name, []).append(mix)
        ordered = sorted(by_name.items(), key=lambda item: -np.median([m.off for m in item[1]]))
        for name, some in ordered[:8]:
            off, p90 = np.array([m.off for m in some]), np.array([m.p90 for m in some])
            within = np.mean(off <= p90)
            print(f"    {title} {name:28} {np.median(off):5.2f}, within p90 {within:4.0%}")


if __name__ == "__main__":
    main()
