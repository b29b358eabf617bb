"""How truly a dab is read beside a colour that is known, in the virtual studio.

    python -m tests.benchmarks.side_by_side [--studios 10] [--piles 12] [--own-box] [--final]

A pile and a reference near it, in one photo by a camera that nobody knows, with a tone curve.
The reference is an earlier dab of the same tubes, a dab of other tubes, or a print: three inks
and black on paper, bent to the colour. Its Lab is known. True dE00 of the pile, as the photo alone
reads it, and as photo and recipe together have it. The box knows nothing of
this painter's tubes, which are another maker's; with --own-box it was learnt from a photo by the
same camera. With --final cameras are those that nothing was made from.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable

import numpy as np
from scipy.optimize import least_squares

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array
from refmatch.dabs.belief import look
from refmatch.dabs.beside import grey_card, reference
from refmatch.dabs.doubt import OTHER_PIGMENTS, SAME_PIGMENTS, UNKNOWN_PIGMENTS
from refmatch.dabs.spot import Known, Spot
from refmatch.paint.box import Box
from refmatch.paint.box_file import built_in_box
from refmatch.recipe.doubt import uncertainty
from refmatch.recipe.mixture import Palette
from tests.benchmarks.box_from_photo import joint
from tests.virtual_studio.camera import LIGHTS, Camera, grey, photographed
from tests.virtual_studio.instrument import random_mixes
from tests.virtual_studio.paints import AS_REAL, Studio, other_makers
from tests.virtual_studio.scene import HAND, scene_of

FIRST = 900
"""The first seed; what a reference is taken to leave open was chosen by studios 0 to 9."""

APART = 0.2
"""How far the parts of pile and reference differ, relative: about 2 dE00."""

LEAST_LSTAR, MOST_LSTAR = 12.0, 92.0
FARTHEST = 5.0
"""Pile and reference are farther apart in no case: a first mix beside its target."""

TRIED = 4000
"""So many mixes of other tubes are tried for one that is near."""

BETWEEN = 20
"""Surfaces over which the light of the photo falls off: pile and reference touch."""

GREY_LAB = np.array([50.0, 0.0, 0.0])
BOX = built_in_box()

INKS_NM = ((570.0, 700.0, 0.05), (490.0, 590.0, 0.05), (380.0, 490.0, 0.05))
"""Where cyan, magenta and yellow inks absorb, and what they leave: block dyes with soft edges
(from memory of process inks)."""


def inks() -> Array:
    """Return the reflectance, (4, 31), of solid cyan, magenta, yellow and black."""
    solid = []
    for start, end, left in INKS_NM:
        inside = 1.0 / (1.0 + np.exp(-(WAVELENGTHS_NM - start) / 12.0))
        inside *= 1.0 / (1.0 + np.exp((WAVELENGTHS_NM - end) / 12.0))
        solid.append(0.85 * (left / 0.85) ** inside)
    return np.stack([*solid, np.full(len(WAVELENGTHS_NM), 0.03)])


def printed(lab: Array) -> tuple[Array, Array]:
    """Return the reflectance, (31,), of a print that comes nearest to a Lab, and its own Lab.

    Paper and inks overlap by chance (Demichel), seen through dots that have spread (Yule-Nielsen,
    n = 2): handbook of halftone printing.
    """
    solids = inks()

    def spectrum(cover: Array) -> Array:
        root = np.zeros(len(WAVELENGTHS_NM))
        for dots in np.ndindex(2, 2, 2, 2):
            weight = np.prod(np.where(dots, cover, 1.0 - cover))
            film = 0.85 * np.prod(np.where(np.array(dots)[:, None], solids / 0.85, 1.0), axis=0)
            root += weight * np.sqrt(film)
        return root**2

    found = least_squares(
        lambda cover: reflectance_to_lab(spectrum(cover)) - lab,
        np.array([0.3, 0.3, 0.3, 0.1]),
        bounds=(0.0, 1.0),
    )
    best = spectrum(found.x)
    return best, reflectance_to_lab(best)


def same_tubes(studio: Studio, parts: Array, rng: np.random.Generator) -> tuple[Array, Array]:
    """Return an earlier dab of the pile, a little otherwise mixed: its reflectance and parts."""
    other = parts * np.exp(rng.normal(0.0, APART, len(parts)))
    return studio.reflectance(other[None])[0], other


def other_tubes(studio: Studio, parts: Array, rng: np.random.Generator) -> tuple[Array, Array]:
    """Return another recipe for about the same colour, from tubes that are not in the pile."""
    wanted = studio.lab(same_tubes(studio, parts, rng)[1][None])[0]
    free = np.flatnonzero((parts == 0.0) | (np.arange(len(parts)) == studio.white))
    tried = np.zeros((TRIED, len(parts)))
    for row in tried:
        chosen = rng.choice(free, 3, replace=False)
        row[chosen] = np.exp(rng.uniform(np.log(0.02), 0.0, 3))
        row[studio.white] = np.exp(rng.uniform(np.log(0.02), np.log(3.0)))
    best = tried[np.argmin(delta_e_00(studio.lab(tried), wanted))]
    return studio.reflectance(best[None])[0], best


def a_print(studio: Studio, parts: Array, rng: np.random.Generator) -> tuple[Array, Array]:
    """Return a print of about the pile's colour; nothing is mixed for it."""
    wanted = studio.lab(same_tubes(studio, parts, rng)[1][None])[0]
    return printed(wanted)[0], np.zeros(len(parts))


