"""Targets and where they lie; which Lab no surface can have is in `test_solid`."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.target import Target, places_px

GREY = np.array([50.0, 0.0, 0.0])


def test_places_are_told_in_the_order_of_the_targets() -> None:
    targets = [Target("jug", GREY, 9.0, 4.0), Target("pear", GREY, 2.5, 7.0)]
    places = places_px(targets)
    assert places is not None
    assert places.tolist() == [[9.0, 4.0], [2.5, 7.0]]


@pytest.mark.parametrize("other", [Target("typed in", GREY), Target("half", GREY, 3.0)])
def test_one_target_without_a_place_leaves_none(other: Target) -> None:
    assert places_px([Target("jug", GREY, 9.0, 4.0), other]) is None
