"""What lies on the palette: the pile to be corrected, and everything that can go into it.

A pile and an ingredient are both sums of K and S (Duncan 1940), as a recipe's puddle is; the
pile's are what it is now believed to be, whatever was laid out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.paint.box import Box, Tube
from refmatch.paint.kubelka_munk import GLOSS, Surface
from refmatch.recipe.entries import is_strong
from refmatch.recipe.mixture import film

TUBE, LET_DOWN, CORE, PUDDLE = "tube", "let-down", "core", "puddle"
"""The kinds of ingredient."""

LET_DOWNS = (9, 30)
"""White to one part of a strong tube in the let-downs that are worth making."""

Parts = tuple[tuple[str, float], ...]
"""Tubes of a box by name, and their net parts."""

Portions = Sequence[tuple[str, float]]
"""Tubes of a box by name, and their parts."""


@dataclass(frozen=True, eq=False)
class Pile:
    """A mixed pile: K and S of one part of it, (31,), and how many parts it counts.

    ``parts`` are the recipe's own; additions are counted in the same.
    """

    absorption: Array
    scattering: Array
    parts: float
    surface: Surface = GLOSS

    @property
    def lab(self) -> Array:
        """Its colour, (3,)."""
        return reflectance_to_lab(film(self.absorption, self.scattering, self.surface))

    @property
    def strength(self) -> float:
        """Absorption of one part in the light the eye weighs: how much a little darkens."""
        return _strength(self.absorption)


@dataclass(frozen=True, eq=False)
class Ingredient:
    """Something that can be worked into a pile: K and S of one part of it, (31,).

    ``kind`` is "tube", "let-down", "core" or "puddle"; ``own_parts`` says which tubes one part of
    it is made of. ``most_parts`` is how much there is of it, None where more can be had.
    """

    name: str
    kind: str
    absorption: Array
    scattering: Array
    own_parts: tuple[tuple[str, float], ...] = ()
    most_parts: float | None = None

    @property
    def strength(self) -> float:
        """Absorption of one part in the light the eye weighs."""
        return _strength(self.absorption)


def pile_of(box: Box, portions: Portions) -> Pile:
    """Return the pile that a recipe's net parts make, as the box has it.

    Raises:
        UnknownTube: a portion names none of the box's tubes.
    """
    absorption, scattering, parts = _sums(box, portions)
    return Pile(absorption / parts, scattering / parts, parts, box.surface)


def puddle(name: str, box: Box, portions: Portions, kind: str = PUDDLE) -> Ingredient:
    """Return paint of known parts as an ingredient: a neighbour's mix, a leftover.

    Raises:
        UnknownTube: a portion names none of the box's tubes.
    """
    absorption, scattering, parts = _sums(box, portions)
    own = tuple((tube, share / parts) for tube, share in portions if share > 0.0)
    return Ingredient(name, kind, absorption / parts, scattering / parts, own)


def ingredients_of(box: Box, portions: Portions = ()) -> tuple[Ingredient, ...]:
    """Return what a painter has at hand for one pile: tubes, let-downs of strong ones, the core.

    ``portions`` are the recipe's own; its core counts where white and two colours are in it.
    """
    tubes = [puddle(tube.name, box, [(tube.name, 1.0)], TUBE) for tube in box.tubes]
    return (*tubes, *_let_downs(box), *_core(box, portions))


def _let_downs(box: Box) -> list[Ingredient]:
    if not any(tube.is_white for tube in box.tubes):
        return []
    white = box.white
    strong = [tube for tube in box.tubes if not tube.is_white and is_strong(tube, white)]
    return [_let_down(tube, parts, box) for tube in strong for parts in LET_DOWNS]


def _let_down(tube: Tube, white_parts: int, box: Box) -> Ingredient:
    name = f"{tube.name}, 1 to {white_parts} white"
    return puddle(name, box, [(tube.name, 1.0), (box.white.name, float(white_parts))], LET_DOWN)


def _core(box: Box, portions: Portions) -> list[Ingredient]:
    held = [(tube, parts) for tube, parts in portions if parts > 0.0]
    colours = [(tube, parts) for tube, parts in held if not box.tube(tube).is_white]
    if len(colours) < 2 or len(colours) == len(held):
        return []
    return [puddle(CORE, box, colours, CORE)]


def _sums(box: Box, portions: Portions) -> tuple[Array, Array, float]:
    tubes = [box.tube(name) for name, _ in portions]
    parts = np.array([share for _, share in portions])
    absorption = parts @ np.stack([tube.absorption for tube in tubes])
    return absorption, parts @ np.stack([tube.scattering for tube in tubes]), float(parts.sum())


def _strength(absorption: Array) -> float:
    return float(absorption @ viewing().weights[:, 1])
