"""The painter's hand and a spectrophotometer."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.paint.fit.swatch import Swatch
from tests.virtual_studio.paints import Studio

Mix = tuple[tuple[int, float], ...]
"""Tubes by number, and their parts."""


TOUCH = 0.1
"""Parts of ivory black, a weak bone black, to one of a colour, that are seen in it."""


def mixed_by_hand(studio: Studio, mixes: Sequence[Mix], hand: float, seed: int) -> Array:
    """Return what was truly laid out, (n, tubes), each part off by the hand's error."""
    rng = np.random.default_rng(seed)
    table = np.zeros((len(mixes), len(studio.tubes)))
    for row, mix in enumerate(mixes):
        for tube, parts in mix:
            table[row, tube] = parts * np.exp(rng.normal(0.0, hand if len(mix) > 1 else 0.0))
    return table


def measured(
    studio: Studio, mixes: Sequence[Mix], seed: int, hand: float = 0.05, noise: float = 0.002
) -> list[Swatch]:
    """Return swatches of the mixes as an instrument (specular excluded) reads them."""
    rng = np.random.default_rng(seed)
    seen = studio.reflectance(mixed_by_hand(studio, mixes, hand, seed + 1))
    seen = np.clip(seen + rng.normal(0.0, noise, seen.shape), 3e-4, None)
    return [
        Swatch(
            label=" + ".join(f"{parts:g} {studio.tubes[tube].name}" for tube, parts in mix),
            tubes=tuple(tube for tube, _ in mix),
            parts=tuple(parts for _, parts in mix),
            reflectance=row,
            hand=hand,
            noise=noise,
        )
        for mix, row in zip(mixes, seen, strict=True)
    ]


def let_downs(studio: Studio, white_parts: Sequence[float] = (1.0, 9.0)) -> list[Mix]:
    """Return each tube's masstone and its let-downs in white."""
    mixes: list[Mix] = [((studio.white, 1.0),)]
    for tube in range(len(studio.tubes)):
        if tube != studio.white:
            mixes.append(((tube, 1.0),))
            mixes += [((tube, 1.0), (studio.white, parts)) for parts in white_parts]
    return mixes


def colours_and_black(studio: Studio, black: int, share: float = TOUCH) -> list[Mix]:
    """Return each colour with a touch of black: what black does outside white."""
    others = (tube for tube in range(len(studio.tubes)) if tube not in (studio.white, black))
    return [((tube, 1.0), (black, share)) for tube in others]


def random_mixes(studio: Studio, count: int, seed: int) -> Array:
    """Return mixes of three or four tubes in any parts from 1 : 20 up, (count, tubes)."""
    rng = np.random.default_rng(seed)
    table = np.zeros((count, len(studio.tubes)))
    for row in table:
        used = rng.choice(len(row), rng.integers(3, 5), replace=False)
        row[used] = np.exp(rng.uniform(np.log(0.05), 0.0, len(used)))
    return table
