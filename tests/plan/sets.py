"""Sets of targets with their own recipes, made without a solver."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from refmatch.plan.mothers import Set
from refmatch.recipe.mixture import Entries, entries_of
from tests.recipe.boxes import garden_table


def table() -> Entries:
    return entries_of(garden_table())


def set_of(entries: Entries, recipes: Sequence[Mapping[str, int]]) -> Set:
    """Targets that are the very colours of recipes, named by letters."""
    names = [item.tube if not item.white_parts else f"{item.tube}*" for item in entries.items]
    parts = np.zeros((len(recipes), len(names)), dtype=np.intp)
    for row, recipe in enumerate(recipes):
        for name, amount in recipe.items():
            parts[row, names.index(name)] = amount
    return set_from(entries, parts)


def set_from(entries: Entries, parts: np.ndarray) -> Set:
    labels = [chr(ord("a") + row) for row in range(len(parts))]
    labs = entries.palette.lab(parts.astype(float))
    return Set(labels, labs, np.ones(len(parts)), parts)


def random_set(entries: Entries, seed: int, count: int = 12) -> Set:
    """Half of the recipes at random, half their neighbours: a part more or less of something."""
    draw = np.random.default_rng(seed)
    rows = []
    for _ in range(count // 2):
        parts = np.zeros(len(entries.items), dtype=np.intp)
        members = draw.choice(12, draw.integers(2, 4), replace=False)
        parts[members] = draw.integers(1, 12, len(members))
        near = parts.copy()
        near[members[0]] += draw.integers(1, 9)
        near[0] += draw.integers(0, 9)
        rows += [parts, near]
    return set_from(entries, np.array(rows))
