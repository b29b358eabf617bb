"""The card hides all but the holes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from refmatch.colorimetry.display import decode_srgb, lab_to_srgb8
from refmatch.errors import UsageError
from refmatch.photo.hole import Hole
from refmatch.photo.light.balance import Balance, as_shot
from refmatch.photo.picture import GROUNDS, RIM_PX, picture_of, punched_card
from tests.photo.pictures import photo_of
from tests.refusals import refused

SAMPLES = np.random.default_rng(1).integers(0, 256, (90, 120, 3)).astype(np.uint8)


@pytest.mark.parametrize("ground", GROUNDS)
def test_only_the_holes_show(ground, tmp_path):
    holes = [Hole(40, 30, 30, "1"), Hole(100.4, 70.2, 21, "2"), Hole(0, 89, 20, "3")]
    card = punched_card(photo_of(tmp_path, SAMPLES), as_shot(), holes, ground)
    rows, columns = np.indices((90, 120)) + 0.5
    away = np.min([np.hypot(columns - h.x_px, rows - h.y_px) - h.diameter_px / 2 for h in holes], 0)
    outside, inside = away > RIM_PX + 1, away < -1
    assert np.array_equal(card[inside], SAMPLES[inside])
    assert np.abs(card[outside].astype(int) - lab_to_srgb8(np.array(GROUNDS[ground]))).max() <= 1


def test_the_grounds_are_two_neutrals_and_an_earth():
    assert GROUNDS["grey"] == (50.0, 0.0, 0.0)
    assert GROUNDS["white"][1:] == (0.0, 0.0)
    assert GROUNDS["toned"][2] > 0.0  # an earth is yellowish: common practice, no source


def test_a_hole_lets_through_the_light_of_its_area(tmp_path):
    white = photo_of(tmp_path, np.full((60, 60, 3), 255, np.uint8))
    card = punched_card(white, as_shot(), [Hole(29.3, 30.9, 25.4, "1")])
    bare = punched_card(white, as_shot(), [])
    more = (decode_srgb(card / 255.0) - decode_srgb(bare / 255.0))[..., 1]
    grey = decode_srgb(lab_to_srgb8(np.array(GROUNDS["grey"])) / 255.0)[1]
    rim = math.pi * ((12.7 + RIM_PX) ** 2 - 12.7**2) * grey * 0.45
    assert more.sum() == pytest.approx(math.pi * 12.7**2 * (1 - grey) - rim, rel=0.005)


def test_the_balance_reaches_the_picture(tmp_path):
    photo = photo_of(tmp_path, np.full((6, 6, 3), 255, np.uint8))
    half = Balance("grey-card", 0.5 * np.eye(3), exposure_factor=0.5)
    # IEC 61966-2-1: half the light of white is code 188
    assert np.all(picture_of(photo, half) == 188)


def test_pictures_are_bounded_and_unknown_grounds_refused(tmp_path):
    photo = photo_of(tmp_path, SAMPLES)
    assert max(punched_card(photo, as_shot(), [], longest_side_px=50).shape) <= 50
    with refused(UsageError, match="grey, white, toned"):
        punched_card(photo, as_shot(), [], "purple")
