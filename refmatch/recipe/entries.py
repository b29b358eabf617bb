"""What a recipe may be made of: each tube, and let-downs of the strong ones in white."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box, Tube
from refmatch.recipe.mixture import Palette, predict

LET_DOWN_WHITE_PARTS = 9
"""White to one part of tube in a let-down (common practice)."""

STRONG_DELTA_E_00 = 12.0
"""A tube is strong when one part in 32 of white moves the white this far (our own choice)."""


@dataclass(frozen=True, eq=False)
class Entry:
    """One thing to lay out: ``net`` holds its parts of each tube of the box, (tubes,), sum 1."""

    tube: str
    white_parts: int
    net: Array


@dataclass(frozen=True, eq=False)
class Entries:
    """All entries of a box and what the solver asks of them, in arrays.

    ``net`` (entries, tubes) are parts of each tube in one part of the entry;
    ``palette`` holds the entries' K and S, ``tube_palette`` the tubes';
    ``tube_index`` (entries,) names each entry's own tube, ``is_let_down`` (entries,)
    says which are let-downs.
    """

    box: Box
    items: tuple[Entry, ...]
    net: Array
    palette: Palette
    tube_palette: Palette
    tube_index: npt.NDArray[np.intp]
    is_let_down: npt.NDArray[np.bool_]


def entries_of(box: Box, *, let_downs: bool = True) -> Entries:
    """List the entries of a box: its tubes in order, then, if wanted, let-downs of strong ones."""
    items = [Entry(tube.name, 0, row) for tube, row in zip(box.tubes, _unit(box), strict=True)]
    if let_downs and any(tube.is_white for tube in box.tubes):
        white = box.white
        at_white = box.tubes.index(white)
        for index, tube in enumerate(box.tubes):
            if not tube.is_white and is_strong(tube, white):
                items.append(_let_down(tube.name, index, at_white, len(box.tubes)))
    net = np.stack([entry.net for entry in items])
    tubes = Palette.of(box.tubes, box.surface)
    names = [tube.name for tube in box.tubes]
    return Entries(
        box=box,
        items=tuple(items),
        net=net,
        palette=Palette(net @ tubes.absorption, net @ tubes.scattering, box.surface),
        tube_palette=tubes,
        tube_index=np.array([names.index(entry.tube) for entry in items]),
        is_let_down=np.array([entry.white_parts > 0 for entry in items]),
    )


def is_strong(tube: Tube, white: Tube) -> bool:
    """Say whether a touch of the tube overwhelms white, so that a let-down is worth making."""
    touched = predict([tube, white], [1.0, 31.0])
    return bool(delta_e_00(touched, predict([white], [1.0])) > STRONG_DELTA_E_00)


def _unit(box: Box) -> Sequence[Array]:
    return list(np.eye(len(box.tubes)))


def _let_down(name: str, index: int, at_white: int, tubes: int) -> Entry:
    net = np.zeros(tubes)
    net[index] = 1.0
    net[at_white] = LET_DOWN_WHITE_PARTS
    return Entry(name, LET_DOWN_WHITE_PARTS, net / net.sum())
