"""How true a box is that was made from one phone-like JPEG, in the virtual studio.

    python -m tests.benchmarks.box_from_photo [--studios 8] [--targets 12] [--final]

Masstone, 1 to 1 and 1 to 9 white of each tube of a box of 12 of another maker's, or the dabs of
the calibration card as printed, mixed by a 5 % hand, and a grey card, photographed under D50, D65,
an LED and tungsten by cameras that nobody knows; ``--final``: that nothing was made from. Then what
a painter does: the solver's first recipe for random colours these tubes can make, mixed by the
same hand. And random mixes of three or four tubes, predicted.
"""

from __future__ import annotations

import argparse
import functools
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import nnls

from refmatch.colorimetry.display import XYZ_TO_SRGB
from refmatch.colorimetry.lab import delta_e_00, lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.box_card import compose
from refmatch.dabs.calibrate import calibrate
from refmatch.dabs.chart_colours import Greys, correction, neutral_lab
from refmatch.dabs.spot import Known, Spot
from refmatch.paint.box import Box
from refmatch.paint.box_file import built_in_box
from refmatch.paint.fit.swatch import Swatch
from refmatch.paint.fit.tubes import characterise
from refmatch.recipe.doubt import covariance, uncertainty
from refmatch.recipe.mixture import Palette
from refmatch.recipe.solve import Bench, candidates, lay_out
from tests.virtual_studio.camera import LIGHTS, grey
from tests.virtual_studio.instrument import random_mixes
from tests.virtual_studio.paints import AS_REAL, NONE, other_makers
from tests.virtual_studio.scene import HAND, Scene, mixes_of, scene_of_mixes

CLIPPED_NOISE = 15.0
"""Standard error of the Lab of a dab of which a channel is clipped, where it is read as it is."""

FIRST = 100
"""The first seed; what the calibration takes for likely was chosen by studios 0 to 9."""

DARK_LSTAR = 40.0
MIXES = 100


def joint(scene: Scene) -> Box:
    """Camera and paints together, by the grey card and the dabs."""
    return calibrate(scene.named, scene.white, scene.dabs, [scene.card]).box


def joint_in_known_light(scene: Scene) -> Box:
    """The same, the lamp being told."""
    return calibrate(scene.named, scene.white, scene.dabs, [scene.card], light=scene.light).box


def joint_with_chart(scene: Scene) -> Box:
    """Camera and paints together, the chart's patches among what is known."""
    return calibrate(scene.named, scene.white, scene.dabs, [scene.card], chart=scene.chart).box


def by_root_polynomial(scene: Scene) -> Box:
    """The chart corrects the photo first; the paints are fitted to the Lab that it gives."""
    found = correction(scene.chart)
    lab = found.lab(np.stack([dab.spot.xyz for dab in scene.dabs]))
    return _by_lab(scene, lab, found.residual)


def by_three_neutrals(scene: Scene) -> Box:
    """Grey card, white and black dabs, taken for neutral, undo the curves; then as above."""
    tubes = scene.studio.tubes
    generic = Palette.of(tubes).reflectance(np.eye(len(tubes)))
    ends = [scene.studio.white, [tube.name for tube in tubes].index("ivory black")]
    alone = {dab.tubes[0]: dab for dab in scene.dabs if len(dab.tubes) == 1}
    greys = [scene.card] + [
        Known("", Spot(alone[i].spot.xyz, alone[i].spot.sigma), generic[i]) for i in ends
    ]
    lab = neutral_lab(Greys.of(greys), np.stack([dab.spot.xyz for dab in scene.dabs]))
    return _by_lab(scene, lab, 3.0)


def uncalibrated(scene: Scene) -> Box:
    """The built-in curves."""
    return built_in_box()


def _by_lab(scene: Scene, lab: Array, noise: float) -> Box:
    swatches = [
        Swatch(
            dab.label,
            dab.tubes,
            dab.parts,
            np.full(31, 0.5),
            hand=HAND,
            lab=row,
            lab_noise=CLIPPED_NOISE if dab.spot.is_clipped else noise,
        )
        for dab, row in zip(scene.dabs, lab, strict=True)
    ]
    return characterise(scene.named, scene.white, swatches, "by Lab", "volume").box


