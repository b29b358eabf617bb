"""The small picture is made once a photo, and goes with it; tiny photos are no exception."""

from __future__ import annotations

import gc

import numpy as np
import pytest

from refmatch.photo import photo as overview_module
from refmatch.photo.light import estimate
from refmatch.photo.light.balance import AskedLight, as_shot
from refmatch.photo.masses import find
from refmatch.photo.photo import OVERVIEW_PX, overview
from refmatch.photo.values import LEVELS, squint, study
from tests.photo.made_photos import photo_of_srgb


def test_a_second_look_costs_nothing():
    photo = photo_of_srgb(np.full((700, 900, 3), 90, np.uint8))
    first = overview(photo)
    assert max(first.xyz.shape) <= OVERVIEW_PX
    assert overview(photo) is first


def test_it_goes_when_its_photo_goes():
    photo = photo_of_srgb(np.full((70, 90, 3), 90, np.uint8))
    gc.collect()  # photos of the tests before
    before = len(overview_module._by_size)
    overview(photo)
    assert len(overview_module._by_size) == before + 1
    del photo
    gc.collect()
    assert len(overview_module._by_size) == before


@pytest.mark.parametrize("shape", [(1, 1), (2, 3), (1, 40), (9, 9)])
def test_tiny_photos_are_photos(shape):
    samples = np.random.default_rng(1).integers(30, 220, (*shape, 3), dtype=np.uint8)
    photo = photo_of_srgb(samples)
    assert estimate(photo, AskedLight()).method == "as-shot"
    families = find(photo, as_shot())
    assert sum(family.share for family in families.items) == pytest.approx(1.0)
    for family in families.items:
        assert 0.0 < family.hole.x_px < shape[1]
        assert 0.0 < family.hole.y_px < shape[0]
    for levels in LEVELS:
        assert study(photo, as_shot(), levels).image.shape == shape
    assert squint(photo, as_shot()).xyz.shape == (*shape, 3)
