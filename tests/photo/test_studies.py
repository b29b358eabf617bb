"""Studies to paint from: at the size asked, smooth at the edge, and with no speck in them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy import ndimage

from refmatch.errors import UsageError
from refmatch.photo.light import estimate
from refmatch.photo.light.balance import AskedLight
from refmatch.photo.load import load
from refmatch.photo.studies import (
    BRUSH,
    LONGEST_PX,
    flat,
    size_of,
    squint_study,
    values_study,
    without_specks,
)
from refmatch.photo.values import squint, study
from tests.refusals import refused

TABLE = Path(__file__).parents[2] / "sample_images" / "garden-table.jpg"
BLACK_AND_WHITE = np.array([[0.0, 0.0, 0.0], [100.0, 0.0, 0.0]])


def disc(side: int, radius: float) -> np.ndarray:
    row, column = np.mgrid[:side, :side] + 0.5
    return ((row - side / 2.0) ** 2 + (column - side / 2.0) ** 2 < radius**2).astype(int)


def test_a_disc_drawn_ten_times_as_large_is_round() -> None:
    """The rim of a true disc lies at one distance from its middle; a staircase's does not."""
    shown = flat(disc(60, 20.0), BLACK_AND_WHITE, (600, 600))[..., 0]
    rim = np.argwhere((shown > 20) & (shown < 235)) + 0.5
    away = np.hypot(*(rim - 300.0).T)
    assert np.ptp(away) < 6.0  # a small pixel's staircase alone would make 10
    assert np.count_nonzero(shown > 127) == pytest.approx(np.pi * 200.0**2, rel=0.03)


def test_the_rim_is_a_mixture_of_light_one_pixel_wide() -> None:
    """Half black and half white light is L* 76, which sRGB writes as 188 (IEC 61966-2-1)."""
    halves = np.repeat([[0] * 30 + [1] * 30], 60, axis=0)
    row = flat(halves, BLACK_AND_WHITE, (601, 600))[300, :, 0]
    assert row[300] == pytest.approx(188, abs=2)
    assert set(row[:300]) == {0}
    assert set(row[301:]) == {255}


def test_no_patch_is_smaller_than_a_brush() -> None:
    generator = np.random.default_rng(1)
    labels = disc(120, 40.0)
    labels[generator.random(labels.shape) < 0.04] = 2
    clean = without_specks(labels, 3, 4.0)
    for number in range(3):
        patches, count = ndimage.label(clean == number)
        areas = np.bincount(patches.ravel())[1:]
        assert count == 0 or areas.min() >= np.pi * 2.0**2
    assert np.mean(clean == disc(120, 40.0)) > 0.99


def test_a_photos_study_is_of_its_size_and_has_no_specks() -> None:
    photo = load(TABLE)
    made = study(photo, estimate(photo, AskedLight("as-shot")), 5)
    size = size_of(photo, 1200)
    assert size_of(photo) == (photo.width_px, photo.height_px)
    shown = values_study(made, size)
    assert (shown.shape[1], shown.shape[0]) == size
    least = np.pi / 4.0 * (BRUSH * min(size)) ** 2
    greys = [grey for grey in np.unique(shown) if np.mean(shown == grey) > 0.01]
    assert len(greys) == 5
    nearest = np.argmin([np.abs(shown[..., 0].astype(int) - int(grey)) for grey in greys], axis=0)
    for number in range(5):
        patches, count = ndimage.label(nearest == number, np.ones((3, 3)))
        areas = np.bincount(patches.ravel())[1:]
        # a rim between two levels passes through those between, hair-thin
        widest = ndimage.maximum(
            ndimage.distance_transform_edt(nearest == number), patches, np.arange(1, count + 1)
        )
        assert areas[np.asarray(widest) > 2.0].min() > least / 4.0


def test_a_squint_is_drawn_without_steps() -> None:
    photo = load(TABLE)
    seen = squint(photo, estimate(photo, AskedLight("as-shot")))
    shown = squint_study(seen, (1500, 1000))
    assert shown.shape == (1000, 1500, 3)
    assert np.abs(np.diff(shown.astype(int), axis=1)).max() <= 6


@pytest.mark.parametrize("side", [0, 20, LONGEST_PX + 1])
def test_a_study_of_no_size_is_refused(side: int) -> None:
    with refused(UsageError, match="ask for 64 to 20000"):
        size_of(load(TABLE), side)