METHODS: dict[str, Callable[[Scene], Box]] = {
    "uncalibrated": uncalibrated,
    "three neutrals alone": by_three_neutrals,
    "camera and paints together": joint,
    "the same, light known": joint_in_known_light,
    "chart, in the joint fit": joint_with_chart,
    "chart, root-polynomial": by_root_polynomial,
}
MIXED = ("uncalibrated", "camera and paints together", "chart, in the joint fit")
"""Methods whose recipes are mixed too: the solver takes its time."""


@dataclass(frozen=True, eq=False)
class Result:
    """Of many mixes: how far off, how far they were said to be at p90, and how light they are.

    ``clipped``: whether a tube is in the mix of which a dab was clipped.
    """

    off: Array
    said: Array
    lstar: Array
    clipped: Array

    @classmethod
    def of(cls, results: list[Result]) -> Result:
        """Put several together."""
        names = ("off", "said", "lstar", "clipped")
        return cls(*(np.concatenate([getattr(each, name) for each in results]) for name in names))

    def only(self, rows: Array) -> Result:
        """Keep some rows."""
        return Result(self.off[rows], self.said[rows], self.lstar[rows], self.clipped[rows])


def predicted(scene: Scene, box: Box) -> Result:
    """Predict random mixes."""
    parts = random_mixes(scene.studio, MIXES, scene.seed + 7)
    true = scene.studio.lab(parts)
    palette = Palette.of(box.tubes, box.surface)
    lab = palette.lab(parts)
    return Result(
        delta_e_00(lab, true), _said(box, palette, parts, lab), true[:, 0], _clipped(scene, parts)
    )


def first_mixes(scene: Scene, box: Box, count: int) -> Result:
    """Mix the solver's first recipe for colours that these tubes can make."""
    bench = _bench(box)
    targets = targets_of(scene, count)
    net = np.stack([_recipe(bench, lab) for lab in targets])
    rng = np.random.default_rng(scene.seed + 11)
    laid = net * np.exp(rng.normal(0.0, HAND, net.shape))
    palette = Palette.of(box.tubes, box.surface)
    said = _said(box, palette, net, palette.lab(net))
    off = delta_e_00(scene.studio.lab(laid), targets)
    return Result(off, said, targets[:, 0], _clipped(scene, net))


def targets_of(scene: Scene, count: int) -> Array:
    """Return the Lab of random mixes, (count, 3), let down in any amount of white."""
    rng = np.random.default_rng(scene.seed + 13)
    parts = random_mixes(scene.studio, count, scene.seed + 17)
    parts[:, scene.studio.white] += parts.sum(axis=1) * np.exp(rng.uniform(-3.0, 2.0, count))
    return scene.studio.lab(parts)


@functools.lru_cache(2)
def _bench(box: Box) -> Bench:
    return lay_out(box)


def _recipe(bench: Bench, lab: Array) -> Array:
    parts = candidates(bench, lab).found.parts[0] @ bench.entries.net
    return parts / parts.sum()


def _said(box: Box, palette: Palette, parts: Array, lab: Array) -> Array:
    return np.array(
        [
            uncertainty(one, covariance(palette, box.tubes, row, one))[1]
            for one, row in zip(lab, parts, strict=True)
        ]
    )


def _clipped(scene: Scene, parts: Array) -> Array:
    tubes = {t for dab in scene.dabs if dab.spot.is_clipped for t in dab.tubes}
    tubes -= {scene.studio.white}
    return (parts[:, sorted(tubes)] > 0.0).any(axis=1)


