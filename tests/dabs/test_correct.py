"""Corrections: true to the model, as good as trying everything, and only where worth it."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.additions import (
    CORE,
    GROWTH_PRICE,
    HALF,
    LET_DOWN,
    Ingredient,
    Pile,
    ingredients_of,
    multiple,
    pile_of,
    puddle,
    search,
)
from refmatch.dabs.correct import MOST_GROWTH, MOST_RISK, Advice, Correction, correct
from refmatch.paint.box import Box
from refmatch.recipe.mixture import predict
from refmatch.recipe.rank import TUBE_PRICE
from tests.recipe.boxes import garden_table

SURE = 0.05 * np.eye(3)
RECIPE = [("ultramarine", 4.0), ("burnt sienna", 3.0), ("titanium white", 13.0)]


@pytest.fixture(scope="module")
def box() -> Box:
    return garden_table()


def mixed(box: Box, portions: list[tuple[str, float]]) -> Array:
    return predict([box.tube(name) for name, _ in portions], [parts for _, parts in portions])


def with_additions(
    portions: list[tuple[str, float]], found: Correction, share: float = 1.0
) -> list[tuple[str, float]]:
    added = [
        (tube, each.parts * own)
        for each in found.additions
        for tube, own in each.ingredient.own_parts
    ]
    return [*((tube, share * parts) for tube, parts in portions), *added]


def advised(box: Box, mix: list[tuple[str, float]], target: Array, **more: object) -> Advice:
    given = {"doubt": SURE, **more}
    return correct(pile_of(box, mix), target, ingredients_of(box, mix), **given)  # type: ignore[arg-type]


def test_a_pile_is_what_the_mixing_model_says(box: Box) -> None:
    assert np.allclose(pile_of(box, RECIPE).lab, mixed(box, RECIPE))
    let_down = next(i for i in ingredients_of(box) if i.kind == LET_DOWN)
    only = Pile(let_down.absorption, let_down.scattering, 1.0)
    assert np.allclose(only.lab, mixed(box, list(let_down.own_parts)))


def test_what_is_promised_is_what_the_mixing_model_gives(box: Box) -> None:
    draw = np.random.default_rng(2)
    for _ in range(12):
        mix = [(name, float(draw.integers(1, 12))) for name, _ in RECIPE]
        found = advised(box, mix, mixed(box, mix) + draw.normal(0.0, 4.0, 3))
        for each in found.corrections:
            share = 1.0 / 3.0 if found.divide else 1.0
            assert np.allclose(
                mixed(box, with_additions(mix, each, share)), each.predicted_lab, atol=1e-6
            )
            assert 1 <= len(each.additions) <= 2
            halves = [
                2.0 * a.parts * each.counted_parts / (share * sum(p for _, p in mix))
                for a in each.additions
            ]
            assert np.allclose(halves, np.round(halves))
            grown = sum(a.parts for a in each.additions) / sum(p for _, p in mix)
            assert grown <= MOST_GROWTH + 1e-9


def priced(x: float, y: float, pile: Pile) -> float:
    return TUBE_PRICE * (x > 0.0 and y > 0.0) + GROWTH_PRICE * (x + y) / pile.parts


def tried(pile: Pile, target: Array, few: list[Ingredient]) -> float:
    """Return the least distance and price of any one or two things, one after another."""
    best, unit = np.inf, HALF / multiple(pile.parts)
    steps = int(MOST_GROWTH * pile.parts / unit + 1e-9)
    for one, other in itertools.combinations(few, 2):
        for x, y in itertools.product(range(steps + 1), repeat=2):
            if 1 <= x + y <= steps:
                k = pile.parts * pile.absorption + unit * (
                    x * one.absorption + y * other.absorption
                )
                s = pile.parts * pile.scattering + unit * (
                    x * one.scattering + y * other.scattering
                )
                lab = Pile(k, s, 1.0, pile.surface).lab
                best = min(best, float(delta_e_00(lab, target)) + priced(unit * x, unit * y, pile))
    return best


@pytest.mark.parametrize("seed", range(6))
def test_the_search_comes_as_near_as_trying_everything(box: Box, seed: int) -> None:
    """Four ingredients, ten parts: few enough to try all, one pile at a time."""
    draw = np.random.default_rng(seed)
    mix = [("ultramarine", 3.0), ("burnt sienna", 2.0), ("titanium white", 5.0)]
    pile = pile_of(box, mix)
    target = pile.lab + draw.normal(0.0, 3.0, 3)
    few = [i for i in ingredients_of(box, mix) if i.kind != LET_DOWN]
    few = [few[at] for at in draw.choice(len(few), 4, replace=False)]
    found = search(pile, target, few, MOST_GROWTH * pile.parts)
    ways = zip(found.distance, found.parts, strict=True)
    nearest = min(distance + priced(x, y, pile) for distance, (x, y) in ways)
    assert nearest == pytest.approx(tried(pile, target, few), abs=0.005)


def test_too_much_white_is_mended_with_core(box: Box) -> None:
    """Common practice, no source: that is what the third kept back is for."""
    mix = [("ultramarine", 4.0), ("burnt sienna", 3.0), ("titanium white", 18.0)]
    found = advised(box, mix, mixed(box, RECIPE))
    assert CORE in {a.ingredient.kind for a in found.corrections[0].additions}
    assert "the core" in found.words
    assert found.corrections[0].predicted_delta_e_00 < 1.0


def test_too_little_white_is_mended_with_white(box: Box) -> None:
    mix = [("ultramarine", 4.0), ("burnt sienna", 3.0), ("titanium white", 9.0)]
    (first, *_) = advised(box, mix, mixed(box, RECIPE)).corrections
    assert [a.ingredient.name for a in first.additions] == ["titanium white"]
    assert first.predicted_delta_e_00 < 1.0


def test_the_neighbours_puddle_may_serve(box: Box) -> None:
    """A neighbour that holds just what is missing, in place of two tubes."""
    mix = [("ultramarine", 4.0), ("titanium white", 13.0)]
    warm = [("burnt sienna", 2.0), ("yellow ochre", 2.0), ("pyrrole red", 1.0)]
    target = mixed(box, [*mix, ("burnt sienna", 0.8), ("yellow ochre", 0.8), ("pyrrole red", 0.4)])
    at_hand = (*ingredients_of(box, mix), puddle("pear", box, warm))
    found = correct(pile_of(box, mix), target, at_hand, doubt=SURE)
    assert [a.ingredient.name for a in found.corrections[0].additions] == ["pear"]
    assert "the puddle 'pear'" in found.words


def test_a_leftover_is_not_used_beyond_what_there_is(box: Box) -> None:
    mix = [("ultramarine", 4.0), ("titanium white", 13.0)]
    little = replace(puddle("rest", box, [("burnt sienna", 1.0)]), most_parts=0.5)
    target = mixed(box, [*mix, ("burnt sienna", 3.0)])
    found = search(pile_of(box, mix), target, [little], 8.5)
    assert found.parts.max() == 0.5


def test_nothing_is_advised_within_the_doubt(box: Box) -> None:
    target = pile_of(box, RECIPE).lab + np.array([1.5, 0.0, 0.0])
    assert advised(box, RECIPE, target).corrections
    found = advised(box, RECIPE, target, doubt=4.0 * np.eye(3))
    assert found.delta_e_00 <= found.doubt_delta_e_00
    assert found.corrections == ()
    assert found.words.startswith("Leave it")
    assert not found.fresh


def test_nothing_is_advised_that_may_well_make_it_worse(box: Box) -> None:
    draw = np.random.default_rng(8)
    for _ in range(15):
        spread = draw.uniform(0.2, 2.0)
        target = pile_of(box, RECIPE).lab + draw.normal(0.0, 3.0, 3)
        for each in advised(box, RECIPE, target, doubt=spread**2 * np.eye(3)).corrections:
            assert each.risk <= MOST_RISK
            assert each.gain > 0.0


def test_what_would_take_too_much_paint_is_divided(box: Box) -> None:
    """As light again: half of the puddle in white does not do it, a third of it corrected does."""
    mix = [("ultramarine", 8.0), ("burnt sienna", 6.0), ("titanium white", 6.0)]
    target = mixed(box, [("ultramarine", 8.0), ("burnt sienna", 6.0), ("titanium white", 26.0)])
    found = advised(box, mix, target)
    assert found.divide
    assert found.words.startswith("Divide the puddle: correct a third, leave the rest.")
    assert found.corrections[0].growth > MOST_GROWTH


def test_after_two_corrections_it_is_mixed_anew(box: Box) -> None:
    target = pile_of(box, RECIPE).lab + np.array([5.0, 0.0, 0.0])
    assert advised(box, RECIPE, target, round_number=2).corrections
    found = advised(box, RECIPE, target, round_number=3)
    assert (found.corrections, found.fresh) == ((), True)
    assert "keep this puddle for greys" in found.words


def test_what_cannot_be_closed_is_named(box: Box) -> None:
    """White and black make no grey stronger."""
    grey = [("titanium white", 10.0), ("ivory black", 2.0)]
    pile = pile_of(box, grey)
    at_hand = [puddle(name, box, [(name, 1.0)], "tube") for name, _ in grey]
    found = correct(pile, pile.lab + np.array([0.0, 30.0, 20.0]), at_hand, doubt=SURE)
    assert (found.corrections, found.fresh) == ((), True)
    assert "dull" in found.why_none or "cold" in found.why_none
    assert "Mix it fresh" in found.words
    assert correct(pile, pile.lab + np.array([9.0, 0.0, 0.0]), [], doubt=SURE).fresh


def test_strong_paint_goes_in_last_and_by_touches(box: Box) -> None:
    """Strong into weak: common practice, no source."""
    draw = np.random.default_rng(4)
    for _ in range(15):
        target = pile_of(box, RECIPE).lab + draw.normal(0.0, 4.0, 3)
        for each in advised(box, RECIPE, target).corrections:
            strengths = [a.ingredient.strength for a in each.additions]
            assert strengths == sorted(strengths)
            whole = each.counted_parts
            last = each.additions[-1]
            if last.parts < 0.05 * whole:
                assert each.words.rstrip(".").endswith("in touches")


@pytest.mark.parametrize(("parts", "count"), [(2.0, 5), (4.0, 3), (9.0, 2), (10.0, 1), (32.0, 1)])
def test_a_small_puddle_is_counted_as_more_parts(parts: float, count: int) -> None:
    assert multiple(parts) == count


def test_what_a_small_puddle_is_counted_as_is_in_halves(box: Box) -> None:
    """No hand lays out a sixth of a part (common practice, no source)."""
    mix = [("ultramarine", 1.1), ("burnt sienna", 0.8), ("titanium white", 2.4)]
    (first, *_) = advised(box, mix, mixed(box, RECIPE)).corrections
    assert first.counted_parts == pytest.approx(12.9)
    assert "ount the puddle as 13 parts, and add" in first.words
