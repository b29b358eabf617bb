"""What a photo alone tells of a dab, and whether it says rightly how sure that is.

Paints of other makers, which break the paint model as real ones do and which the built-in box does
not know, are photographed in the virtual studio: beside a 24-patch chart, beside a grey card
and the painter's white and black, beside a grey card alone. The body that takes the photo is left
out of the belief in cameras.

    python -m tests.benchmarks.photo_alone [--final] [--fused]

``--final`` draws from the bodies that nothing was made from; ``--fused`` tells what photo and
recipe together are off, the parts mixed by a 5 % hand and the box being the built-in one.
``--twice`` tells instead how far the errors of two photos of one pile go together.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.beside import grey_card, paint, patch
from refmatch.dabs.camera import CameraBelief, Light, bodies, camera_among
from refmatch.dabs.chart_colours import correction
from refmatch.dabs.fuse import Predicted, fuse, predict_piles
from refmatch.dabs.measured import measure
from refmatch.dabs.spot import WET, Known, Spot
from refmatch.paint.box_file import built_in_box
from refmatch.recipe.doubt import uncertainty
from tests.virtual_studio.camera import Camera, Shot, camera_of, chart, grey, photographed
from tests.virtual_studio.paints import AS_REAL, Studio, other_makers
from tests.virtual_studio.scene import HAND

CHART, NEUTRALS, GREY = "chart", "grey, white and black", "grey alone"
WAYS = (CHART, NEUTRALS, GREY)
LIGHTS = ("D50", "LED-B3", "A")
SEED, FINAL_SEED = 7000, 9000
DARK_LSTAR = 40.0
GREY_LAB = np.array([50.0, 0.0, 0.0])


@dataclass(frozen=True)
class Row:
    """One dab: how far it was read off, and by what was said.

    ``plain`` is by the chart alone; the last three are of photo and recipe together.
    """

    off: float
    p50: float
    p90: float
    lstar: float
    clipped: bool
    plain: float
    fused: float
    fused_p50: float
    fused_p90: float


def piles(studio: Studio, rng: np.random.Generator, count: int) -> Array:
    """Return parts (count, tubes): one to three tubes, three in four with white, much or little."""
    parts = np.zeros((count, len(studio.tubes)))
    colours = [tube for tube in range(len(studio.tubes)) if tube != studio.white]
    for row in parts:
        used = rng.choice(colours, rng.integers(1, 4), replace=False)
        row[used] = np.exp(rng.uniform(np.log(0.1), 0.0, len(used)))
        if rng.random() < 0.75:
            row[studio.white] = row.sum() * np.exp(rng.uniform(-2.0, 2.0))
    return parts


def read(shot: Shot) -> list[Spot]:
    """Return the spots of a photo as a reader reads them."""
    sigma = np.maximum(shot.spread / 4.0, 1e-4)
    rows = zip(shot.xyz, sigma, shot.high, shot.low, strict=True)
    return [Spot(x, s, tuple(map(bool, h)), tuple(map(bool, low))) for x, s, h, low in rows]


def known_of(way: str, spots: Sequence[Spot], ends: Sequence[Known]) -> list[Known]:
    """Return what is known beside the dab; ``ends`` are the painter's white and black."""
    card = grey_card(GREY_LAB, spots[0])
    if way == CHART:
        at = [(c / 2.5 - 1.0, r / 2.5 - 0.6) for r in range(4) for c in range(6)]
        rows = zip(at, spots[1:], strict=True)
        return [card, *(patch(n, place, spot) for n, (place, spot) in enumerate(rows, 1))]
    return [card, *(replace(end, spot=spot) for end, spot in zip(ends, spots[1:], strict=False))]


@dataclass(frozen=True, eq=False)
class Table:
    """A painter's tubes, a camera that is left out of the belief, and what lies beside a dab."""

    way: str
    studio: Studio
    camera: Camera
    belief: CameraBelief
    ends: tuple[Known, ...]

    def seen(self, laid: Array, meant: Array, seed: int) -> tuple[Spot, Predicted, list[Known]]:
        """Photograph what was laid, (tubes,): the dab, what its recipe says, what is known."""
        tubes = [tube.name for tube in self.studio.tubes]
        ends = np.eye(len(tubes))[[self.studio.white, tubes.index("ivory black")]]
        beside = {CHART: chart(), NEUTRALS: self.studio.reflectance(ends), GREY: chart()[:0]}
        surfaces = [self.studio.reflectance(laid[None]), grey(50.0)[None], beside[self.way]]
        spots = read(photographed(np.concatenate(surfaces), self.camera, seed))
        recipe = predict_piles(built_in_box(), meant[None])
        return spots[0], recipe, known_of(self.way, spots[1:], self.ends)


def table_of(way: str, light: str, painter: int, final: bool, told: Light | None) -> Table:
    """Return a painter's table under one lamp, the box being the built-in one."""
    box = built_in_box()
    studio = other_makers(box.tubes, painter, AS_REAL)
    camera = camera_of(light, painter, final)
    tubes = [tube.name for tube in studio.tubes]
    ends = np.eye(len(tubes))[[studio.white, tubes.index("ivory black")]]
    known = tuple(paint(box, end, Spot(np.ones(3), np.ones(3)), WET) for end in ends)
    return Table(way, studio, camera, camera_among(bodies().but(camera.body), told), known)


