"""Recipe and photo weighed together, against the closed form and in the virtual studio."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.dabs.camera import generic_camera, lamp
from refmatch.dabs.chart_colours import as_known, chart_patches
from refmatch.dabs.fuse import Predicted, fuse, fused_before, predict_piles, with_earlier
from refmatch.dabs.measured import Measured, bent_to, measure
from refmatch.dabs.spot import Known, Spot
from refmatch.paint.box_file import built_in_box
from refmatch.recipe.doubt import covariance, uncertainty
from refmatch.recipe.mixture import Palette
from tests.dabs.test_chart import photographed
from tests.virtual_studio.camera import camera_of, chart, grey
from tests.virtual_studio.camera import photographed as shot_of
from tests.virtual_studio.instrument import random_mixes
from tests.virtual_studio.paints import another_painters
from tests.virtual_studio.scene import scene_of

BOX = built_in_box()
SURE = np.full(3, 1e-4)

CLOSE = 0.2
"""Colours this near to each other agree, with the covariances of `positive`."""


def positive(rng, size, scale=1.0):
    root = rng.normal(size=(size, size))
    return scale * (root @ root.T / size + 0.1 * np.eye(size))


def test_weighing_is_the_closed_form_of_two_gaussians():
    """(A^-1 + B^-1)^-1 (A^-1 a + B^-1 b): any handbook of statistics."""
    rng = np.random.default_rng(4)
    a, aa, bb = rng.normal(size=6), positive(rng, 6), positive(rng, 6, 3.0)
    b = a + CLOSE * rng.normal(size=6)
    by_modes = rng.normal(size=(2, 6, 4)) * 0.1
    predicted = Predicted(a.reshape(2, 3), np.ones((2, 31)), aa, np.ones((2, 4, 62)), by_modes)
    found = fuse(predicted, Measured(b.reshape(2, 3), bb, (), np.ones((2, 31))))
    both = np.linalg.inv(np.linalg.inv(aa) + np.linalg.inv(bb))
    mean = both @ (np.linalg.solve(aa, a) + np.linalg.solve(bb, b))
    np.testing.assert_allclose(found.lab.ravel(), mean, atol=1e-9)
    np.testing.assert_allclose(found.covariance, both, atol=1e-9)


def one_pile(lab, covariance):
    """A pile by its recipe, of one tube that is off in one way."""
    slopes = np.linalg.cholesky(covariance)[None, :, :1]
    return Predicted(lab[None], np.ones((1, 31)), covariance, np.ones((1, 1, 62)), slopes)


def photo_of(lab, covariance):
    return Measured(lab[None], covariance, (), np.ones((1, 31)))


def test_what_is_believed_goes_over_to_the_photo_as_the_recipe_strays():
    """The mean of a wrong slip and a photo is neither, so the stranger it is the less it counts."""
    rng = np.random.default_rng(11)
    recipe, photo = positive(rng, 3), positive(rng, 3)
    way = rng.normal(size=3)
    left = []
    for far in np.linspace(0.0, 40.0, 801)[1:]:
        found = fuse(one_pile(np.zeros(3), recipe), photo_of(far * way, photo))
        left.append(far * way - found.lab[0])
        assert np.linalg.eigvalsh(photo - found.covariance).min() > -1e-9
    sizes = np.linalg.norm(left, axis=1)
    assert sizes[-1] < 0.2 * sizes.max()
    assert np.abs(np.diff(sizes)).max() < 0.2 * sizes.max(), "no step on the way"
    np.testing.assert_allclose(found.covariance, photo, rtol=0.05, atol=0.02)


def test_a_pile_that_strays_says_little_of_its_tubes():
    """A wrong slip is no reason to think other of the paint."""
    rng = np.random.default_rng(12)
    recipe, photo, way = positive(rng, 3), positive(rng, 3), rng.normal(size=3)
    moved = [
        float(np.abs(fuse(one_pile(np.zeros(3), recipe), photo_of(far * way, photo)).tubes).max())
        for far in (1.0, 40.0)
    ]
    assert moved[1] < 0.3 * moved[0]


def test_the_photo_is_found_again_in_what_was_believed_of_a_pile_that_strays():
    rng = np.random.default_rng(13)
    recipe, photo, lab = positive(rng, 3), positive(rng, 3), np.array([8.0, -5.0, 3.0])
    belief = fuse(one_pile(np.zeros(3), recipe), photo_of(lab, photo))
    precision, pull = fused_before(belief.lab[0], belief.covariance, np.zeros(3), recipe)
    np.testing.assert_allclose(np.linalg.inv(precision), photo, rtol=1e-3, atol=1e-4)
    np.testing.assert_allclose(np.linalg.solve(precision, pull), lab, rtol=1e-3, atol=1e-3)


def test_errors_that_go_together_leave_more_in_doubt():
    rng = np.random.default_rng(5)
    predicted = Predicted(
        np.zeros((1, 3)),
        np.ones((1, 31)),
        positive(rng, 3),
        np.zeros((1, 1, 62)),
        np.zeros((1, 3, 1)),
    )
    measured = Measured(np.ones((1, 3)), positive(rng, 3), (), np.ones((1, 31)))
    apart, alike = fuse(predicted, measured), fuse(predicted, measured, 0.5)
    np.testing.assert_allclose(alike.lab, apart.lab)
    assert np.linalg.eigvalsh(alike.covariance - apart.covariance).min() > -1e-9
    assert np.trace(alike.covariance) > 1.2 * np.trace(apart.covariance)


def test_a_recipe_speaks_once_however_often_its_puddle_is_photographed():
    """Recipe and two photos: the closed form of three Gaussians, any handbook of statistics."""
    rng = np.random.default_rng(6)
    labs = [CLOSE * rng.normal(size=3) for _ in range(3)]
    recipe, *photos = doubts = [positive(rng, 3) for _ in range(3)]
    predicted = Predicted(
        labs[0][None], np.ones((1, 31)), recipe, np.ones((1, 4, 62)), np.zeros((1, 3, 4))
    )
    first, second = (
        Measured(lab[None], doubt, (), np.ones((1, 31)))
        for lab, doubt in zip(labs[1:], photos, strict=True)
    )
    belief = fuse(predicted, first)
    before = {0: fused_before(belief.lab[0], belief.covariance, labs[0], recipe)}
    found = fuse(predicted, with_earlier(second, before, 0.0))
    both = np.linalg.inv(sum(np.linalg.inv(doubt) for doubt in doubts))
    mean = both @ sum(np.linalg.solve(d, lab) for d, lab in zip(doubts, labs, strict=True))
    np.testing.assert_allclose(found.lab[0], mean, atol=1e-9)
    np.testing.assert_allclose(found.covariance, both, atol=1e-9)
    wider = fuse(predicted, with_earlier(second, before, 0.5)).covariance
    assert np.linalg.eigvalsh(wider - found.covariance).min() > 0.0


def test_a_belief_no_surer_than_the_recipe_tells_nothing():
    rng = np.random.default_rng(7)
    recipe, lab = positive(rng, 3), rng.normal(size=3)
    precision, pull = fused_before(lab + CLOSE, 1.5 * recipe, lab, recipe)
    np.testing.assert_allclose(precision, 0.0)
    np.testing.assert_allclose(pull, 0.0)


def test_a_faithful_camera_measures_the_true_colour():
    """The CIE observer under D50, no tone curve: nothing is left to find out but the paint.

    The eye is none of the bodies that cameras are believed to be like; here it is what is believed.
    """
    studio = another_painters(BOX.tubes, 31)
    parts = random_mixes(studio, 30, 31)
    surfaces = studio.reflectance(parts)
    seen = photographed(np.concatenate([surfaces, grey(50.0)[None], chart_patches()]))
    spots = [Spot(xyz=xyz, sigma=SURE) for xyz in seen[:30]]
    told = [grey(50.0), *chart_patches()]
    known = [Known("", Spot(xyz, SURE), r) for r, xyz in zip(told, seen[30:], strict=True)]
    guesses = Palette.of(BOX.tubes).reflectance(parts)
    eye = replace(generic_camera("D50"), weights=lamp("D50"))
    measured = measure(spots, guesses, known, eye)
    true = reflectance_to_lab(surfaces)
    off = delta_e_00(measured.lab, true)
    assert np.median(off) < 0.25
    assert np.median(off) < 0.1 * np.median(delta_e_00(reflectance_to_lab(guesses), true))


def test_a_clipped_channel_is_a_bound_and_not_a_value():
    """A dab that is brighter than its photo can tell keeps what its recipe says of it."""
    white = Palette.of(BOX.tubes).reflectance(np.eye(len(BOX.tubes)))[:1]
    seen = photographed(np.concatenate([white, grey(50.0)[None]]))
    known = [Known("", Spot(seen[1], SURE), grey(50.0))]
    free = Spot(xyz=0.9 * seen[0], sigma=SURE)
    bound = Spot(xyz=0.9 * seen[0], sigma=SURE, high=(True, True, True))
    camera = generic_camera("D50")
    by_value = measure([free], white, known, camera)
    by_bound = measure([bound], white, known, camera)
    recipe = reflectance_to_lab(white)[0]
    assert delta_e_00(by_bound.lab[0], recipe) < 0.2 < 2.0 < delta_e_00(by_value.lab[0], recipe)
    assert np.trace(by_bound.covariance) > 20.0 * np.trace(by_value.covariance)


def test_nothing_known_in_the_photo_is_refused():
    with pytest.raises(ValueError, match="known"):
        measure([Spot(xyz=np.ones(3), sigma=SURE)], np.ones((1, 31)), [], generic_camera())


def test_a_bent_reflectance_has_the_colour_asked_for():
    rng = np.random.default_rng(8)
    parts = random_mixes(another_painters(BOX.tubes, 8), 40, 8)
    for reflectance in Palette.of(BOX.tubes).reflectance(parts):
        lab = reflectance_to_lab(reflectance) + rng.normal(0.0, 2.0, 3)
        if lab[0] < 12.0:
            continue  # black moved by chance may be a colour that no surface has
        bent = bent_to(reflectance, lab)
        np.testing.assert_allclose(reflectance_to_lab(bent), lab, atol=1e-3)
        assert (bent > 0.0).all()


def test_the_joint_doubt_of_one_pile_is_that_of_its_recipe():
    """Of exact parts of measured tubes: `recipe.doubt`, which others hold to the studio."""
    from tests.benchmarks.box_from_photo import joint_with_chart

    box = joint_with_chart(scene_of(9, "D50"))
    parts = random_mixes(another_painters(BOX.tubes, 9), 6, 9)
    palette = Palette.of(box.tubes, box.surface)
    exact = predict_piles(box, parts, hand=0.0)
    for pile, row in enumerate(parts):
        rows = slice(3 * pile, 3 * pile + 3)
        alone = covariance(palette, box.tubes, row, exact.lab[pile])
        np.testing.assert_allclose(exact.covariance[rows, rows], alone, rtol=1e-6, atol=1e-6)


@pytest.mark.parametrize("light", ["D50", "LED-B3"])
def test_with_a_chart_doubt_is_honest_and_weighing_beats_either(light):
    """Studios that no figure was chosen by; the box is learnt from the same phone's photo."""
    from tests.benchmarks.box_from_photo import joint_with_chart

    rows = []
    for seed in (711, 712, 713):
        scene = scene_of(seed, light)
        box = joint_with_chart(scene)
        parts = random_mixes(scene.studio, 20, seed)
        parts[:, scene.studio.white] += parts.sum(axis=1)
        laid = parts * np.exp(np.random.default_rng(seed).normal(0.0, 0.05, parts.shape))
        true = scene.studio.reflectance(laid)
        shot = shot_of(np.concatenate([true, chart()]), camera_of(light, seed), seed + 50)
        spots = [Spot(xyz=x, sigma=SURE) for x in shot.xyz]
        patches = [Known("", spot, r) for r, spot in zip(chart_patches(), spots[20:], strict=True)]
        predicted = predict_piles(box, parts)
        measured = measure(spots[:20], predicted.reflectance, as_known(patches), generic_camera())
        found = fuse(predicted, measured, 0.5)
        lab = reflectance_to_lab(true)
        for i in range(20):
            said = uncertainty(found.lab[i], found.covariance_of(i))[1]
            rows.append([delta_e_00(each.lab[i], lab[i]) for each in (predicted, measured, found)])
            rows[-1].append(rows[-1][2] <= said)
    by_recipe, by_photo, by_both, within = np.array(rows, dtype=float).T
    assert np.median(by_both) < 1.05 * min(np.median(by_recipe), np.median(by_photo))
    assert np.median(by_both) < 1.0
    assert within.mean() >= 0.75


def test_of_tubes_that_nobody_measured_the_doubt_is_as_wide_as_painters_differ():
    """Nine in ten of other painters' mixes lie within the p90 that is said, give or take."""
    within = []
    for seed in range(960, 966):
        studio = another_painters(BOX.tubes, seed)
        parts = random_mixes(studio, 20, seed)
        said = predict_piles(BOX, parts)
        off = delta_e_00(said.lab, studio.lab(parts))
        p90 = [
            uncertainty(lab, said.covariance[3 * n : 3 * n + 3, 3 * n : 3 * n + 3])[1]
            for n, lab in enumerate(said.lab)
        ]
        within += list(off <= np.array(p90))
    assert 0.8 <= np.mean(within) <= 0.97
