"""A lamp that nobody told: the paints beside neutrals say which it may be, and what that leaves."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.dabs.belief import look
from refmatch.dabs.beside import grey_card, paint
from refmatch.dabs.camera import generic_camera
from refmatch.dabs.fuse import agreement, predict_piles
from refmatch.dabs.measured import Measured, any_of, measure
from refmatch.dabs.spot import WET, Spot
from refmatch.paint.box_file import built_in_box
from refmatch.recipe.doubt import uncertainty
from tests.virtual_studio.camera import camera_of, grey, photographed
from tests.virtual_studio.paints import AS_REAL, other_makers

BOX = built_in_box()
NAMES = [tube.name for tube in BOX.tubes]
SEEDS = range(40, 52)


def parts_of(*recipes):
    rows = np.zeros((len(recipes), len(NAMES)))
    for row, recipe in zip(rows, recipes, strict=True):
        for name, parts in recipe.items():
            row[NAMES.index(name)] = parts
    return rows


PILES = parts_of(
    {"titanium white": 10.0, "phthalo green": 0.5},
    {"titanium white": 12.0, "cerulean blue": 4.0},
    {"titanium white": 8.0, "pyrrole red": 2.0},
    {"titanium white": 8.0, "ultramarine": 2.0},
    {"titanium white": 8.0, "yellow ochre": 4.0},
)
ENDS = parts_of({"titanium white": 1.0}, {"ivory black": 1.0})


def photo(light, seed):
    """Painters' dabs beside a grey card, white and black: the dabs' true Lab, spots, neutrals."""
    studio = other_makers(BOX.tubes, seed, AS_REAL)
    surfaces = [studio.reflectance(PILES), grey(50.0)[None], studio.reflectance(ENDS)]
    shot = photographed(np.concatenate(surfaces), camera_of(light, seed), seed)
    sigma = np.maximum(shot.spread / 4.0, 1e-4)
    spots = [
        Spot(x, s, tuple(map(bool, high)), tuple(map(bool, low)))
        for x, s, high, low in zip(shot.xyz, sigma, shot.high, shot.low, strict=True)
    ]
    dabs, (card, *ends) = spots[: len(PILES)], spots[len(PILES) :]
    known = [grey_card(np.array([50.0, 0.0, 0.0]), card)]
    known += [paint(BOX, end, spot, WET) for end, spot in zip(ENDS, ends, strict=True)]
    return studio.lab(PILES), dabs, known


def test_any_of_several_readings_has_the_moments_of_the_mixture():
    """Against draws from the mixture itself."""
    rng = np.random.default_rng(3)
    labs, weights = rng.normal(0.0, 3.0, (3, 2, 3)), np.array([0.5, 0.2, 0.3])
    roots = rng.normal(0.0, 1.0, (3, 6, 6))
    readings = [
        Measured(lab, root @ root.T, (), np.ones((2, 31)))
        for lab, root in zip(labs, roots, strict=True)
    ]
    which = rng.choice(3, 200_000, p=weights)
    off = np.einsum("nij,nj->ni", roots[which], rng.standard_normal((len(which), 6)))
    drawn = labs.reshape(3, 6)[which] + off
    found = any_of(readings, weights)
    np.testing.assert_allclose(found.lab.ravel(), drawn.mean(axis=0), atol=0.05)
    np.testing.assert_allclose(found.covariance, np.cov(drawn.T), atol=0.4)


def test_recipes_agree_best_with_the_lamp_that_it_was():
    """Paints of other makers, as one card of five dabs shows them."""
    predicted, right = predict_piles(BOX, PILES), 0
    for light, other in (("D50", "A"), ("A", "D50")):
        for seed in SEEDS:
            _, dabs, known = photo(light, seed)
            agree = [
                agreement(
                    predicted,
                    measure(dabs, predicted.reflectance, known, generic_camera(name)),
                )
                for name in (light, other)
            ]
            right += agree[0] > agree[1]
    assert right >= 18, "of 24 photos"


@pytest.mark.parametrize("light", ["D50", "A"])
def test_what_is_believed_of_dabs_under_an_untold_lamp_is_as_sure_as_it_says(light):
    off, stated = [], []
    for seed in SEEDS:
        true, dabs, known = photo(light, seed)
        found = look(BOX, PILES, dabs, known).estimated
        off += list(delta_e_00(found.lab, true))
        stated += [
            uncertainty(found.lab[pile], found.covariance_of(pile)) for pile in range(len(PILES))
        ]
    p50, p90 = np.array(stated).T
    assert np.mean(off <= p90) >= 0.8
    assert np.median(p50) <= 1.6 * np.median(off)
