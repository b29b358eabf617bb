"""Boxes and random targets that several tests of the solver share."""

from __future__ import annotations

import functools
import itertools

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import built_in_box
from refmatch.recipe.mixture import Palette

EIGHT = ("PW6", "PY74", "yellow-ochre", "burnt-sienna", "PR254", "PR122", "PB29", "PG7")


def garden_table() -> Box:
    return built_in_box("garden-table")


def eight_tubes() -> Box:
    return Box("eight", tuple(built_in_tube(name) for name in EIGHT))


@functools.cache
def whole_ratios(size: int, most: int) -> np.ndarray:
    """Return all rows of whole parts, 1 or more, in lowest terms, summing to ``most`` or less."""
    rows = [
        (*row, total - sum(row))
        for total in range(size, most + 1)
        for row in itertools.product(range(1, total), repeat=size - 1)
        if sum(row) < total
    ]
    parts = np.array(rows, dtype=np.intp).reshape(-1, size)
    return parts[np.gcd.reduce(parts, axis=1) == 1]


def whole_part_targets(box: Box, count: int, seed: int) -> list[Array]:
    """Lab of mixes of 2 to 4 tubes in whole parts, 32 in all: targets that are reachable."""
    draw = np.random.default_rng(seed)
    palette = Palette.of(box.tubes, box.surface)
    targets = []
    for _ in range(count):
        size = draw.integers(2, 5)
        parts = np.zeros(len(box.tubes))
        chosen = draw.choice(len(box.tubes), size, replace=False)
        parts[chosen] = 1 + draw.multinomial(32 - size, np.full(size, 1.0 / size))
        targets.append(palette.lab(parts))
    return targets


def tint_targets(box: Box, count: int, seed: int) -> list[Array]:
    """Lab of continuous mixes of 1 to 3 colours let down in 1 to 49 parts of white."""
    draw = np.random.default_rng(seed)
    palette = Palette.of(box.tubes, box.surface)
    white = box.tubes.index(box.white)
    colours = [index for index in range(len(box.tubes)) if index != white]
    targets = []
    for _ in range(count):
        size = draw.integers(1, 4)
        parts = np.zeros(len(box.tubes))
        parts[draw.choice(colours, size, replace=False)] = draw.dirichlet(np.ones(size))
        parts[white] = np.exp(draw.uniform(0.0, np.log(49.0)))
        targets.append(palette.lab(parts))
    return targets
