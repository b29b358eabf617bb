"""The two guesses: right where their assumption holds, doubtful where it does not."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.errors import BalanceError
from refmatch.photo.light import estimate
from refmatch.photo.light.balance import AskedLight
from refmatch.photo.light.guess import Scene, angle_deg, grey_edge_light, grey_world_light
from refmatch.say.light import light_words
from refmatch.say.sentence import sentence_of
from tests.photo.made_photos import chart_under, photo_of_srgb, photo_of_xyz, photograph
from tests.refusals import refused

GUESSES = ("grey-world", "grey-edge")


def still_life(illuminant: str) -> np.ndarray:
    """Return XYZ (240, 320, 3) of many overlapping things in the colours of the 24-patch chart.

    Each has its own share of the light; places and shares are invented.
    """
    rng = np.random.default_rng(5)
    colours, light = chart_under(illuminant)
    picture = np.tile(0.4 * light, (240, 320, 1))
    for _ in range(300):
        top, left = rng.integers(0, 220), rng.integers(0, 300)
        height, width = rng.integers(10, 50, 2)
        thing = rng.uniform(0.3, 1.0) * colours[rng.integers(24)]
        picture[top : top + height, left : left + width] = thing
    return 0.7 * picture


def lawn(rng: np.random.Generator) -> np.ndarray:
    """Return sRGB bytes of nothing but grass: invented greens that differ in lightness."""
    light = rng.normal(1.0, 0.25, (240, 320, 1))
    return np.clip(np.array([78.0, 112.0, 42.0]) * light, 0, 254).astype(np.uint8)


def sunset() -> np.ndarray:
    """Return sRGB bytes of a sky from dusky violet to orange over dark ground; invented."""
    down = np.linspace(0.0, 1.0, 240)[:, None, None]
    sky = (1.0 - down) * np.array([96.0, 70.0, 100.0]) + down * np.array([250.0, 140.0, 40.0])
    sky[190:] *= 0.25
    return np.repeat(sky, 320, axis=1).astype(np.uint8)


def names(balance) -> set[str]:  # type: ignore[no-untyped-def]
    return {flag.name for flag in balance.flags}


@pytest.mark.parametrize("method", GUESSES)
@pytest.mark.parametrize("illuminant", ["A", "D50", "D65", "D75"])
def test_a_varied_scene_tells_its_light(method, illuminant):
    """Within 3 degrees: white and grey things among many colours are what the methods ask for."""
    balance = estimate(photo_of_xyz(still_life(illuminant)), AskedLight(method))
    light = chart_under(illuminant)[1]
    left = balance.matrix @ light / (ICC_WHITE / 100.0)
    off = angle_deg(left, np.ones(3))
    print(f"{method} in {illuminant}: {light_words(balance)}, off by {off:.1f}")
    assert angle_deg(left, np.ones(3)) < 3.0
    assert balance.confidence is not None
    assert balance.confidence > 0.5
    assert "one_hue" not in names(balance)


@pytest.mark.parametrize("method", GUESSES)
def test_a_lawn_misleads_and_is_warned_of(method):
    balance = estimate(photo_of_srgb(lawn(np.random.default_rng(2))), AskedLight(method))
    assert {"one_hue", "unlikely_light"} <= names(balance)
    assert "green" in next(sentence_of(flag) for flag in balance.flags if flag.name == "one_hue")
    assert balance.confidence is not None
    assert balance.confidence < 0.1


@pytest.mark.parametrize("method", GUESSES)
def test_a_sunset_misleads_and_is_warned_of(method):
    balance = estimate(photo_of_srgb(sunset()), AskedLight(method))
    assert "one_hue" in names(balance)
    assert balance.confidence is not None
    assert balance.confidence < 0.2


@pytest.mark.parametrize("method", GUESSES)
@pytest.mark.parametrize("name", ["chelsea", "coffee"])
def test_a_photograph_full_of_one_brown_is_warned_of(method, name):
    """A ginger cat close up; a cup on a brown table."""
    balance = estimate(photo_of_srgb(photograph(name)), AskedLight(method))
    assert "one_hue" in names(balance)
    assert balance.confidence is not None
    assert balance.confidence < 0.5


@pytest.mark.parametrize("method", GUESSES)
def test_a_varied_photograph_is_trusted(method):
    balance = estimate(photo_of_srgb(photograph("astronaut")), AskedLight(method))
    assert balance.confidence is not None
    assert balance.confidence > 0.7
    assert not names(balance) & {"one_hue", "estimates_disagree", "unlikely_light"}


@pytest.mark.parametrize("guess", [grey_world_light, grey_edge_light])
def test_a_guess_follows_the_light_gain_for_gain(guess):
    """Both estimators multiply with the light (Finlayson & Trezzi 2004; van de Weijer 2007)."""
    cones = np.random.default_rng(3).uniform(0.02, 1.0, (60, 80, 3)).astype(np.float32)
    usable = np.ones((60, 80), bool)
    gain = np.array([1.6, 1.0, 0.4])
    plain = guess(Scene(cones, usable)) * gain
    lit = guess(Scene((cones * gain).astype(np.float32), usable))
    np.testing.assert_allclose(lit, plain / plain.mean(), rtol=2e-4)


@pytest.mark.parametrize("guess", [grey_world_light, grey_edge_light])
def test_doubling_the_exposure_leaves_the_guess(guess):
    cones = np.random.default_rng(4).uniform(0.02, 0.5, (60, 80, 3)).astype(np.float32)
    usable = np.ones((60, 80), bool)
    np.testing.assert_allclose(
        guess(Scene(cones, usable)), guess(Scene(2.0 * cones, usable)), rtol=1e-4
    )


def test_grey_edge_does_not_see_the_ground_between_edges():
    """A large coloured ground misleads an average but holds no edge (van de Weijer 2007)."""
    cones = np.full((120, 160, 3), [0.5, 0.3, 0.2], np.float32)
    cones[40:80, 60:100] = cones[40:80, 60:100] + np.float32(0.3)  # a step alike in all cones
    scene = Scene(cones, np.ones((120, 160), bool))
    assert angle_deg(grey_edge_light(scene), np.ones(3)) < 0.5
    assert angle_deg(grey_world_light(scene), np.ones(3)) > 5.0


@pytest.mark.parametrize("method", GUESSES)
def test_a_photo_without_light_cannot_be_guessed(method):
    with refused(BalanceError, match="burnt out nor black"):
        estimate(photo_of_srgb(np.zeros((60, 80, 3), np.uint8)), AskedLight(method))


def test_a_photo_left_as_shot_in_lamp_light_is_hinted_at():
    lamp, day = photo_of_xyz(still_life("A")), photo_of_xyz(still_life("D50"))
    hinted = estimate(lamp, AskedLight())
    np.testing.assert_array_equal(hinted.matrix, np.eye(3))
    flag = next(flag for flag in hinted.flags if flag.name == "cast_suspected")
    assert "very warm, about 2" in sentence_of(flag)
    assert "cast_suspected" not in names(estimate(day, AskedLight()))
    assert "cast_suspected" not in names(estimate(lamp, AskedLight("as-shot")))  # it was asked for


@pytest.mark.parametrize("picture", [lawn(np.random.default_rng(2)), sunset()])
def test_no_cast_is_hinted_at_where_the_guess_is_doubtful(picture):
    assert "cast_suspected" not in names(estimate(photo_of_srgb(picture), AskedLight()))
