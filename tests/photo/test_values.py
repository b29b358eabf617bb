"""Value studies against Otsu's method in scikit-image, and pictures of known values."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from skimage.filters import threshold_multiotsu, threshold_otsu

from refmatch.colorimetry.hues import lstar_from_value, luminance_from_value
from refmatch.errors import UsageError
from refmatch.photo.light.balance import as_shot
from refmatch.photo.studies import values_study
from refmatch.photo.values import LEVELS, best_starts, squint, study
from refmatch.say.sentence import sentence_of
from tests.photo.made_photos import patches, photo_of_srgb, photo_of_xyz, photograph
from tests.refusals import refused

GREY = np.array([0.9642, 1.0, 0.8249])
PHOTOGRAPHS = ("coffee", "chelsea", "astronaut", "rocket")


def of_values(values: np.ndarray):  # type: ignore[no-untyped-def]
    """Return the photo of greys of these Munsell values, (rows, columns)."""
    return photo_of_xyz(luminance_from_value(values)[..., None] / 100.0 * GREY)


def steps_of(name: str) -> np.ndarray:
    """Return the photograph's Munsell values in 256 steps."""
    picture = photo_of_srgb(photograph(name)).working(320)
    from refmatch.photo.values import _simplified, _steps_of

    return _simplified(_steps_of(picture.xyz[..., 1]))


@pytest.mark.parametrize("name", PHOTOGRAPHS)
def test_two_values_part_at_otsu_s_threshold(name):
    """scikit-image's `threshold_otsu` on the same Munsell values."""
    steps = steps_of(name)
    starts = best_starts(np.bincount(steps.ravel(), minlength=256).astype(float), 2)
    assert starts[1] == int(threshold_otsu(steps)) + 1


@pytest.mark.parametrize("name", PHOTOGRAPHS)
def test_three_values_part_at_otsu_s_thresholds(name):
    """scikit-image's `threshold_multiotsu`, an exhaustive search."""
    steps = steps_of(name)
    starts = best_starts(np.bincount(steps.ravel(), minlength=256).astype(float), 3)
    np.testing.assert_allclose(starts[1:], threshold_multiotsu(steps, classes=3) + 1, atol=1)


@pytest.mark.parametrize("levels", [2, 3, 4])
def test_no_other_division_is_more_even(levels):
    """Every division of a small histogram, tried in turn."""
    counts = np.random.default_rng(levels).integers(0, 9, 14).astype(float)
    occupied = np.flatnonzero(counts)

    def squares(starts: tuple[int, ...]) -> float:
        total = 0.0
        for first, after in itertools.pairwise([*starts, 14]):
            n, x = counts[first:after], np.arange(first, after)
            total += float(np.sum(n * (x - np.sum(n * x) / n.sum()) ** 2))
        return total

    least = min(
        squares((int(occupied[0]), *cut))
        for cut in itertools.combinations(occupied[1:].tolist(), levels - 1)
    )
    assert squares(tuple(best_starts(counts, levels).tolist())) == pytest.approx(least)


@pytest.mark.parametrize("levels", LEVELS)
def test_a_picture_of_known_values_comes_back(levels):
    truth = np.linspace(1.0, 9.0, levels)
    image = np.repeat(np.repeat(truth[None, :], 60, axis=0), 20, axis=1)
    made = study(of_values(image), as_shot(), levels)
    np.testing.assert_allclose(made.values, truth, atol=0.01)
    np.testing.assert_allclose(made.shares, 1.0 / levels)
    np.testing.assert_allclose(made.thresholds, (truth[1:] + truth[:-1]) / 2.0, atol=0.05)
    np.testing.assert_array_equal(made.image[30], np.repeat(np.arange(levels), 20))
    assert not made.flags


@pytest.mark.parametrize("name", PHOTOGRAPHS)
@pytest.mark.parametrize("levels", LEVELS)
def test_the_study_of_a_photograph_is_in_order(name, levels):
    made = study(photo_of_srgb(photograph(name)), as_shot(), levels)
    assert len(made.values) == levels
    assert sum(made.shares) == pytest.approx(1.0)
    assert min(made.shares) > 0.0
    ladder = [v for pair in itertools.zip_longest(made.values, made.thresholds) for v in pair]
    assert ladder[:-1] == sorted(ladder[:-1])  # value, threshold, value, ... rising


