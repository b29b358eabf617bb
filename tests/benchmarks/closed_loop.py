"""Mix, dab, photograph, correct: how near a pile comes, in the virtual studio.

    python -m tests.benchmarks.closed_loop [--studios 6] [--targets 10] [--lights D50] [--final]

Paints of other makers that break the paint model as real ones do. Each painter's box is learnt
first, from one photo of the calibration card, or it is the built-in one. Then for each target of
L* 15 or more: the solver's first recipe, mixed by a 5 % hand; a photo of the dab beside a 24-patch
chart, or beside a grey card and dabs of white and black; recipe and photo weighed together; the
correction that is advised, added by the same hand; and once more. True dE00 from the target
throughout. What the photo alone and both together say of the dab stands beside what it truly is.
``--final``: by camera bodies that nothing was made from.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.additions import Ingredient
from refmatch.dabs.belief import Belief, Believed, look
from refmatch.dabs.beside import grey_card, paint, patch
from refmatch.dabs.box_card import compose
from refmatch.dabs.camera import SAME
from refmatch.dabs.checked import ALONE, Job, advised
from refmatch.dabs.correct import THIRD
from refmatch.dabs.spot import WET, Spot
from refmatch.paint.box import Box
from refmatch.paint.box_file import built_in_box
from refmatch.recipe.doubt import uncertainty
from tests.benchmarks.box_from_photo import _bench, _recipe, joint, joint_with_chart, targets_of
from tests.virtual_studio.camera import chart, grey, photographed
from tests.virtual_studio.paints import AS_REAL, other_makers
from tests.virtual_studio.scene import HAND, Scene, mixes_of, scene_of_mixes

FIRST = 900
CHART, NEUTRALS = "24-patch chart", "grey, white and black"
KNOWN_CAMERA = f"{NEUTRALS}, own phone"
BUILT_IN = ", built-in box"
WAYS = (CHART, NEUTRALS, KNOWN_CAMERA, CHART + BUILT_IN, NEUTRALS + BUILT_IN)
"""What lies beside the dab; the third says that phone and light are those of the box's photo."""

AT = (0.0, 0.0)
"""No light falls off over the studio's chart, so that its patches may all lie in its middle."""

TOTAL_PARTS = 20.0
SPREAD_COUNTS = 4.0
WORSE = 0.5
ROUNDS = 2
LEAST_LSTAR = 15.0
LEFT_OUT = 4
"""So many times as many targets are drawn as are wanted: some are too dark."""


@dataclass(frozen=True, eq=False)
class Look:
    """How far off a dab is read by the photo alone and believed to be, beside the stated p90s."""

    photo: float
    photo_p90: float
    belief: float
    belief_p90: float


@dataclass(frozen=True, eq=False)
class Run:
    """One target's dE00 after each round, (rounds + 1,), and the looks between them."""

    off: tuple[float, ...]
    looks: tuple[Look, ...]


def looked_at(
    scene: Scene,
    box: Box,
    way: str,
    *,
    laid: Array,
    parts: Array,
    earlier: Belief | None,
    seed: int,
) -> Believed:
    """Photograph the pile that was ``laid``, and weigh it with what was meant, ``parts``."""
    tubes = [tube.name for tube in scene.studio.tubes]
    ends = np.eye(len(tubes))[[scene.studio.white, tubes.index("ivory black")]]
    has_chart = way.startswith(CHART)
    beside = chart() if has_chart else scene.studio.reflectance(ends)
    surfaces = np.concatenate([scene.studio.reflectance(laid[None]), grey(50.0)[None], beside])
    shot = photographed(surfaces, scene.camera, seed)
    sigma = np.maximum(shot.spread / SPREAD_COUNTS, 1e-4)
    dab, card, *others = [
        Spot(xyz=x, sigma=s, high=tuple(map(bool, h)), low=tuple(map(bool, low)))
        for x, s, h, low in zip(shot.xyz, sigma, shot.high, shot.low, strict=True)
    ]
    known = [grey_card(np.array([50.0, 0.0, 0.0]), card)]
    if has_chart:
        known += [patch(n, AT, spot) for n, spot in enumerate(others, start=1)]
    else:
        known += [paint(box, end, spot, WET) for end, spot in zip(ends, others, strict=True)]
    light = SAME if way == KNOWN_CAMERA else None
    return look(box, parts[None], [dab], known, light=light, earlier=[earlier])


