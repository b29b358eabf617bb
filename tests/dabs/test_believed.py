"""A puddle that is believed to be something: what is worked in moves it, and thins its doubt."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.dabs.additions import TUBE, ingredients_of, pile_of, puddle
from refmatch.dabs.belief import Belief, box_as_believed, pile_of_colour
from refmatch.dabs.correct import correct
from refmatch.paint.box_file import built_in_box
from refmatch.recipe.mixture import Palette

BOX = built_in_box()
PARTS = (("titanium white", 6.0), ("yellow ochre", 3.0), ("burnt sienna", 1.0))
DOUBT = np.diag([1.0, 0.5, 0.5])


def tube(name):
    return puddle(name, BOX, ((name, 1.0),), TUBE)


def test_more_of_the_same_mix_is_the_same_colour():
    """K and S add up (Duncan 1940): a puddle grows by its own paint without changing."""
    belief = Belief(pile_of(BOX, PARTS), DOUBT)
    grown = belief.with_added([(puddle("the same", BOX, PARTS), 5.0)])
    assert grown.lab == pytest.approx(belief.lab, abs=1e-9)
    assert grown.pile.parts == pytest.approx(15.0)


def test_it_is_the_mix_of_all_parts_where_nothing_was_seen():
    """As the model has the same net parts, laid out at once; a third is a third of the puddle."""
    grown = Belief(pile_of(BOX, PARTS), DOUBT).with_added([(tube("titanium white"), 2.0)], 1 / 3)
    names, parts = zip(*PARTS, strict=True)
    laid = np.array(parts) / 3.0 + np.array([2.0, 0.0, 0.0])
    palette = Palette.of([BOX.tube(name) for name in names], BOX.surface)
    assert grown.lab == pytest.approx(palette.lab(laid), abs=1e-9)


def test_what_is_not_known_is_thinned_by_what_is_added():
    """Of as much again of its own paint the hand's error does not show: half the error is left."""
    belief = Belief(pile_of(BOX, PARTS), DOUBT)
    grown = belief.with_added([(puddle("the same", BOX, PARTS), 10.0)])
    assert grown.covariance == pytest.approx(DOUBT / 4.0, abs=1e-9)


def test_a_correction_followed_leads_where_it_was_said_to():
    names = (*PARTS[:2], ("burnt sienna", 2.0))
    lab = pile_of(BOX, PARTS).lab
    pile = pile_of_colour(BOX, names, pile_of(BOX, names).lab + np.array([1.0, -0.5, 1.0]))
    best = correct(pile, lab, ingredients_of(BOX, names), doubt=0.04 * np.eye(3)).corrections[0]
    share = best.counted_parts and sum(each.parts for each in best.additions) / best.growth
    added = [(each.ingredient, each.parts) for each in best.additions]
    grown = Belief(pile, DOUBT).with_added(added, share / pile.parts)
    assert grown.lab == pytest.approx(best.predicted_lab, abs=1e-6)


def test_a_recipe_seen_is_of_the_colour_seen_and_so_are_its_tubes():
    seen = pile_of(BOX, PARTS).lab + np.array([2.0, 1.0, -1.5])
    pile = pile_of_colour(BOX, PARTS, seen)
    assert delta_e_00(pile.lab, seen) < 0.01
    own = box_as_believed(BOX, PARTS, pile)
    assert pile_of(own, PARTS).lab == pytest.approx(pile.lab, abs=1e-9)
    assert own.tube("ultramarine") is BOX.tube("ultramarine")
