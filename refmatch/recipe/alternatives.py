"""Distinct ways to mix one colour: not six spellings of the same recipe."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.recipe.entries import Entries
from refmatch.recipe.habits import holds_black
from refmatch.recipe.rank import Candidates

STILL_USEFUL = 2.0
"""An alternative may be this much farther off in dE00 than the first choice."""

NEARER_BY = 0.2
"""What "closest" must gain in dE00 over the first choice to be worth a line."""

AS_SURE = 0.5
"""What a hand and a real box may make "closest" worse than the first choice, in dE00."""


@dataclass(frozen=True)
class Chosen:
    """A row of the candidates and why it is shown."""

    row: int
    why: str


def alternatives(entries: Entries, found: Candidates) -> tuple[Chosen, ...]:
    """Choose the first recipe and up to five truly different ones, best first.

    ``found`` is ranked, so the first row that answers a question is its answer.
    """
    tubes = (found.parts @ entries.net) > 0.0
    coloured = tubes & ~np.array([tube.is_white for tube in entries.box.tubes])
    counts = tubes.sum(axis=1)
    useful = found.distance <= found.distance[0] + STILL_USEFUL
    let_down = np.logical_or.reduce(found.parts[:, entries.is_let_down] > 0, axis=1)
    black = np.logical_or.reduce(tubes[:, holds_black(entries.box)], axis=1)
    nearest = _nearest(found)
    fewest = useful & (counts == counts[useful].min()) & (counts < counts[0])
    other = useful & ((coloured & coloured[0]).sum(axis=1) <= coloured[0].sum() // 2)
    chosen = [Chosen(0, "first choice")]
    if found.distance[nearest] < found.distance[0] - NEARER_BY:
        chosen.append(Chosen(nearest, "closest"))
    for why, answers in (
        ("fewest tubes", fewest),
        ("without black", useful & ~black & black[0]),
        ("without a let-down", useful & ~let_down & let_down[0]),
        ("with other tubes", other),
    ):
        row = _first_new(answers, tubes, chosen)
        if row is not None:
            chosen.append(Chosen(row, why))
    return tuple(chosen)


def _nearest(found: Candidates) -> int:
    """Return the row nearest the target of those a hand can count on about as well as on the first.

    A grey of three opposed tints may be exact on paper and far off on the palette.
    """
    sure = found.expected <= found.expected[0] + AS_SURE
    distance = np.where(sure, np.round(found.distance, 4), np.inf)
    return int(np.argmin(distance))


def _first_new(
    answers: npt.NDArray[np.bool_], tubes: npt.NDArray[np.bool_], chosen: list[Chosen]
) -> int | None:
    """Return the first row that answers and uses another set of tubes than those chosen."""
    taken = tubes[[choice.row for choice in chosen]]
    new = answers & ~(tubes[:, None] == taken).all(axis=2).any(axis=1)
    return int(np.flatnonzero(new)[0]) if new.any() else None