def averaged(scene: Scene, count: int) -> tuple[Result, Result]:
    """Do both by averages of the photo's linear RGB, as a picture editor would."""
    alone = {dab.tubes[0]: dab.spot.xyz for dab in scene.dabs if len(dab.tubes) == 1}
    seen = np.stack([alone[tube] for tube in range(len(alone))])
    exposed = grey(50.0)[0] / scene.card.spot.xyz[1] * 100.0
    linear = exposed * seen @ XYZ_TO_SRGB.T
    parts = random_mixes(scene.studio, MIXES, scene.seed + 7)
    true = scene.studio.lab(parts)
    shares = parts / parts.sum(axis=1, keepdims=True)
    guess = xyz_to_lab(np.maximum(exposed * (shares @ seen), 0.0), ICC_WHITE)
    targets = targets_of(scene, count)
    wanted = lab_to_xyz(targets, ICC_WHITE) @ XYZ_TO_SRGB.T
    sums = np.full((1, len(linear)), 10.0)
    net = np.stack([nnls(np.vstack([linear.T, sums]), [*rgb, 10.0])[0] for rgb in wanted])
    off = delta_e_00(scene.studio.lab(net), targets)
    return (
        Result(delta_e_00(guess, true), np.full(MIXES, np.nan), true[:, 0], _clipped(scene, parts)),
        Result(off, np.full(count, np.nan), targets[:, 0], _clipped(scene, net)),
    )


def told(name: str, found: Result) -> str:
    """Say the figures in a line."""
    dark = found.lstar < DARK_LSTAR
    return f"{name:30s}" + "".join(
        f"  {label} {_figures(found.only(rows))}"
        for label, rows in (
            (f"L* >= 40 ({(~dark).sum()})", ~dark),
            (f"L* < 40 ({dark.sum()})", dark),
            (f"clipped ({found.clipped.sum()})", found.clipped),
        )
    )


def _figures(found: Result) -> str:
    if not len(found.off):
        return "-"
    median, p90 = np.percentile(found.off, [50.0, 90.0])
    if np.isnan(found.said).any():
        return f"{median:5.2f} {p90:5.2f}        "
    return f"{median:5.2f} {p90:5.2f} in {100 * np.mean(found.off <= found.said):3.0f} %"


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--studios", type=int, default=8)
    parser.add_argument("--targets", type=int, default=12)
    parser.add_argument("--first", type=int, default=FIRST)
    parser.add_argument("--lights", nargs="*", default=LIGHTS)
    parser.add_argument("--cases", nargs="*", type=int, default=(0, 1, 2))
    parser.add_argument("--final", action="store_true")
    given = parser.parse_args()
    let_down = tuple(mixes_of(compose(built_in_box(), is_short=True)))
    cases = {
        "paints that keep to the model": (NONE, let_down),
        "paints that break it": (AS_REAL, let_down),
        "the same, dabs of two tubes too": (AS_REAL, tuple(mixes_of(compose(built_in_box())))),
    }
    print("dE00: median, 90th percentile, and how many lie within the p90 that was stated")
    for case, (breaks, mixes) in [list(cases.items())[number] for number in given.cases]:
        for light in given.lights:
            seeds = range(given.first, given.first + given.studios)
            scenes = [
                scene_of_mixes(
                    seed, light, list(mixes), breaks, maker=other_makers, final=given.final
                )
                for seed in seeds
            ]
            report(f"{case}, {light}", scenes, given.targets)


def report(title: str, scenes: list[Scene], targets: int) -> None:
    """Print one table: random mixes by every method, first mixes by some."""
    print(f"\n{title}: random mixes predicted, then first mixes", flush=True)
    mixed: dict[str, Result] = {}
    for name, method in METHODS.items():
        boxes = [method(scene) for scene in scenes]
        pairs = list(zip(scenes, boxes, strict=True))
        print(told(name, Result.of([predicted(*pair) for pair in pairs])), flush=True)
        if targets and name in MIXED:
            mixed[name] = Result.of([first_mixes(*pair, targets) for pair in pairs])
    both = [averaged(scene, max(targets, 1)) for scene in scenes]
    print(told("averages of linear RGB", Result.of([each[0] for each in both])))
    if targets:
        mixed["averages of linear RGB"] = Result.of([each[1] for each in both])
        for name, found in mixed.items():
            print(told(f"first mix: {name}"[:44], found), flush=True)


if __name__ == "__main__":
    main()
