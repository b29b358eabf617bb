"""Which of the ranked recipes a painter is shown, and what is said of each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.hues import munsell_chroma, munsell_value
from refmatch.colorimetry.lab import delta_e_00, lch_differences
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import graded, worded_turns
from refmatch.paint.box import Tube
from refmatch.recipe.doubt import covariance, tubes_in
from refmatch.recipe.habits import holds_black
from refmatch.recipe.hand import hand_distances
from refmatch.recipe.mixture import Entries
from refmatch.recipe.model import Laid, Portion, Recipe
from refmatch.recipe.rank import Candidates
from refmatch.recipe.steps import mixing_steps
from refmatch.target import Target

# Distinct ways to mix one colour: not six spellings of the same recipe.

STILL_USEFUL = 1.0
"""An alternative may be expected to lie so much farther off in dE00 than the first choice."""

NEARER_BY = 0.2
"""What "closest" must gain in dE00 over the first choice to be worth a line."""

AS_SURE = 0.5
"""What a hand and a real box may make "closest" worse than the first choice, in dE00."""


@dataclass(frozen=True)
class Chosen:
    """A row of the candidates and why it is shown."""

    row: int
    why: str


def alternatives(entries: Entries, ranked: Candidates) -> tuple[Chosen, ...]:
    """Choose the first recipe and up to five truly different ones, best first.

    The first of the ``ranked`` rows that answers a question is its answer.
    """
    tubes = (ranked.parts @ entries.net) > 0.0
    coloured = tubes & ~np.array([tube.is_white for tube in entries.box.tubes])
    counts = tubes.sum(axis=1)
    useful = ranked.expected <= ranked.expected[0] + STILL_USEFUL
    let_down = np.logical_or.reduce(ranked.parts[:, entries.is_let_down] > 0, axis=1)
    black = np.logical_or.reduce(tubes[:, holds_black(entries.box)], axis=1)
    nearest = _nearest(ranked)
    fewest = useful & (counts == counts[useful].min()) & (counts < counts[0])
    other = useful & ((coloured & coloured[0]).sum(axis=1) <= coloured[0].sum() // 2)
    chosen = [Chosen(0, "first choice")]
    if ranked.distance[nearest] < ranked.distance[0] - NEARER_BY:
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


def _nearest(ranked: Candidates) -> int:
    """Return the row nearest the target of those a hand can count on about as well as on the first.

    A grey of three opposed tints may be exact on paper and far off on the palette.
    """
    sure = ranked.expected <= ranked.expected[0] + AS_SURE
    distance = np.where(sure, np.round(ranked.distance, 4), np.inf)
    return int(np.argmin(distance))


def _first_new(
    answers: npt.NDArray[np.bool_], tubes: npt.NDArray[np.bool_], chosen: list[Chosen]
) -> int | None:
    """Return the first row that answers and uses another set of tubes than those chosen."""
    taken = tubes[[choice.row for choice in chosen]]
    new = answers & ~(tubes[:, None] == taken).all(axis=2).any(axis=1)
    return int(np.flatnonzero(new)[0]) if new.any() else None


# How near a mix comes to its target, in a word and in what to look for.
#
# The words are our own choice, held between two published judgements: about 0.8 is
# just perceptible and 1.8 dE00 just acceptable to half of all observers (Paravina et al.
# 2015, Journal of Esthetic and Restorative Dentistry 27 S1, S1-S9,
# doi:10.1111/jerd.12149: dental ceramics).

VERDICTS: tuple[tuple[float, str], ...] = (
    (1.0, "match"),
    (2.0, "good"),
    (4.0, "near"),
    (8.0, "far"),
    (float("inf"), "another colour"),
)
"""Up to which dE00 each word reaches: of a recipe, the dE00 to expect from hand and tubes."""

MEANINGS: dict[str, str] = {
    "match": "you will not see a difference",
    "good": "a difference only if you look for it",
    "near": "seen side by side",
    "far": "seen across the room",
    "another colour": "not the same colour any more",
}
"""What each word says to the painter."""

VALUE_ENDS = (0.1, 0.25, 0.6)
TURN_ENDS = (1.0, 2.0, 5.0)
CHROMA_ENDS = (0.3, 0.8, 2.0)
"""Where "a touch too", "too" and "much too" begin: in Munsell values, as a `Turn`
of the hue, and in Munsell chroma. Each triple is about 1, 2 and 5 dE00
for colours of middle value and chroma."""

TOO: dict[str, str] = {
    "warmer": "too warm",
    "cooler": "too cold",
    "redder": "too red",
    "greener": "too green",
    "yellower": "too yellow",
}


def verdict(delta_e: float) -> str:
    """Return the word for a distance of ``delta_e`` in CIEDE2000, 0 or more."""
    return next(word for end, word in VERDICTS if delta_e <= end)


def promise(expected: float, tubes: Iterable[Tube]) -> str:
    """Return the word for what a recipe promises, by the dE00 to expect from hand and tubes.

    Of tubes that nobody measured it is never "match".
    """
    word = verdict(expected)
    return "good" if word == "match" and any(tube.is_generic for tube in tubes) else word


def miss_words(lab: Array, target_lab: Array) -> str:
    """Say what is wrong with a mix beside its target, value first; "" where nothing is.

    Such as "too light, a touch too cold, a touch too strong". Among blues "too red"
    or "too green" stands instead of a temperature.
    """
    value = float(munsell_value(lab) - munsell_value(target_lab))
    strength = float(munsell_chroma(lab) - munsell_chroma(target_lab))
    words = (
        graded(value, VALUE_ENDS, ("too light", "too dark")),
        *(
            graded(far, TURN_ENDS, (TOO[one], TOO[other]))
            for far, one, other in worded_turns(lab, target_lab)
        ),
        graded(strength, CHROMA_ENDS, ("too strong", "too dull")),
    )
    return ", ".join(word for word in words if word)


# What the first choice gives up beside the closest recipe, and what it gains, in words.

SEEN_BY_HAND = 0.2
"""A difference in dE00 by hand that is worth a word."""

SEEN_UNDER_LAMPS = 0.5
"""The same for straying under lamps."""

LEAST_PRINTED = 0.05
"""Figures are printed to a tenth, so that a smaller difference is none."""

FARTHER = 0.05
"""Less than this is not called farther off."""


def trade_words(chosen: Recipe, closest: Recipe, lamps: float, closest_lamps: float) -> str:
    """Return why the chosen recipe stands first though another is closer.

    ``lamps`` are how far each strays from its rivals under lamps, in dE00. Such as
    "0.3 farther off than the closest, but steadier in the hand (1.2 against 2.3) and
    one tube fewer."; empty where neither is nearer, or nothing is gained.
    """
    farther = chosen.delta_e_00 - closest.delta_e_00
    gains = _gains(chosen, closest)
    if closest_lamps - lamps > SEEN_UNDER_LAMPS:
        gains.insert(0, "steadier under a lamp")
    if not gains or farther < FARTHER:
        return ""
    *most, last = gains
    listed = f"{', '.join(most)} and {last}" if most else last
    return f"{farther:.1f} farther off on paper than the closest, but {listed}."


def _gains(chosen: Recipe, closest: Recipe) -> list[str]:
    gains = []
    if closest.delta_e_00_hand - chosen.delta_e_00_hand > SEEN_BY_HAND:
        hands = f"{chosen.delta_e_00_hand:.1f} against {closest.delta_e_00_hand:.1f}"
        gains.append(f"steadier in the hand ({hands})")
    fewer = len(closest.portions) - len(chosen.portions)
    if fewer > 0:
        gains.append(_tubes_fewer(fewer))
    if _total(chosen) < _total(closest):
        gains.append(f"{_total(chosen)} parts instead of {_total(closest)}")
    return gains


def _total(recipe: Recipe) -> int:
    return sum(laid.parts for laid in recipe.laid_out)


# From a chosen row of parts to a recipe that a painter reads.


def write_up(
    entries: Entries, target: Target, ranked: Candidates, chosen: Sequence[Chosen]
) -> tuple[Recipe, ...]:
    """Return the chosen recipes with portions, distances, words and steps."""
    recipes = [_recipe(entries, target, ranked, choice) for choice in chosen]
    closest = int(np.argmin(np.round(ranked.distance, 4)))
    written = {choice.row: recipe for choice, recipe in zip(chosen, recipes, strict=True)}
    rival = written.get(closest) or _recipe(entries, target, ranked, Chosen(closest, "closest"))
    lamps = float(ranked.lamps[chosen[0].row]), float(ranked.lamps[closest])
    first = replace(recipes[0], trade=trade_words(recipes[0], rival, *lamps))
    others = (replace(recipe, better=better_words(first, recipe)) for recipe in recipes[1:])
    return (first, *(recipe for recipe in others if recipe.better))


# What an alternative is better at than the first choice; one better at nothing is not shown.


def better_words(first: Recipe, other: Recipe) -> str:
    """Return in a few words what a recipe is better at than the first choice; "" where at nothing.

    Judged by the figures as they are printed, what "closest" and "fewest tubes" claim first.
    """
    nearer = round(first.delta_e_00, 1) - round(other.delta_e_00, 1)
    surer = _printed(first) - _printed(other)
    tubes, parts = (len(first.portions) - len(other.portions)), _total(first) - _total(other)
    steadier = round(first.delta_e_00_hand, 1) - round(other.delta_e_00_hand, 1)
    gains = {
        "closest": f"{nearer:.1f} nearer on paper" if nearer > LEAST_PRINTED else "",
        "fewest tubes": _tubes_fewer(tubes) if tubes > 0 else "",
        "": f"surer by {surer:.1f}" if surer > LEAST_PRINTED else "",
        "let-down": "no let-down to make" if _let_downs(first) and not _let_downs(other) else "",
        "steady": "steadier in the hand" if steadier > LEAST_PRINTED else "",
        "parts": f"{_total(other)} parts, not {_total(first)}" if parts > 0 else "",
    }
    in_order = (gains.get(other.why, ""), gains[""], gains["let-down"], *gains.values())
    return next((words for words in in_order if words), "")


def _printed(recipe: Recipe) -> float:
    return round(recipe.delta_e_00_expected or 0.0, 1)


def _let_downs(recipe: Recipe) -> int:
    return sum(laid.let_down_white_parts > 0 for laid in recipe.laid_out)


def _tubes_fewer(count: int) -> str:
    return "one tube fewer" if count == 1 else f"{count} tubes fewer"


def _recipe(entries: Entries, target: Target, ranked: Candidates, choice: Chosen) -> Recipe:
    parts, lab = ranked.parts[choice.row], ranked.lab[choice.row]
    net = parts @ entries.net
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
        objective=float(ranked.objective[choice.row]),
        delta_lstar=differences[0],
        delta_cstar=differences[1],
        delta_hstar=differences[2],
        verdict=promise(
            float(ranked.expected[choice.row]), tubes_in(entries.box.tubes, parts @ entries.net)
        ),
        words=miss_words(lab, target.lab),
        steps=mixing_steps(laid, entries.box, target.lab),
        covariance=covariance(entries.tube_palette, entries.box.tubes, net, lab),
        delta_e_00_expected=float(ranked.expected[choice.row]),
        delta_e_00_expected_p90=float(ranked.expected_p90[choice.row]),
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
