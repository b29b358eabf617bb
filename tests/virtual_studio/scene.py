"""Dabs, a grey card and a 24-patch chart on one photo, read as a card reader reads them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.dabs.card import Card
from refmatch.dabs.chart_colours import chart_patches
from refmatch.dabs.spot import Known, PhotoDab, Spot
from refmatch.paint.box_file import built_in_box
from refmatch.paint.fit.tubes import Named
from tests.virtual_studio.camera import Camera, camera_of, chart, grey, photographed
from tests.virtual_studio.instrument import Mix, colours_and_black, let_downs, mixed_by_hand
from tests.virtual_studio.paints import NONE, Breaks, Maker, Studio, another_painters

HAND = 0.05
DABS_DEPEND = 4.0
"""The mean of a dab is taken to be as sure as that of so many pixels squared: brush marks."""


@dataclass(frozen=True, eq=False)
class Scene:
    """One painter's tubes, and what one photo says of their dabs, a grey card and a chart."""

    studio: Studio
    dabs: tuple[PhotoDab, ...]
    card: Known
    chart: tuple[Known, ...]
    light: str
    seed: int
    camera: Camera

    @property
    def named(self) -> list[Named]:
        """The tubes as the calibration is told of them."""
        return [Named.of(tube) for tube in self.studio.tubes]

    @property
    def white(self) -> str:
        """The name of the reference white."""
        return self.studio.tubes[self.studio.white].name


def scene_of(
    seed: int,
    light: str,
    breaks: Breaks = NONE,
    with_black: bool = False,
    *,
    maker: Maker = another_painters,
    final: bool = False,
) -> Scene:
    """Paint masstone and let-downs of each tube and photograph them; see `scene_of_mixes`."""
    studio = maker(built_in_box().tubes, seed, breaks)
    mixes: list[Mix] = let_downs(studio)
    if with_black:
        black = [tube.name for tube in studio.tubes].index("ivory black")
        mixes += colours_and_black(studio, black)
    return scene_of_mixes(seed, light, mixes, breaks, maker=maker, final=final)


def scene_of_mixes(
    seed: int,
    light: str,
    mixes: list[Mix],
    breaks: Breaks = NONE,
    *,
    maker: Maker = another_painters,
    final: bool = False,
) -> Scene:
    """Paint these mixes and photograph them; ``final``: by a body kept for final figures."""
    studio, camera = maker(built_in_box().tubes, seed, breaks), camera_of(light, seed, final)
    painted = studio.reflectance(mixed_by_hand(studio, mixes, HAND, seed + 1))
    surfaces = np.concatenate([painted, grey(50.0)[None], chart()])
    shot = photographed(surfaces, camera, seed)
    sigma = np.maximum(shot.spread / DABS_DEPEND, 1e-4)
    read = [
        Spot(x, s, tuple(map(bool, h)), tuple(map(bool, low)))
        for x, s, h, low in zip(shot.xyz, sigma, shot.high, shot.low, strict=True)
    ]
    dabs = tuple(
        PhotoDab(
            " + ".join(f"{parts:g} {studio.tubes[tube].name}" for tube, parts in mix),
            spot,
            tuple(tube for tube, _ in mix),
            tuple(parts for _, parts in mix),
        )
        for mix, spot in zip(mixes, read, strict=False)
    )
    told = [grey(50.0), *chart_patches()]
    known = [
        Known(f"known {i}", spot, reflectance)
        for i, (reflectance, spot) in enumerate(zip(told, read[len(mixes) :], strict=True))
    ]
    return Scene(studio, dabs, known[0], tuple(known[1:]), light, seed, camera)


def mixes_of(card: Card) -> list[Mix]:
    """Return what a card asks for, its tubes numbered as in the box."""
    numbers = {tube.name: number for number, tube in enumerate(built_in_box().tubes)}
    mixes: list[Mix] = []
    for window in card.windows:
        mix = [(numbers[window.tube], float(window.parts))]
        if window.white_parts:
            mix.append((numbers[card.white], float(window.white_parts)))
        if window.other:
            mix.append((numbers[window.other], float(window.other_parts)))
        mixes.append(tuple(mix))
    return mixes