def trial(
    way: str,
    light: str,
    painter: int,
    *,
    count: int,
    final: bool = False,
    told: Light | None = None,
) -> list[Row]:
    """Return a painter's dabs, each on a photo of its own by one camera under one lamp."""
    shown = table_of(way, light, painter, final, told)
    parts = piles(shown.studio, np.random.default_rng(painter), count)
    laid = parts * np.exp(np.random.default_rng(painter + 1).normal(0.0, HAND, parts.shape))
    rows = []
    for pile, (meant, row) in enumerate(zip(parts, laid, strict=True)):
        spot, recipe, known = shown.seen(row, meant, 100 * painter + pile)
        found = measure([spot], recipe.reflectance, known, shown.belief)
        both = fuse(recipe, found)
        lab = shown.studio.lab(row[None])[0]
        plain = correction(known[1:]).lab(spot.xyz) if way == CHART else found.lab[0]
        rows.append(
            Row(
                float(delta_e_00(found.lab[0], lab)),
                *uncertainty(found.lab[0], found.covariance_of(0)),
                float(lab[0]),
                spot.is_clipped,
                float(delta_e_00(plain, lab)),
                float(delta_e_00(both.lab[0], lab)),
                *uncertainty(both.lab[0], both.covariance_of(0)),
            )
        )
    return rows


def alike(way: str, light: str, painters: Sequence[int], count: int) -> float:
    """Return the correlation of the errors of two photos of a pile, which is worked on between.

    By one camera under one lamp; errors are counted in those that are stated.
    """
    together = apart = 0.0
    for painter in painters:
        shown, rng = table_of(way, light, painter, False, None), np.random.default_rng(painter)
        for pile, parts in enumerate(piles(shown.studio, rng, count)):
            off = []
            for again in range(2):
                laid = parts * np.exp(rng.normal(0.0, 2.0 * HAND * again, len(parts)))
                spot, recipe, known = shown.seen(laid, laid, 1000 * painter + 2 * pile + again)
                found = measure([spot], recipe.reflectance, known, shown.belief)
                turn = np.linalg.cholesky(found.covariance_of(0))
                true = shown.studio.lab(laid[None])[0]
                off.append(np.linalg.solve(turn, found.lab[0] - true))
            together += 2.0 * off[0] @ off[1]
            apart += off[0] @ off[0] + off[1] @ off[1]
    return together / apart


def line(label: str, rows: Sequence[Row], fused: bool = False) -> str:
    """Return a row of the table, of photo and recipe together where ``fused``."""
    if len(rows) < 8:
        return f"| {label} | {len(rows)} | too few | | | |"
    names = ("fused", "fused_p50", "fused_p90") if fused else ("off", "p50", "p90")
    off, p50, p90 = (np.array([getattr(row, name) for row in rows]) for name in names)
    true, said = np.median(off), np.median(p50)
    return (
        f"| {label} | {len(rows)} | {true:.2f} ({np.percentile(off, 90):.2f}) "
        f"| {said:.2f} ({np.median(p90):.2f}) | {said / true:.2f} "
        f"| {100 * np.mean(off <= p90):.0f} % |"
    )


def table(way: str, light: str, rows: Sequence[Row]) -> list[str]:
    """Return the rows of one way and light: all dabs, and by kind."""
    groups = {
        "all": rows,
        "dark": [row for row in rows if row.lstar < DARK_LSTAR],
        "light": [row for row in rows if row.lstar >= DARK_LSTAR],
        "clipped": [row for row in rows if row.clipped],
    }
    return [line(f"{way}, {light}, {kind}", some) for kind, some in groups.items()]


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--final", action="store_true", help="bodies that nothing was made from")
    parser.add_argument("--fused", action="store_true", help="with the built-in box's recipe too")
    parser.add_argument("--told", action="store_true", help="the light is told")
    parser.add_argument("--painters", type=int, default=12)
    parser.add_argument("--piles", type=int, default=12)
    parser.add_argument("--ways", nargs="*", default=WAYS)
    parser.add_argument("--lights", nargs="*", default=LIGHTS)
    parser.add_argument("--twice", action="store_true", help="how far two photos err alike")
    asked = parser.parse_args()
    if asked.twice:
        for way in asked.ways:
            for light in asked.lights:
                painters = range(SEED, SEED + asked.painters)
                print(f"{way}, {light}: {alike(way, light, painters, asked.piles):.2f}", flush=True)
        return
    first = FINAL_SEED if asked.final else SEED
    print(
        "| way, light, dabs | n | off: median (p90) | stated p50 (p90) | stated to true | in p90 |"
    )
    print("|---|---|---|---|---|---|")
    for way in asked.ways:
        for light in asked.lights:
            rows: list[Row] = []
            for painter in range(first, first + asked.painters):
                told = light if asked.told else None
                rows += trial(way, light, painter, count=asked.piles, final=asked.final, told=told)
            print("\n".join(table(way, light, rows)), flush=True)
            if asked.fused:
                groups = {
                    "": rows,
                    ", dark": [row for row in rows if row.lstar < DARK_LSTAR],
                    ", light": [row for row in rows if row.lstar >= DARK_LSTAR],
                }
                for name, some in groups.items():
                    print(
                        line(f"{way}, {light}, with the recipe{name}", some, fused=True), flush=True
                    )
            if way == CHART:
                off = [row.plain for row in rows]
                median, p90 = np.median(off), np.percentile(off, 90)
                label = f"by a plain chart correction, {light}"
                print(f"| {label} | {len(off)} | {median:.2f} ({p90:.2f}) | | | |", flush=True)


if __name__ == "__main__":
    main()
