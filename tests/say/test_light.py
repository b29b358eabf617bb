"""The light of a photo in words."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.photo.light.balance import Balance, as_shot
from refmatch.photo.light.locus import Temperature, temperature_of
from refmatch.say.light import cast_words, kelvin_words, light_words


@pytest.mark.parametrize(
    ("kelvin", "duv", "words"),
    [
        (3210.0, 0.0, "warm, about 3200 K"),
        (2400.0, 0.0, "very warm, about 2400 K"),
        (4500.0, 0.003, "slightly warm, about 4500 K"),
        (7900.0, 0.003, "cool, about 8000 K"),
        (4000.0, 0.03, "warm and greenish, about 4000 K"),
        (5003.0, -0.008, "slightly pinkish, about 5000 K"),
        (5003.0, 0.06, "greenish"),
        (15000.0, 0.003, "very cool, above 15000 K"),
    ],
)
def test_the_cast_in_words(kelvin, duv, words):
    assert cast_words(Temperature(kelvin, duv)) == words


def test_the_photo_s_own_white_has_no_cast():
    assert cast_words(temperature_of(ICC_WHITE)) == "no cast to speak of"


def test_what_was_kept_is_said():
    balance = Balance(
        "neutral", np.eye(3), cast_kelvin=3200.0, cast_duv=0.0, keep_light_percent=40.0
    )
    assert light_words(balance) == "warm, about 3200 K; 40 % of it kept"
    assert light_words(replace(balance, keep_light_percent=0.0)) == "warm, about 3200 K"
    assert light_words(as_shot()) == "as shot, nothing removed"


def test_no_more_is_said_than_the_black_bodies_reach():
    assert kelvin_words(1000.0) == "below 1000 K"
