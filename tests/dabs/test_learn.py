"""A box that learns from checked piles, in the virtual studio: paints and cameras are made up.

Twelve puddles of one palette of five tubes, each mixed by the box as it stands, by a 5 % hand,
and photographed beside a 24-patch chart; seeds that no figure was chosen by.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.dabs.chart_colours import as_known, chart_patches
from refmatch.dabs.learn import Evidence, learn
from refmatch.dabs.spot import Known, PhotoDab, Spot
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml, box_to_toml, built_in_box
from refmatch.recipe.mixture import Palette
from tests.virtual_studio.camera import camera_of, chart, photographed
from tests.virtual_studio.paints import another_painters

HAND = 0.05
SURE = np.full(3, 1e-4)


def palette_of(seed: int) -> tuple[Box, list[int]]:
    """Return five tubes of the built-in box, a white among them, and their numbers there."""
    whole = built_in_box()
    rng = np.random.default_rng(seed)
    colours = [n for n, tube in enumerate(whole.tubes) if not tube.is_white]
    numbers = [
        next(n for n, tube in enumerate(whole.tubes) if tube.is_white),
        *rng.choice(colours, 4, replace=False),
    ]
    return replace(whole, tubes=tuple(whole.tubes[n] for n in numbers)), numbers


def mixes(seed: int, count: int) -> np.ndarray:
    rng = np.random.default_rng(seed + 1)
    table = np.zeros((count, 5))
    for row in table:
        used = rng.choice(np.arange(1, 5), rng.integers(2, 4), replace=False)
        row[used] = np.exp(rng.uniform(np.log(0.05), 0.0, len(used)))
        row[0] = row.sum() * np.exp(rng.uniform(-2.0, 2.0))
    return table


def seen(studio, numbers, parts, seed) -> Evidence:
    laid = np.zeros(len(studio.tubes))
    laid[numbers] = parts * np.exp(np.random.default_rng(seed).normal(0.0, HAND, 5))
    surfaces = np.concatenate([studio.reflectance(laid[None]), chart()])
    shot = photographed(surfaces, camera_of("D50", seed // 100), seed)
    used = tuple(int(n) for n in np.flatnonzero(parts))
    dab = PhotoDab("pile", Spot(shot.xyz[0], SURE), used, tuple(parts[list(used)]))
    patches = [
        Known("patch", Spot(xyz, SURE), r)
        for r, xyz in zip(chart_patches(), shot.xyz[1:], strict=True)
    ]
    return Evidence((dab,), tuple(as_known(patches)))


@pytest.fixture(scope="module", params=[821, 822, 823])
def taught(request):
    box, numbers = palette_of(request.param)
    studio = another_painters(built_in_box().tubes, request.param)
    parts = mixes(request.param, 12)
    photos = [seen(studio, numbers, row, 100 * request.param + n) for n, row in enumerate(parts)]
    return box, numbers, studio, photos


def misses(box: Box, studio, numbers, seed: int = 5) -> np.ndarray:
    parts = mixes(seed, 40)
    whole = np.zeros((40, len(studio.tubes)))
    whole[:, numbers] = parts
    return delta_e_00(Palette.of(box.tubes, box.surface).lab(parts), studio.lab(whole))


def test_twelve_piles_halve_the_error_of_other_mixes(taught):
    box, numbers, studio, photos = taught
    before = np.median(misses(box, studio, numbers))
    after = np.median(misses(learn(box, photos), studio, numbers))
    assert after < 0.5 * before


def test_the_order_of_the_photos_does_not_matter(taught):
    box, _, _, photos = taught
    there, back = learn(box, photos[:4]), learn(box, photos[3::-1])
    for one, other in zip(there.tubes, back.tubes, strict=True):
        np.testing.assert_allclose(one.absorption, other.absorption, rtol=0.02)


def test_what_was_learnt_is_kept_in_the_file_of_the_box(taught):
    box, _, _, photos = taught
    made = learn(box, photos[:3])
    read = box_from_toml(box_to_toml(made), "a box")
    for one, other in zip(made.tubes, read.tubes, strict=True):
        np.testing.assert_allclose(one.absorption, other.absorption, rtol=1e-9)
        assert one.source == other.source


def test_a_tube_that_no_pile_holds_stays_as_it_was(taught):
    box, _, _, photos = taught
    held = set(photos[0].dabs[0].tubes)
    made = learn(box, photos[:1])
    for number, (before, after) in enumerate(zip(box.tubes, made.tubes, strict=True)):
        assert (before is after) == (number not in held)


def test_nothing_to_learn_from_is_refused():
    with pytest.raises(ValueError, match="nothing to learn"):
        learn(built_in_box(), [])