def test_light_and_shadow():
    """A lit half and a shaded half, each of light and dark things: the halves part."""
    things = np.random.default_rng(1).uniform(-0.8, 0.8, (12, 16))
    things[:, :8] += 3.0
    things[:, 8:] += 7.5
    made = study(of_values(np.kron(things, np.ones((12, 12)))), as_shot(), 2)
    assert np.all(made.image[:, :90] == 0)
    assert np.all(made.image[:, 102:] == 1)
    assert 3.8 < made.thresholds[0] < 6.7


def test_fewer_values_than_levels_is_said():
    made = study(of_values(np.kron(np.array([[3.0, 7.0]]), np.ones((40, 40)))), as_shot(), 5)
    np.testing.assert_allclose(made.values, [3.0, 7.0], atol=0.02)
    assert [flag.name for flag in made.flags] == ["few_values"]
    assert "only 2 different values" in sentence_of(made.flags[0])
    (flag,) = study(of_values(np.full((40, 40), 5.0)), as_shot(), 5).flags
    assert "only one value" in sentence_of(flag)


def test_a_fleck_is_left_out_and_a_border_stays():
    values = np.full((240, 320), 3.0)
    values[:, 160:] = 7.0
    values[100, 50] = 9.0
    image = study(of_values(values), as_shot(), 2).image
    np.testing.assert_array_equal(image, np.repeat([[0] * 160 + [1] * 160], 240, axis=0))


@pytest.mark.parametrize("levels", [0, 1, 4, 12])
def test_other_numbers_of_levels_are_refused(levels):
    with refused(UsageError, match="ask for 2, 3, 5 or 7"):
        study(of_values(np.full((20, 20), 5.0)), as_shot(), levels)


def test_a_level_is_shown_in_its_own_grey():
    made = study(of_values(np.kron(np.array([[3.0, 7.0]]), np.ones((40, 40)))), as_shot(), 2)
    shown = values_study(made, (80, 40))
    lstar = lstar_from_value(np.array([3.0, 7.0]))
    from skimage.color import lab2rgb

    expected = lab2rgb(np.stack([lstar, 0 * lstar, 0 * lstar], axis=-1)[None])[0] * 255.0
    np.testing.assert_allclose(shown[20, [20, 60]], expected, atol=1.0)


def test_a_squint_blurs_light_and_keeps_its_sum():
    """A bright spot spreads as light does: the mean luminance stays, values do not average."""
    y = np.full((200, 200), 0.05)
    y[90:110, 90:110] = 1.0
    seen = squint(photo_of_xyz(y[..., None] * GREY), as_shot())
    assert seen.xyz[..., 1].mean() == pytest.approx(y.mean(), rel=1e-3)
    assert seen.xyz[100, 100, 1] < 1.0
    assert seen.value.shape == y.shape
    assert seen.value[100, 100] > seen.value[100, 80] > seen.value[100, 60]


def test_a_squint_of_stripes_is_lighter_than_the_mean_of_their_values():
    """Black and white stripes blend to half the light, value 7½, not to value 5."""
    stripes = np.where(np.arange(200) % 2 == 0, 0.0, 10.0)
    seen = squint(of_values(np.repeat(stripes[None], 200, axis=0)), as_shot())
    assert seen.value[100, 100] == pytest.approx(7.5, abs=0.15)


def test_colours_of_one_value_are_one_level():
    """Red, green and grey of L* 50: a value study does not see hue."""
    from refmatch.colorimetry.lab import lab_to_xyz

    labs = np.array([[50.0, 50, 20], [50, -40, 20], [50, 0, 0], [80, 0, 0]])
    photo = photo_of_xyz(lab_to_xyz(patches(labs, 2), GREY))
    image = study(photo, as_shot(), 2).image
    assert image[20, 20] == image[20, 60] == image[60, 20] == 0
    assert image[60, 60] == 1
