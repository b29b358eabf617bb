"""Piles of five tubes, photographed one by one: rightly, or wrong on purpose."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.chart_colours import as_known, chart_patches
from refmatch.dabs.learn import Evidence
from refmatch.dabs.spot import Known, PhotoDab, Spot
from refmatch.paint.box import Box
from refmatch.paint.box_file import built_in_box
from tests.virtual_studio.camera import Camera, camera_of, chart, grey, illuminant, photographed
from tests.virtual_studio.paints import NONE, Breaks, Maker, Studio, another_painters

CHART, GREY_AND_PAINT, GREY = "chart", "grey, white and black", "grey card alone"
WAYS = (CHART, GREY_AND_PAINT, GREY)

GREY_IN_SHADE, CHART_IN_SHADE = "grey card in half shade", "grey card and chart in half shade"
DAB_IN_SHADE, MIXED_LIGHT, WRONG_PUDDLE = "dab in shade", "another light on the dab", "wrong puddle"
WRONGS = (GREY_IN_SHADE, CHART_IN_SHADE, DAB_IN_SHADE, MIXED_LIGHT, WRONG_PUDDLE)

HALF_SHADE, SHADE = 0.5, 0.6
HAND = 0.05
WHITE, BLACK = 0, 1
BLACK_SHARE = 1.0
"""Ivory black, a bone black, is laid in parts like those of colours: it is weak."""


@dataclass(frozen=True, eq=False)
class Table:
    """Five tubes of some painter: white, black, three colours; as bought, and as they truly are."""

    box: Box
    numbers: tuple[int, ...]
    studio: Studio
    camera: Camera
    seed: int

    def laid(self, parts: Array) -> Array:
        """Return parts (n, 5) as parts of the studio's tubes."""
        whole = np.zeros((len(parts), len(self.studio.tubes)))
        whole[:, self.numbers] = parts
        return whole

    def lab(self, parts: Array) -> Array:
        """Return what parts (n, 5) truly look like, (n, 3)."""
        return self.studio.lab(self.laid(parts))


def table_of(
    seed: int,
    light: str = "D50",
    breaks: Breaks = NONE,
    *,
    maker: Maker = another_painters,
    final: bool = False,
) -> Table:
    """Return a painter's table; the box holds generic curves. ``final`` is as in `camera_of`."""
    whole = built_in_box()
    rng = np.random.default_rng(seed)
    names = [tube.name for tube in whole.tubes]
    black = names.index("ivory black")
    white = next(n for n, tube in enumerate(whole.tubes) if tube.is_white)
    colours = [n for n in range(len(names)) if n not in (white, black)]
    numbers = (white, black, *(int(n) for n in rng.choice(colours, 3, replace=False)))
    box = replace(whole, tubes=tuple(whole.tubes[n] for n in numbers))
    studio = maker(whole.tubes, seed, breaks)
    return Table(box, numbers, studio, camera_of(light, seed, final), seed)


def random_piles(seed: int, count: int) -> Array:
    """Return parts, (count, 5): two or three of black and colours, and white, much or little."""
    rng = np.random.default_rng(seed)
    parts = np.zeros((count, 5))
    for row in parts:
        used = rng.choice(np.arange(1, 5), rng.integers(2, 4), replace=False)
        row[used] = np.exp(rng.uniform(np.log(0.05), 0.0, len(used)))
        row[BLACK] *= BLACK_SHARE
        row[WHITE] = row.sum() * np.exp(rng.uniform(-2.0, 2.0))
    return parts


def pile_photo(
    table: Table,
    way: str,
    meant: Array,
    seed: int,
    *,
    wrong: str = "",
    told: Array | None = None,
    laid: Array | None = None,
    f: float = 0.0,
) -> Evidence:
    """Mix ``meant`` (5,) with a 5 % hand and photograph it in one of `WAYS`.

    ``wrong`` is one of `WRONGS`, "" for a photo as it should be; ``told`` is the recipe that the
    record has of it where that is another's; ``laid`` what the hand laid out, where that is known;
    ``f`` the share of the skin's reflection that is seen.
    """
    if laid is None:
        laid = meant * np.exp(np.random.default_rng(seed).normal(0.0, HAND, 5))
    dab = table.studio.reflectance(table.laid(laid[None]), f)
    card, patches = grey(50.0)[None], chart()
    if wrong in (GREY_IN_SHADE, CHART_IN_SHADE):
        card = card * HALF_SHADE
    if wrong == CHART_IN_SHADE:
        patches = patches * HALF_SHADE
    if wrong == DAB_IN_SHADE:
        dab = dab * SHADE
    if wrong == MIXED_LIGHT:
        dab = dab * _half_lamplight()
    ends = table.studio.reflectance(table.laid(np.eye(5)[[WHITE, BLACK]]))
    beside = {CHART: patches, GREY_AND_PAINT: ends, GREY: patches[:0]}[way]
    shot = photographed(np.concatenate([dab, card, beside]), table.camera, seed)
    read = [
        Spot(x, s, tuple(map(bool, h)), tuple(map(bool, low)))
        for x, s, h, low in zip(
            shot.xyz, np.maximum(shot.spread / 4.0, 1e-4), shot.high, shot.low, strict=True
        )
    ]
    parts = meant if told is None else told
    used = tuple(int(n) for n in np.flatnonzero(parts))
    dabs = [PhotoDab("pile", read[0], used, tuple(parts[list(used)]))]
    known = [Known("grey card", read[1], grey(50.0))]
    if way == GREY_AND_PAINT:
        dabs += [PhotoDab(f"end {n}", read[2 + n], (n,), (1.0,)) for n in (WHITE, BLACK)]
    if way == CHART:
        known += as_known(
            [Known("", spot, r) for r, spot in zip(chart_patches(), read[2:], strict=True)]
        )
    return Evidence(tuple(dabs), tuple(known))


def _half_lamplight() -> Array:
    """Return how a lamp that gives half of the light by day changes it, (31,)."""
    redder = illuminant("A") / illuminant("D50")
    return 0.5 + 0.5 * redder / redder.mean()
