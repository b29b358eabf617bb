"""The card found again in photos from a known camera, or refused for what stands in the way."""

from __future__ import annotations

import functools

import numpy as np
import pytest

from refmatch.dabs.box_card import compose
from refmatch.dabs.find import find, project
from refmatch.errors import CardError
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import built_in_box
from refmatch.say.sentence import sentence_of
from tests.dabs.studio import (
    DESK,
    Shot,
    drawn,
    fill,
    garden_card,
    lamp,
    photographed,
    to_photo,
)
from tests.dabs.test_compose import LARGE
from tests.refusals import refused

SMALL = {"width_px": 1224, "height_px": 1632}


@functools.cache
def page() -> np.ndarray:
    return drawn(garden_card())


def _refusal(picture: np.ndarray, shot: Shot, card=None) -> str:
    card = card or garden_card()
    photo = photographed(picture, garden_card(), shot)
    with pytest.raises(CardError) as error:
        find(photo, card)
    said = sentence_of(error.value)
    assert "'card.jpg'" in said
    return said


@pytest.mark.parametrize(
    "shot",
    [
        Shot(turn_deg=turn, tilt_deg=tilt, tilt_axis_deg=axis, **SMALL)
        for turn, tilt, axis in [(0, 0, 0), (180, 10, 90), (90, 35, 0), (-63, 35, 45), (45, 35, 90)]
    ],
    ids=lambda shot: f"turned {shot.turn_deg} tilted {shot.tilt_deg} about {shot.tilt_axis_deg}",
)
def test_every_window_is_found_in_a_small_photo_too(shot):
    card = garden_card()
    found = find(photographed(page(), card, shot, lamp), card)
    truth = np.linalg.inv(to_photo(shot, card))
    for window in card.windows:
        seen_mm = project(truth, found.homography.outline_px(window.place))
        # the coarse drawing alone is off by up to half its pixel, 0.08 mm
        assert np.abs(seen_mm - window.place.corners_mm).max() < 0.2
    assert found.tilt_deg == pytest.approx(shot.tilt_deg, abs=3.0)
    assert found.flags == ()


@pytest.mark.parametrize(
    ("offset", "edge"),
    [((-0.45, 0), "left"), ((0.45, 0), "right"), ((0, -0.4), "upper"), ((0, 0.4), "lower")],
)
@pytest.mark.parametrize("turn_deg", [0.0, 90.0])
def test_a_card_half_outside(offset, edge, turn_deg):
    said = _refusal(page(), Shot(turn_deg=turn_deg, offset=offset, fill=0.7, **SMALL))
    assert f"beyond its {edge} edge" in said


def test_a_card_outside_at_a_corner_names_both_edges():
    said = _refusal(page(), Shot(turn_deg=10.0, offset=(-0.2, 0.2), **SMALL))
    assert "beyond its left and lower edge" in said


def test_a_card_of_which_only_a_corner_is_seen():
    """Two markers of ten are left."""
    said = _refusal(page(), Shot(offset=(-0.55, 0.62), fill=0.9, **SMALL))
    assert "beyond its left and lower edge" in said


def test_another_boxs_card():
    other = compose(Box("orchard", built_in_box("garden-table").tubes[:5]))
    assert "shows another card than that of the box 'orchard'" in _refusal(
        page(), Shot(**SMALL), other
    )


def test_no_card_at_all():
    nothing = np.full_like(page(), DESK)
    assert "No marker" in _refusal(nothing, Shot(**SMALL))


def test_two_pages_in_one_photo():
    card = compose(LARGE)
    both = np.concatenate([drawn(card, 1), drawn(card, 2)], axis=1)
    photo = photographed(both, garden_card(), Shot(width_px=2400, height_px=3200, fill=0.45))
    with refused(CardError, match="pages 1 and 2"):
        find(photo, card)


def test_too_small_too_tilted_and_blurred():
    assert "too small" in _refusal(page(), Shot(fill=0.4, **SMALL))
    tilted = _refusal(page(), Shot(tilt_deg=50.0, tilt_axis_deg=90.0))
    assert "at most 40 can be read" in tilted
    assert "tilted by 5" in tilted or "tilted by 49" in tilted
    assert "is blurred" in _refusal(page(), Shot(blur_px=4.2, **SMALL))


def test_a_hand_on_some_markers_does_no_harm_and_on_most_is_said():
    card, covered = garden_card(), page().copy()
    for marker in card.markers[:3]:
        fill(covered, marker.place, DESK)
    found = find(photographed(covered, card, Shot(turn_deg=20.0, **SMALL)), card)
    assert len(found.homography.numbers) == 7
    for marker in card.markers[3:5]:
        fill(covered, marker.place, DESK)
    assert "Only 5 of the page's 10 markers" in _refusal(covered, Shot(**SMALL))
    for marker in card.markers[5:8]:
        fill(covered, marker.place, DESK)
    assert "Only two of the card's markers" in _refusal(covered, Shot(**SMALL))


def test_a_box_of_two_tubes_has_a_page_to_find():
    card = compose(Box("two", (built_in_tube("PW6"), built_in_tube("PB29"))))
    assert find(photographed(drawn(card), card, Shot(**SMALL)), card).page == 1