REFERENCES: dict[str, Callable[[Studio, Array, np.random.Generator], tuple[Array, Array]]] = {
    "same tubes": same_tubes,
    "other tubes": other_tubes,
    "a print": a_print,
}


DOUBTS = {
    "same tubes": SAME_PIGMENTS,
    "other tubes": OTHER_PIGMENTS,
    "a print": UNKNOWN_PIGMENTS,
}


def one(
    studio: Studio, box: Box, camera: Camera, kind: str, *, seed: int, with_grey: bool
) -> tuple[float, ...]:
    """Return the dE00 apart, those by photo and by both, and the p90 stated of the latter."""
    rng = np.random.default_rng(seed)
    while True:
        parts = random_mixes(studio, 1, int(rng.integers(1 << 30)))[0]
        beside, made_of = REFERENCES[kind](studio, parts, rng)
        laid = parts * np.exp(rng.normal(0.0, HAND, len(parts)))
        pile = studio.reflectance(laid[None])[0]
        lab, beside_lab = reflectance_to_lab(np.stack([pile, beside]))
        apart = float(delta_e_00(lab, beside_lab))
        if LEAST_LSTAR < lab[0] < MOST_LSTAR and apart < FARTHEST:
            break
    card = np.repeat(grey(50.0)[None], BETWEEN, axis=0)
    surfaces = np.concatenate([np.stack([pile, beside]), card])
    shot = photographed(surfaces, camera, seed)
    sigma = np.maximum(shot.spread / 4.0, 1e-4)
    spots = [
        Spot(xyz=x, sigma=s, high=tuple(map(bool, h)), low=tuple(map(bool, low)))
        for x, s, h, low in zip(shot.xyz, sigma, shot.high, shot.low, strict=True)
    ]
    guess = Palette.of(box.tubes).reflectance((made_of if made_of.any() else parts)[None])[0]
    known: list[Known] = [reference(beside_lab, guess, spots[1], DOUBTS[kind])]
    if with_grey:
        known.append(grey_card(GREY_LAB, spots[2]))
    references = [(made_of, beside_lab)] if made_of.any() else []
    found = look(box, parts[None], spots[:1], known, references=references)
    read, both = found.measured, found.estimated
    said = uncertainty(both.lab[0], both.covariance_of(0))[1]
    off = [float(delta_e_00(each.lab[0], lab)) for each in (read, both)]
    return apart, *off, said


Painter = tuple[int, Studio, Box, Camera]
"""A seed, the tubes it makes, the box by which they are known, and the camera."""


def painters_of(light: str, seeds: range, *, own_box: bool, final: bool) -> list[Painter]:
    """Return painters whose paints break the model, as real ones do."""
    scenes = [scene_of(seed, light, AS_REAL, maker=other_makers, final=final) for seed in seeds]
    return [
        (scene.seed, scene.studio, joint(scene) if own_box else BOX, scene.camera)
        for scene in scenes
    ]


def report(kind: str, light: str, painters: list[Painter], piles: int, *, with_grey: bool) -> None:
    """Print one line."""
    rows = np.array(
        [
            one(studio, box, camera, kind, seed=1000 * seed + n, with_grey=with_grey)
            for seed, studio, box, camera in painters
            for n in range(piles)
        ]
    )
    apart, read, off, said = rows.T
    print(
        f"{light:7s} {kind:12s} {'and a grey card' if with_grey else '':16s}"
        f"apart {np.median(apart):.1f}   by photo {np.median(read):.2f} / "
        f"{np.percentile(read, 90):.2f}   with recipe {np.median(off):.2f} / "
        f"{np.percentile(off, 90):.2f}   within p90 {100 * np.mean(off <= said):3.0f} %"
        f"   ({len(rows)})",
        flush=True,
    )


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--studios", type=int, default=10)
    parser.add_argument("--piles", type=int, default=12)
    parser.add_argument("--first", type=int, default=FIRST)
    parser.add_argument("--lights", nargs="*", default=LIGHTS)
    parser.add_argument("--own-box", action="store_true")
    parser.add_argument("--final", action="store_true")
    given = parser.parse_args()
    print("dE00, median / p90")
    seeds = range(given.first, given.first + given.studios)
    for light in given.lights:
        painters = painters_of(light, seeds, own_box=given.own_box, final=given.final)
        for kind in REFERENCES:
            for with_grey in (False, True):
                report(kind, light, painters, given.piles, with_grey=with_grey)


if __name__ == "__main__":
    main()
