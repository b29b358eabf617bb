"""Mix, dab, photograph, correct: how near a pile comes, in the virtual studio.

    python -m tests.benchmarks.closed_loop [--studios 6] [--targets 10] [--lights D50 LED-B3]

Each painter's box is learnt from one photo first. Then for each target: the solver's first recipe,
mixed by a 5 % hand; a photo of the dab beside a 24-patch chart, or beside a grey card and dabs of
white and black; recipe and photo weighed together; the correction that is advised, added by the
same hand; and once more. True dE00 from the target throughout.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box
from refmatch.paint.kubelka_munk import k_over_s, to_inner
from refmatch.recipe.doubt import uncertainty
from refmatch.recipe.mixture import Palette, film
from refmatch.swatch.bend import bent_to
from refmatch.swatch.chart import as_known, chart_patches
from refmatch.swatch.correct import correct
from refmatch.swatch.dab import Known, Spot
from refmatch.swatch.fused import Estimated, fuse
from refmatch.swatch.generic import generic_camera
from refmatch.swatch.measured import measure
from refmatch.swatch.pile import Pile, ingredients_of
from refmatch.swatch.predicted import predict_piles
from tests.benchmarks.box_from_photo import _bench, _recipe, joint, joint_with_chart, targets_of
from tests.virtual_studio.camera import camera_of, chart, grey, photographed
from tests.virtual_studio.paints import AS_REAL, NONE, Breaks
from tests.virtual_studio.scene import HAND, Scene, scene_of

FIRST = 900
ALIKE = 0.5
"""How far the errors of a box and of a later photo by the same phone go together (own choice)."""

TOTAL_PARTS = 20.0
SPREAD_COUNTS = 4.0
WORSE = 0.5
ROUNDS = 2


@dataclass(frozen=True, eq=False)
class Run:
    """One target's dE00 after each round, (rounds + 1,), and whether the last estimate held."""

    off: tuple[float, ...]
    within: tuple[bool, ...]


def known_in(scene: Scene, box: Box, way: str) -> tuple[Array, list[Array]]:
    """Return surfaces that lie beside the dab as they are, and as they are taken to be."""
    tubes = [tube.name for tube in scene.studio.tubes]
    ends = np.eye(len(tubes))[[scene.studio.white, tubes.index("ivory black")]]
    if way == "chart":
        return np.concatenate([grey(50.0)[None], chart()]), [grey(50.0), *chart_patches()]
    told = Palette.of(box.tubes, box.surface).reflectance(ends)
    return np.concatenate([grey(50.0)[None], scene.studio.reflectance(ends)]), [grey(50.0), *told]


def looked_at(scene: Scene, box: Box, way: str, laid: Array, parts: Array, seed: int) -> Estimated:
    """Photograph the pile that was ``laid``, and weigh it with what was meant, ``parts``."""
    true, told = known_in(scene, box, way)
    surfaces = np.concatenate([scene.studio.reflectance(laid[None]), true])
    shot = photographed(surfaces, camera_of(scene.light, scene.seed), seed)
    sigma = np.maximum(shot.spread / SPREAD_COUNTS, 1e-4)
    read = [
        {"xyz": x, "sigma": s, "high": tuple(map(bool, h)), "low": tuple(map(bool, low))}
        for x, s, h, low in zip(shot.xyz, sigma, shot.high, shot.low, strict=True)
    ]
    known = [Known("", r, **row) for r, row in zip(told, read[1:], strict=True)]
    if way == "chart":
        known = [known[0], *as_known(known[1:])]
    predicted = predict_piles(box, parts[None])
    seen = measure([Spot(**read[0])], predicted.reflectance, known, generic_camera())
    return fuse(predicted, seen, ALIKE)


