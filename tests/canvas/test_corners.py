"""The canvas found in a photo: against the corners that the virtual studio put it at."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from refmatch.canvas.corners import find_corners, in_order, pointed_corners, squared
from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.errors import PhotoError
from refmatch.paint.box_file import built_in_box
from refmatch.photo.load import load
from tests.virtual_studio.camera import camera_of
from tests.virtual_studio.canvas_photo import Shown, painted, photographed_canvas
from tests.virtual_studio.paints import another_painters

ROWS, COLUMNS = 200, 300
NEAR = 0.005
"""Of a side: what a line laid along an edge of a few pixels' softness reaches."""


def picture() -> tuple[np.ndarray, np.ndarray]:
    """Return Lab and masses of a still life of flat shapes: wall, table, two things on it."""
    down, across = np.mgrid[0:ROWS, 0:COLUMNS]
    masses = np.where(down > 120, 1, 0)
    masses[np.hypot(across - 90, down - 120) < 45] = 2
    masses[(abs(across - 210) < 40) & (down > 50) & (down < 150)] = 3
    colours = np.array([[38, 2, -12], [70, 6, 16], [62, 18, 44], [26, -14, 8]], float)
    return colours[masses], masses


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Shown:
    lab, masses = picture()
    canvas = painted(lab, masses, {}, another_painters(built_in_box().tubes, 3), 3)
    path = tmp_path_factory.mktemp("canvas") / "canvas.jpg"
    return photographed_canvas(path, canvas, camera_of("D50", 8), 4, tilt=0.06)


def off(found: np.ndarray, shown: Shown) -> float:
    return float(np.abs(found - shown.corners).max() / np.ptp(shown.corners[:, 0]))


def test_a_tilted_canvas_is_found_in_uneven_light(shown: Shown) -> None:
    corners = find_corners(load(shown.path), picture()[0])
    assert off(corners.px, shown) < NEAR
    assert [flag.name for flag in corners.flags] == []


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_a_photo_on_its_side_is_turned_upright(shown: Shown, tmp_path: Path, turns: int) -> None:
    with Image.open(shown.path) as photo:
        width, height = photo.size
        photo.rotate(90 * turns, expand=True).save(tmp_path / "turned.jpg", quality=95)
    corners = find_corners(load(tmp_path / "turned.jpg"), picture()[0])
    assert "canvas_turned" in [flag.name for flag in corners.flags]
    # the canvas' own upper left, wherever it now lies in the photo
    x, y = shown.corners[0]
    at = {1: (y, width - x), 2: (width - x, height - y), 3: (height - y, x)}[turns]
    assert np.abs(corners.px[0] - at).max() < NEAR * width


def test_a_photo_without_the_canvas_is_refused(tmp_path: Path) -> None:
    rng = np.random.default_rng(1)
    noise = rng.integers(90, 140, (300, 400, 3)).astype(np.uint8)
    Image.fromarray(noise).save(tmp_path / "wall.png")
    with pytest.raises(PhotoError, match="no_canvas_seen"):
        find_corners(load(tmp_path / "wall.png"), picture()[0])


@pytest.mark.parametrize("name", ["dab-board", "orchard-shade", "calibration-card"])
def test_another_photo_is_refused(name: str) -> None:
    """Boards and cards have good edges, and are no canvas of this picture."""
    photo = load(Path(__file__).parents[2] / "sample_images" / f"{name}.jpg")
    with pytest.raises(PhotoError, match="no_canvas_seen"):
        find_corners(photo, picture()[0])


def test_corners_may_be_pointed_to_in_any_order(shown: Shown) -> None:
    points = [tuple(point) for point in shown.corners[[2, 0, 3, 1]]]
    corners = pointed_corners(load(shown.path), points, picture()[0])
    np.testing.assert_allclose(corners.px, shown.corners)
    assert not corners.flags


@pytest.mark.parametrize(
    "points",
    [
        [(0, 0), (10, 0), (10, 10), (0, 10)],  # hardly anything
        [(100, 100), (900, 100), (500, 120), (500, 800)],  # no four-sided shape
        [(100, 100), (9000, 100), (9000, 800), (100, 800)],  # outside
    ],
)
def test_corners_that_are_none_are_refused(shown: Shown, points) -> None:
    with pytest.raises(PhotoError, match="no_such_corners"):
        pointed_corners(load(shown.path), points, picture()[0])


def test_other_corners_than_the_canvas_are_told(shown: Shown) -> None:
    wall = [(20.0, 5.0), (500.0, 5.0), (500.0, 150.0), (20.0, 150.0)]
    corners = pointed_corners(load(shown.path), wall, picture()[0])
    assert [flag.name for flag in corners.flags] == ["canvas_unlike"]


def test_the_ring_starts_at_the_upper_left_and_goes_clockwise() -> None:
    ring = in_order(np.array([[9, 8], [1, 7], [8, 2], [0, 1]], float))
    np.testing.assert_array_equal(ring, [[0, 1], [8, 2], [9, 8], [1, 7]])


def test_a_squared_canvas_lies_pixel_on_pixel(tmp_path: Path) -> None:
    """A photo that is only the canvas, straight on: squaring it is the identity."""
    lab, _ = picture()
    from refmatch.colorimetry.display import lab_to_srgb8

    codes = np.kron(lab_to_srgb8(lab), np.ones((2, 2, 1), np.uint8))
    Image.fromarray(codes).save(tmp_path / "straight.png")
    photo = load(tmp_path / "straight.png")
    whole = [(0.0, 0.0), (600.0, 0.0), (600.0, 400.0), (0.0, 400.0)]
    canvas = squared(photo, pointed_corners(photo, whole, lab), (ROWS, COLUMNS))
    apart = np.abs(canvas.xyz - lab_to_xyz(lab, PHOTO_WHITE))
    assert np.median(apart) < 0.003
    assert np.percentile(apart, 97) < 0.02
