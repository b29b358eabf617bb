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
from refmatch.dabs.belief import Believed, look
from refmatch.dabs.beside import grey_card, paint, patch
from refmatch.dabs.camera import SAME
from refmatch.dabs.checked import ALONE, Job, advised
from refmatch.dabs.spot import WET, Spot
from refmatch.paint.box import Box
from refmatch.recipe.doubt import uncertainty
from tests.benchmarks.box_from_photo import _bench, _recipe, joint, joint_with_chart, targets_of
from tests.virtual_studio.camera import camera_of, chart, grey, photographed
from tests.virtual_studio.paints import AS_REAL, NONE, Breaks
from tests.virtual_studio.scene import HAND, Scene, scene_of

FIRST = 900
CHART, NEUTRALS = "24-patch chart", "grey, white and black"
KNOWN_CAMERA = f"{NEUTRALS}, own phone"
WAYS = (CHART, KNOWN_CAMERA, NEUTRALS)
"""What lies beside the dab; the second says that phone and light are those of the box's photo."""

AT = (0.0, 0.0)
"""No light falls off over the studio's chart, so that its patches may all lie in its middle."""

TOTAL_PARTS = 20.0
SPREAD_COUNTS = 4.0
WORSE = 0.5
ROUNDS = 2


@dataclass(frozen=True, eq=False)
class Run:
    """One target's dE00 after each round, (rounds + 1,), and whether the last estimate held."""

    off: tuple[float, ...]
    within: tuple[bool, ...]


def looked_at(scene: Scene, box: Box, way: str, laid: Array, parts: Array, seed: int) -> Believed:
    """Photograph the pile that was ``laid``, and weigh it with what was meant, ``parts``."""
    tubes = [tube.name for tube in scene.studio.tubes]
    ends = np.eye(len(tubes))[[scene.studio.white, tubes.index("ivory black")]]
    beside = chart() if way == CHART else scene.studio.reflectance(ends)
    surfaces = np.concatenate([scene.studio.reflectance(laid[None]), grey(50.0)[None], beside])
    shot = photographed(surfaces, camera_of(scene.light, scene.seed), seed)
    sigma = np.maximum(shot.spread / SPREAD_COUNTS, 1e-4)
    dab, card, *others = [
        Spot(xyz=x, sigma=s, high=tuple(map(bool, h)), low=tuple(map(bool, low)))
        for x, s, h, low in zip(shot.xyz, sigma, shot.high, shot.low, strict=True)
    ]
    known = [grey_card(np.array([50.0, 0.0, 0.0]), card)]
    if way == CHART:
        known += [patch(n, AT, spot) for n, spot in enumerate(others, start=1)]
    else:
        known += [paint(box, end, spot, WET) for end, spot in zip(ends, others, strict=True)]
    light = SAME if way == KNOWN_CAMERA else None
    return look(box, parts[None], [dab], known, light=light)


def one(scene: Scene, box: Box, way: str, target: Array, seed: int) -> Run:
    """Mix for one target, look and correct, twice at most."""
    rng = np.random.default_rng(seed)
    names = [tube.name for tube in box.tubes]
    parts = TOTAL_PARTS * _recipe(_bench(box), target)
    laid = parts * np.exp(rng.normal(0.0, HAND, len(parts)))
    off, within = [float(delta_e_00(scene.studio.lab(laid[None])[0], target))], []
    for number in range(1, ROUNDS + 1):
        seen = looked_at(scene, box, way, laid, parts, 10 * seed + number)
        found = seen.estimated
        doubt = found.covariance_of(0)
        true = reflectance_to_lab(scene.studio.reflectance(laid[None]))[0]
        within.append(bool(delta_e_00(found.lab[0], true) <= uncertainty(found.lab[0], doubt)[1]))
        portions = list(zip(names, parts, strict=True))
        job = Job(ALONE, target, tuple(portions), corrections=number - 1)
        _, advice = advised(box, job, 0, seen)
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
        box = joint_with_chart(scene) if way == CHART else joint(scene)
        runs += [
            one(scene, box, way, target, 1000 * seed + n)
            for n, target in enumerate(targets_of(scene, targets))
        ]
    off = np.array([run.off for run in runs])
    worse = np.mean(np.diff(off, axis=1) > WORSE)
    told = "   ".join(_figures(column) for column in off.T)
    within = np.mean([run.within for run in runs])
    print(
        f"{light:7s} {way:33s} {told}   worse in {100 * worse:3.0f} %   "
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
    parser.add_argument("--ways", nargs="*", default=WAYS)
    given = parser.parse_args()
    print("dE00, median (p90): first mix, after one correction, after two")
    cases = {"paints that keep to the model": NONE, "paints that break it": AS_REAL}
    for case, breaks in cases.items():
        print(f"\n{case}")
        for light in given.lights:
            for way in given.ways:
                report(breaks, light, way, given.studios, given.targets)


if __name__ == "__main__":
    main()