def believed(box: Box, parts: Array, found: Estimated) -> Pile:
    """Return the pile as it is now believed to be: its tubes as found, bent to its colour."""
    k = np.stack([tube.absorption for tube in box.tubes]) * np.exp(found.tubes[:, :31])
    s = np.stack([tube.scattering for tube in box.tubes]) * np.exp(found.tubes[:, 31:])
    share = parts / parts.sum()
    absorption, scattering = share @ k, share @ s
    for _ in range(4):  # the skin makes reflectance and K/S differ a little in how they bend
        now = film(absorption, scattering, box.surface)
        wanted = bent_to(now, found.lab[0])
        absorption = absorption * _ratio(wanted, box) / _ratio(now, box)
    return Pile(absorption, scattering, float(parts.sum()), box.surface)


def _ratio(reflectance: Array, box: Box) -> Array:
    return k_over_s(np.clip(to_inner(reflectance, box.surface), 1e-4, 0.9999))


def one(scene: Scene, box: Box, way: str, target: Array, seed: int) -> Run:
    """Mix for one target, look and correct, twice at most."""
    rng = np.random.default_rng(seed)
    names = [tube.name for tube in box.tubes]
    parts = TOTAL_PARTS * _recipe(_bench(box), target)
    laid = parts * np.exp(rng.normal(0.0, HAND, len(parts)))
    off, within = [float(delta_e_00(scene.studio.lab(laid[None])[0], target))], []
    for number in range(1, ROUNDS + 1):
        found = looked_at(scene, box, way, laid, parts, 10 * seed + number)
        doubt = found.covariance_of(0)
        true = reflectance_to_lab(scene.studio.reflectance(laid[None]))[0]
        within.append(bool(delta_e_00(found.lab[0], true) <= uncertainty(found.lab[0], doubt)[1]))
        pile = believed(box, parts, found)
        portions = list(zip(names, parts, strict=True))
        advice = correct(
            pile, target, ingredients_of(box, portions), doubt=doubt, round_number=number
        )
        if advice.corrections:
            if advice.divide:
                laid, parts = laid / 3.0, parts / 3.0
            for addition in advice.corrections[0].additions:
                added = addition.parts * np.exp(rng.normal(0.0, HAND))
                for tube, share in addition.ingredient.own_parts:
                    parts[names.index(tube)] += addition.parts * share
                    laid[names.index(tube)] += added * share
        off.append(float(delta_e_00(scene.studio.lab(laid[None])[0], target)))
    return Run(tuple(off), tuple(within))


def report(breaks: Breaks, light: str, way: str, studios: int, targets: int) -> None:
    """Print one line: median and p90 at first, after one correction and after two."""
    runs: list[Run] = []
    for seed in range(FIRST, FIRST + studios):
        scene = scene_of(seed, light, breaks)
        box = joint_with_chart(scene) if way == "chart" else joint(scene)
        runs += [
            one(scene, box, way, target, 1000 * seed + n)
            for n, target in enumerate(targets_of(scene, targets))
        ]
    off = np.array([run.off for run in runs])
    worse = np.mean(np.diff(off, axis=1) > WORSE)
    told = "   ".join(_figures(column) for column in off.T)
    within = np.mean([run.within for run in runs])
    print(
        f"{light:7s} {way:22s} {told}   worse in {100 * worse:3.0f} %   "
        f"within p90 {100 * within:3.0f} %   ({len(runs)})",
        flush=True,
    )


def _figures(values: Sequence[float] | Array) -> str:
    median, p90 = np.percentile(values, [50.0, 90.0])
    return f"{median:.2f} ({p90:.2f})"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--studios", type=int, default=6)
    parser.add_argument("--targets", type=int, default=10)
    parser.add_argument("--lights", nargs="*", default=("D50", "LED-B3", "A"))
    given = parser.parse_args()
    print("dE00, median (p90): first mix, after one correction, after two")
    cases = {"paints that keep to the model": NONE, "paints that break it": AS_REAL}
    for case, breaks in cases.items():
        print(f"\n{case}")
        for light in given.lights:
            for way in ("chart", "grey, white and black"):
                report(breaks, light, way, given.studios, given.targets)


if __name__ == "__main__":
    main()
