"""Strips: a puddle, and another paint worked into it step by step, in whole parts.

Strips that stand beside each other go through the same values, so that only what is taught differs.
Which parts a step takes is a matter of the hand: the simplest that come near what is wanted.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.hues import munsell_value
from refmatch.colorimetry.lab import chroma, delta_e_00, hue_deg
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box
from refmatch.plan.roles import PUDDLE, Portions, colours_of
from refmatch.recipe.moves import (
    CHALKY,
    FLAT,
    GREEN,
    MUDDY,
    PRICE,
    goes_green,
    hues_apart,
    spoilt,
)
from refmatch.recipe.neutral import (
    GREY_CSTAR,
    is_coloured,
    whole_ratios,
)


@dataclass(frozen=True, eq=False)
class StripPaint:
    """A tube, or tubes in parts, and the part that it plays; it is counted as one paint."""

    role: str
    portions: Portions


@dataclass(frozen=True, eq=False)
class StripStep:
    """Whole parts of each paint of the strip, and what they make.

    ``place`` counts from the puddle, 0, to the right, or to the left below 0; in strips that belong
    together like places have like values, and one may be empty. ``lab`` (3,); ``effects`` are how
    the colour is spoilt, of `recipe.moves`; ``is_grey`` says that it passes for a grey.
    """

    place: int
    parts: tuple[int, ...]
    lab: Array
    munsell_value: float
    effects: tuple[str, ...]
    is_grey: bool


@dataclass(frozen=True, eq=False)
class Strip:
    """Steps from left to right, of the same paints."""

    paints: tuple[StripPaint, ...]
    steps: tuple[StripStep, ...]

    def at(self, place: int) -> StripStep | None:
        """Return the step of a place, None where it is empty."""
        return next((step for step in self.steps if step.place == place), None)

    @property
    def added(self) -> StripPaint:
        """What is worked into the puddle, the first of such."""
        return self.paints[1]


# Strips: whole parts that come near what is wanted of each step.

NEAR_VALUE, FAR_VALUE = 0.2, 0.35
"""By how much of a Munsell value simpler parts may miss a step's, and from where it is none."""

STAYS_DEG = 60.0
"""So far a hue may turn, a sixth of CIELAB's circle, and the colour is still the same one lighter
or darker (our own choice)."""

NEAR_SHARE = 0.2
"""The part of a share by which simpler parts may miss it."""


A_STEP = 3.0
"""dE00 between two mixes below which they are no steps of a strip (our own choice)."""

SPOILS = frozenset({CHALKY, FLAT, GREEN, MUDDY})
"""What is told of a step where a colour is lightened or darkened."""


def step_of(
    place: int, parts: Iterable[int], lab: Array, effects: tuple[str, ...] = ()
) -> StripStep:
    grey, value = bool(chroma(lab) <= GREY_CSTAR), float(munsell_value(lab))
    return StripStep(place, tuple(map(int, parts)), lab, value, effects, grey)


def _effects(lab: Array, before: Array, *, coloured: bool) -> tuple[str, ...]:
    effects = spoilt(lab, before, coloured=coloured, price=PRICE)
    if not goes_green(lab[None], before):
        return effects
    return (*(effect for effect in effects if effect != MUDDY), GREEN)  # a green is no mud


class Ladder(NamedTuple):
    """All whole parts of a puddle and another paint, (n, 2), and the colours they make, (n, 3)."""

    puddle: StripPaint
    added: StripPaint
    ratios: Array
    labs: Array

    @classmethod
    def of(cls, box: Box, puddle: Portions, added: StripPaint) -> Ladder:
        ratios = whole_ratios()
        ratios = ratios[np.argsort(ratios[:, 1] / ratios.sum(axis=1), kind="stable")]
        labs = colours_of(box, [puddle, added.portions], ratios)
        return cls(StripPaint(PUDDLE, puddle), added, ratios, labs)

    @property
    def shares(self) -> Array:
        return np.asarray(self.ratios[:, 1] / self.ratios.sum(axis=1))

    def nearest(self, off: Array, near: float, after: float) -> int | None:
        """Return the simplest parts that are off by no more than ``near``, else the nearest.

        Only those of a larger share than ``after`` count; None where there are none.
        """
        able = np.where(self.shares > after, off, np.inf)
        if not np.isfinite(able.min()):
            return None
        close = able <= max(float(able.min()), near)
        return int(np.argmin(np.where(close, self.ratios.sum(axis=1) + off / 1e3, np.inf)))

    def strip(
        self, rows: Mapping[int, int], before: Array, among: frozenset[str] = SPOILS
    ) -> Strip:
        """Return a strip from the puddle through rows by place; of effects those ``among``."""
        coloured = any(is_coloured(tube) for tube, _ in self.added.portions)
        steps = [step_of(0, (1, 0), before)]
        for place, row in rows.items():
            effects = _effects(self.labs[row], before, coloured=coloured)
            kept = tuple(effect for effect in effects if effect in among)
            steps.append(step_of(place, self.ratios[row], self.labs[row], kept))
        return Strip((self.puddle, self.added), tuple(steps))

    def by_value(self, before: Array, values: Iterable[float]) -> Strip:
        """Return a strip through values.

        A value that parts do not come near is left out; the strip ends where a coloured paint has
        made of the colour another one.
        """
        rows: dict[int, int] = {}
        after = 0.0
        reached = munsell_value(self.labs)
        turned = hues_apart(hue_deg(self.labs), hue_deg(before))
        left = (turned > STAYS_DEG) & (chroma(self.labs) > GREY_CSTAR)
        left &= any(is_coloured(tube) for tube, _ in self.added.portions)
        for place, value in enumerate(values, start=1):
            off = np.abs(reached - value)
            row = self.nearest(off, NEAR_VALUE, after)
            if row is None or left[row]:
                break
            if off[row] <= FAR_VALUE:
                rows[place], after = row, float(self.shares[row])
        return self.strip(rows, before)

    def in_turn(self, rows: Iterable[int], before: Array) -> dict[int, int]:
        """Return rows by place, without those that are hardly another colour than the last."""
        kept: list[int] = []
        for row in rows:
            last = self.labs[kept[-1]] if kept else before
            if delta_e_00(self.labs[row], last) >= A_STEP:
                kept.append(row)
        return dict(enumerate(kept, start=1))

    def by_share(self, wanted: Iterable[float]) -> list[int]:
        """Return the rows of shares of the other paint, in simple parts."""
        rows: list[int] = []
        for share in wanted:
            after = float(self.shares[rows[-1]]) if rows else 0.0
            row = self.nearest(np.abs(self.shares - share), NEAR_SHARE * share, after)
            if row is not None:
                rows.append(row)
        return rows
