"""What to work into a pile so that it comes near its target: one or two things in half parts.

All singles are tried in every amount, and all pairs on a coarse ladder of amounts; the most
promising pairs are then tried in every amount about their rung. So nothing hangs on where a
descent starts, and a dozen tubes with their let-downs take a few hundredths of a second.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.paint.box import Box, Tube
from refmatch.paint.kubelka_munk import GLOSS, Surface
from refmatch.recipe.doubt import metric
from refmatch.recipe.hand import LET_DOWN_ERROR, part_errors
from refmatch.recipe.mixture import Palette, film, is_strong
from refmatch.recipe.rank import LET_DOWN_PRICE, TUBE_PRICE

# What lies on the palette: the pile to be corrected, and everything that can go into it.
#
# A pile and an ingredient are both sums of K and S (Duncan 1940), as a recipe's puddle is; the
# pile's are what it is now believed to be, whatever was laid out.

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


HALF = 0.5
"""Additions are counted in half parts."""

COUNTED_FROM = 10.0
"""A puddle of fewer parts is counted as a multiple of them, or half a part would be too much."""

GROWTH_PRICE = 0.5
"""What growing a pile to twice itself must gain in dE00 (our own choice)."""

RUNGS: tuple[int, ...] = (1, 2, 3, 5, 8, 13, 21, 34, 55, 90, 146)
"""The coarse ladder in units of half a part; the last is more than any pile may grow."""

REFINED, JUDGED = 64, 256
"""How many pairs are looked at closely, and how many additions are judged with the hand."""

Indices = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Additions:
    """Ways to correct a pile, best first; row i is one way.

    ``members`` (n, 2) are places in the list of ingredients and ``parts`` (n, 2) how much of each,
    0 where there is no second; ``lab`` (n, 3) the colour after it, ``distance`` (n,) its dE00 from
    the target, ``hand`` (n, 3, 2) how far one standard error of the hand on each part moves it,
    and ``objective`` (n,) what ranks them: distance and hand together, and a price for a second
    ingredient, let-downs and growth.
    """

    members: Indices
    parts: Array
    lab: Array
    distance: Array
    hand: Array
    objective: Array

    def each_way(self) -> Indices:
        """Return the rows of the best amounts of each set of ingredients, best first."""
        named = np.where(self.parts > 0.0, self.members, -1)
        _, first = np.unique(named, axis=0, return_index=True)
        return np.sort(first)

    def pick(self, rows: Indices) -> Additions:
        """Return the chosen rows, in that order."""
        return Additions(
            self.members[rows],
            self.parts[rows],
            self.lab[rows],
            self.distance[rows],
            self.hand[rows],
            self.objective[rows],
        )


def search(
    pile: Pile, target_lab: Array, ingredients: Sequence[Ingredient], most_parts: float
) -> Additions:
    """Return the best ways to bring a pile near a target, best first.

    Args:
        pile: what it is believed to be.
        target_lab: the target, (3,).
        ingredients: at least one.
        most_parts: by how much the pile may grow in all.
    """
    unit = HALF / multiple(pile.parts)
    steps = int(most_parts / unit + 1e-9)
    bench = _Bench.of(pile, target_lab, ingredients, unit)
    members, counts = bench.singles(steps)
    if len(ingredients) > 1 and steps > 1:
        pairs, coarse = bench.pairs(steps)
        near = bench.refined(pairs, coarse, steps)
        members, counts = np.concatenate([members, near[0]]), np.concatenate([counts, near[1]])
    members, counts = _distinct(members, counts)
    parts = unit * counts
    hopeful = np.argsort(bench.rough(members, parts), kind="stable")[:JUDGED]
    return bench.judged(members[hopeful], parts[hopeful])


def multiple(parts: float) -> int:
    """Return how many times its parts a puddle is counted as: 1 from `COUNTED_FROM` parts on."""
    return max(1, math.ceil(COUNTED_FROM / parts - 1e-9))


@dataclass(frozen=True, eq=False)
class _Bench:
    """A pile, its target, and the ingredients' curves side by side, (ingredients, 31).

    ``unit`` is what is added at least, in the pile's parts, and ``most_units`` (ingredients,) how
    much there is of each.
    """

    pile: Pile
    target_lab: Array
    absorption: Array
    scattering: Array
    is_let_down: npt.NDArray[np.bool_]
    unit: float
    most_units: Array

    @classmethod
    def of(
        cls, pile: Pile, target_lab: Array, ingredients: Sequence[Ingredient], unit: float
    ) -> _Bench:
        most = [np.inf if i.most_parts is None else i.most_parts / unit for i in ingredients]
        return cls(
            pile,
            target_lab,
            np.stack([ingredient.absorption for ingredient in ingredients]),
            np.stack([ingredient.scattering for ingredient in ingredients]),
            np.array([ingredient.kind == LET_DOWN for ingredient in ingredients]),
            unit,
            np.array(most),
        )

    def singles(self, steps: int) -> tuple[Indices, Array]:
        """Return every ingredient in every amount: members (n, 2) and units (n, 2)."""
        which, count = np.meshgrid(
            np.arange(len(self.absorption)), np.arange(1, steps + 1), indexing="ij"
        )
        counts = np.stack([count.ravel().astype(float), np.zeros(count.size)], axis=1)
        return self._there_is(np.stack([which.ravel()] * 2, axis=1), counts)

    def pairs(self, steps: int) -> tuple[Indices, Array]:
        """Return every pair of ingredients in the amounts of the ladder."""
        rungs = [rung for rung in RUNGS if rung < steps]
        amounts = np.array([(x, y) for x in rungs for y in rungs if x + y <= steps], dtype=float)
        first, second = np.triu_indices(len(self.absorption), 1)
        members = np.repeat(np.stack([first, second], axis=1), len(amounts), axis=0)
        return self._there_is(members, np.tile(amounts, (len(first), 1)))

    def refined(self, members: Indices, counts: Array, steps: int) -> tuple[Indices, Array]:
        """Return the most promising pairs in every amount up to the rungs about their best."""
        rough = self.rough(members, self.unit * counts)
        order = np.argsort(rough, kind="stable")
        _, first = np.unique(members[order] @ (len(self.absorption), 1), return_index=True)
        best = order[np.sort(first)[:REFINED]]
        pieces = [(members[row], _about(counts[row], steps)) for row in best]
        every = np.concatenate([np.tile(pair, (len(near), 1)) for pair, near in pieces])
        return self._there_is(every, np.concatenate([near for _, near in pieces]))

    def _there_is(self, members: Indices, counts: Array) -> tuple[Indices, Array]:
        """Keep what there is enough of."""
        enough = np.all(counts <= self.most_units[members], axis=1)
        return members[enough], counts[enough]

    def lab(self, members: Indices, parts: Array) -> Array:
        """Return the colours, (n, 3), in single precision: to a hundredth of a unit."""
        absorption, scattering = (
            curves.astype(np.float32) for curves in (self.absorption, self.scattering)
        )
        own = np.float32(self.pile.parts)
        shares = parts.astype(np.float32)[..., None]
        k = own * self.pile.absorption.astype(np.float32) + (shares * absorption[members]).sum(1)
        s = own * self.pile.scattering.astype(np.float32) + (shares * scattering[members]).sum(1)
        return reflectance_to_lab(film(k, s, self.pile.surface))

    def rough(self, members: Indices, parts: Array) -> Array:
        """Return distance and price, (n,), without the hand."""
        return delta_e_00(self.lab(members, parts), self.target_lab) + self.price(members, parts)

    def price(self, members: Indices, parts: Array) -> Array:
        """Return what a second ingredient, let-downs and growth must gain, (n,), in dE00."""
        used = parts > 0.0
        of_let_downs = LET_DOWN_PRICE * (used & self.is_let_down[members]).sum(axis=1)
        growth = GROWTH_PRICE * parts.sum(axis=1) / self.pile.parts
        return TUBE_PRICE * (used.sum(axis=1) - 1) + of_let_downs + growth

    def judged(self, members: Indices, parts: Array) -> Additions:
        """Return additions with all they are ranked by, best first."""
        laid = np.column_stack([np.full(len(parts), self.pile.parts), parts])
        lab, slopes = self._palette(members).lab_and_slopes(laid)
        error = np.hypot(part_errors(laid)[:, 1:], LET_DOWN_ERROR * self.is_let_down[members])
        moved = slopes[:, :, 1:] * (error * parts)[:, None, :]
        squared = np.sum(moved * (metric(self.target_lab) @ moved), axis=(1, 2))
        distance = delta_e_00(lab, self.target_lab)
        objective = np.sqrt(distance**2 + squared) + self.price(members, parts)
        additions = Additions(members, parts, lab, distance, moved, objective)
        return additions.pick(np.argsort(np.round(objective, 6), kind="stable"))

    def _palette(self, members: Indices) -> Palette:
        """Return the pile and each way's two ingredients as a batch of palettes, (n, 3, 31)."""

        def beside(own: Array, curves: Array) -> Array:
            every = np.broadcast_to(own, (len(members), 1, len(own)))
            return np.concatenate([every, curves[members]], axis=1)

        return Palette(
            beside(self.pile.absorption, self.absorption),
            beside(self.pile.scattering, self.scattering),
            self.pile.surface,
        )


def _about(counts: Array, steps: int) -> Array:
    """Return all amounts of a pair from the rungs below its own to those above, (n, 2)."""
    reach = [np.arange(*_between(int(count))) for count in counts]
    x, y = (axis.ravel() for axis in np.meshgrid(*reach, indexing="ij"))
    fits = x + y <= steps
    return np.stack([x[fits], y[fits]], axis=1).astype(float)


def _between(count: int) -> tuple[int, int]:
    """Return the rung below, and one past the rung above."""
    at = RUNGS.index(count)
    below = RUNGS[at - 1] if at else 1
    return below, (RUNGS[at + 1] if at + 1 < len(RUNGS) else count) + 1


def _distinct(members: Indices, counts: Array) -> tuple[Indices, Array]:
    """Drop what was found twice."""
    rows = np.unique(np.concatenate([members, counts.astype(np.intp)], axis=1), axis=0)
    return rows[:, :2], rows[:, 2:].astype(float)
