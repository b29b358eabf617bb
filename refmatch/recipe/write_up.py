"""From a chosen row of parts to a recipe that a painter reads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, lch_differences
from refmatch.recipe.alternatives import Chosen
from refmatch.recipe.doubt import covariance
from refmatch.recipe.entries import Entries
from refmatch.recipe.hand import hand_distances
from refmatch.recipe.model import Laid, Portion, Recipe
from refmatch.recipe.rank import Candidates
from refmatch.recipe.steps import mixing_steps
from refmatch.recipe.trade import trade_words
from refmatch.recipe.verdict import miss_words, verdict
from refmatch.target import Target


def write_up(
    entries: Entries, target: Target, found: Candidates, chosen: Sequence[Chosen]
) -> tuple[Recipe, ...]:
    """Return the chosen recipes with portions, distances, words and steps."""
    recipes = [_recipe(entries, target, found, choice) for choice in chosen]
    closest = int(np.argmin(np.round(found.distance, 4)))
    written = {choice.row: recipe for choice, recipe in zip(chosen, recipes, strict=True)}
    rival = written.get(closest) or _recipe(entries, target, found, Chosen(closest, "closest"))
    lamps = float(found.lamps[chosen[0].row]), float(found.lamps[closest])
    recipes[0] = replace(recipes[0], trade=trade_words(recipes[0], rival, *lamps))
    return tuple(recipes)


def _recipe(entries: Entries, target: Target, found: Candidates, choice: Chosen) -> Recipe:
    parts, lab = found.parts[choice.row], found.lab[choice.row]
    laid = _laid(entries, parts)
    by_hand = hand_distances(entries, parts.astype(float), target.lab)
    differences = [float(value) for value in lch_differences(lab, target.lab)]
    delta_e = float(delta_e_00(lab, target.lab))
    return Recipe(
        why=choice.why,
        laid_out=laid,
        portions=_portions(entries, parts),
        lab=lab,
        delta_e_00=delta_e,
        delta_e_00_hand=float(np.median(by_hand)),
        delta_e_00_hand_p90=float(np.quantile(by_hand, 0.9)),
        objective=float(found.objective[choice.row]),
        delta_lstar=differences[0],
        delta_cstar=differences[1],
        delta_hstar=differences[2],
        verdict=verdict(delta_e),
        words=miss_words(lab, target.lab),
        steps=mixing_steps(laid, entries.box, target.lab),
        covariance=covariance(entries.tube_palette, entries.box.tubes, parts @ entries.net, lab),
    )


def _laid(entries: Entries, parts: np.ndarray) -> tuple[Laid, ...]:
    """List what is laid out, most first."""
    order = np.argsort(-parts, kind="stable")
    return tuple(
        Laid(entries.items[i].tube, int(parts[i]), entries.items[i].white_parts)
        for i in order
        if parts[i] > 0
    )


def _portions(entries: Entries, parts: np.ndarray) -> tuple[Portion, ...]:
    """List net parts of each tube, most first; let-downs are resolved into their tubes."""
    net = parts @ entries.net
    tubes = entries.box.tubes
    return tuple(
        Portion(tubes[i].name, tubes[i].pigments, round(float(net[i]), 6))
        for i in np.argsort(-net, kind="stable")
        if net[i] > 0.0
    )