def one(scene: Scene, box: Box, way: str, target: Array, seed: int) -> Run:
    """Mix for one target, look and correct, twice at most."""
    rng = np.random.default_rng(seed)
    names = [tube.name for tube in box.tubes]
    parts = TOTAL_PARTS * _recipe(_bench(box), target)
    laid = parts * np.exp(rng.normal(0.0, HAND, len(parts)))
    off, looks = [float(delta_e_00(scene.studio.lab(laid[None])[0], target))], []
    belief: Belief | None = None
    for number in range(1, ROUNDS + 1):
        seen = looked_at(
            scene, box, way, laid=laid, parts=parts, earlier=belief, seed=10 * seed + number
        )
        looks.append(_compared(seen, reflectance_to_lab(scene.studio.reflectance(laid[None]))[0]))
        job = Job(
            ALONE,
            target,
            tuple(zip(names, parts, strict=True)),
            corrections=number - 1,
            belief=belief,
        )
        _, advice = advised(box, job, 0, seen)
        belief = Belief(seen.piles[0], seen.estimated.covariance_of(0))
        if advice.corrections:
            added: list[tuple[Ingredient, float]] = []
            share = THIRD if advice.divide else 1.0
            laid, parts = laid * share, parts * share
            for addition in advice.corrections[0].additions:
                added.append((addition.ingredient, addition.parts))
                by_hand = addition.parts * np.exp(rng.normal(0.0, HAND))
                for tube, part in addition.ingredient.own_parts:
                    parts[names.index(tube)] += addition.parts * part
                    laid[names.index(tube)] += by_hand * part
            belief = belief.with_added(added, share)
        off.append(float(delta_e_00(scene.studio.lab(laid[None])[0], target)))
    return Run(tuple(off), tuple(looks))


def _compared(seen: Believed, true: Array) -> Look:
    photo, belief = seen.measured, seen.estimated
    return Look(
        float(delta_e_00(photo.lab[0], true)),
        uncertainty(photo.lab[0], photo.covariance_of(0))[1],
        float(delta_e_00(belief.lab[0], true)),
        uncertainty(belief.lab[0], belief.covariance_of(0))[1],
    )


def scenes(light: str, studios: int, final: bool) -> list[Scene]:
    """Return painters' cards, photographed."""
    mixes = mixes_of(compose(built_in_box()))
    return [
        scene_of_mixes(seed, light, mixes, AS_REAL, maker=other_makers, final=final)
        for seed in range(FIRST, FIRST + studios)
    ]


def box_of(scene: Scene, way: str) -> Box:
    """Return the box that the painter mixes from: its photo held what later ones hold."""
    if way.endswith(BUILT_IN):
        return built_in_box()
    return joint_with_chart(scene) if way == CHART else joint(scene)


def report(painters: Sequence[Scene], way: str, targets: int) -> None:
    """Print one line: median and p90 at first, after one correction and after two; then looks."""
    runs: list[Run] = []
    for scene in painters:
        box, wanted = box_of(scene, way), targets_of(scene, LEFT_OUT * targets)
        wanted = wanted[wanted[:, 0] >= LEAST_LSTAR][:targets]
        runs += [
            one(scene, box, way, target, 1000 * scene.seed + n) for n, target in enumerate(wanted)
        ]
    off = np.array([run.off for run in runs])
    steps = np.diff(off, axis=1)
    made, worse = np.count_nonzero(steps), np.count_nonzero(steps > WORSE)
    told = " | ".join(_figures(column) for column in off.T)
    looks = [look for run in runs for look in run.looks]
    photo, photo_p90, belief, belief_p90 = np.array(
        [(look.photo, look.photo_p90, look.belief, look.belief_p90) for look in looks]
    ).T
    print(
        f"| {way}, {painters[0].light} | {len(runs)} | {told} | {worse} of {made} "
        f"({100 * worse / steps.size:.1f} %) "
        f"| {_figures(photo)}, {100 * np.mean(photo <= photo_p90):.0f} % "
        f"| {_figures(belief)}, {100 * np.mean(belief <= belief_p90):.0f} % |",
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
    parser.add_argument("--ways", nargs="*", default=WAYS, choices=WAYS)
    parser.add_argument("--final", action="store_true", help="bodies that nothing was made from")
    given = parser.parse_args()
    print(
        "| beside the dab, light | targets | first mix | after one | after two "
        "| worse by over 0.5, of corrections (of rounds) "
        "| photo alone, in p90 | with the recipe, in p90 |"
    )
    print("|---|---|---|---|---|---|---|---|")
    for light in given.lights:
        painters = scenes(light, given.studios, given.final)
        for way in given.ways:
            report(painters, way, given.targets)


if __name__ == "__main__":
    main()
