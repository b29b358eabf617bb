"""What the page shows of a photo is the photo: whole, in tiles, clipped parts, the card."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms

from refmatch.errors import PaintingError, UsageError
from refmatch.web.pictures import TILE_PX, VIEWS
from refmatch.web.shelf import Shelf
from tests.refusals import refused

ROOT = Path(__file__).parents[2]
PHOTO = ROOT / "sample_images" / "orchard-shade.jpg"
JPEG_ERROR = 3.0
"""Mean error of 8-bit codes that JPEG at quality 92 makes on a photo (own measure: 1 to 2)."""


def pixels(data: bytes) -> np.ndarray:
    """Return a picture's sRGB codes; its profile is read by littleCMS."""
    image = Image.open(io.BytesIO(data))
    if "icc_profile" in image.info:
        profile = ImageCms.ImageCmsProfile(io.BytesIO(image.info["icc_profile"]))
        image = ImageCms.profileToProfile(image, profile, ImageCms.createProfile("sRGB"))
    return np.asarray(image, dtype=float)


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    shelf = Shelf(tmp_path_factory.mktemp("paintings"))
    return shelf.open(shelf.new_from_photo(PHOTO))


def look(desk) -> str:
    return desk.sitting().look


def test_tiles_as_shot_are_the_files_own_pixels(desk):
    """Pillow's decoding is the truth: the photo is sRGB and nothing was taken out."""
    whole = np.asarray(Image.open(PHOTO).convert("RGB"), dtype=float)
    for column, row in ((0, 0), (2, 1)):
        tile = pixels(desk.pictures.tile(look(desk), 1, column, row))
        there = whole[row * TILE_PX :, column * TILE_PX :][: tile.shape[0], : tile.shape[1]]
        assert tile.shape == there.shape
        assert np.abs(tile - there).mean() < JPEG_ERROR


def test_tiles_cover_the_whole_photo_at_every_reduction(desk):
    photo = desk.sitting().photo
    for reduction in (1, 2, 4):
        side = TILE_PX * reduction
        columns, rows = -(-photo.width_px // side), -(-photo.height_px // side)
        last = pixels(desk.pictures.tile(look(desk), reduction, columns - 1, rows - 1))
        width = -(-(photo.width_px - (columns - 1) * side) // reduction)
        height = -(-(photo.height_px - (rows - 1) * side) // reduction)
        assert last.shape[:2] == (height, width)
        for column, row in ((columns, 0), (0, rows), (-1, 0)):
            with refused(UsageError, match="no such tile"):
                desk.pictures.tile(look(desk), reduction, column, row)


def test_the_whole_picture_is_the_photo_made_smaller(desk):
    shown = pixels(desk.pictures.picture(look(desk), "as-shot"))
    size = (shown.shape[1], shown.shape[0])
    small = np.asarray(Image.open(PHOTO).convert("RGB").resize(size, Image.Resampling.BOX), float)
    assert np.abs(shown - small).mean() < JPEG_ERROR + 1.0


def test_clipped_parts_are_hatched_in_black_and_white_and_nothing_else_is(desk):
    photo = np.asarray(Image.open(PHOTO).convert("RGB"))
    hatch = pixels(desk.pictures.picture(look(desk), "clipped"))
    assert set(np.unique(hatch[..., :3])) <= {0.0, 255.0}
    assert np.all(hatch[..., 0] == hatch[..., 1])
    assert np.all(hatch[..., 1] == hatch[..., 2])
    share = float(np.mean(np.any((photo == 0) | (photo == 255), axis=-1)))
    assert abs(float(np.mean(hatch[..., 3] > 0)) - share) < 0.03


@pytest.mark.parametrize("kind", [*VIEWS, "values-2", "values-3", "values-5", "values-7"])
def test_every_view_is_a_picture_of_the_same_shape(desk, kind):
    photo = desk.sitting().photo
    shown = pixels(desk.pictures.picture(look(desk), kind))
    assert shown.shape[1] / shown.shape[0] == pytest.approx(photo.width_px / photo.height_px, 0.02)


def test_a_value_study_is_grey_and_has_as_many_values_as_asked(desk):
    shown = pixels(desk.pictures.picture(look(desk), "values-3"))
    grey = shown.reshape(*shown.shape[:2], -1)
    assert np.ptp(grey, axis=-1).max() == 0.0
    greys, pixels_of = np.unique(grey, return_counts=True)
    three = sorted(greys[np.argsort(pixels_of)[-3:]])
    flat = np.isin(grey[..., 0], three)
    assert flat.mean() > 0.95, "three values; between them only the soft borders"
    assert {greys.min(), greys.max()} <= set(three)


@pytest.mark.parametrize("kind", ["", "values-4", "values-", "x/../y", "moonlight"])
def test_no_other_view_is_drawn(desk, kind):
    with pytest.raises(UsageError):
        desk.pictures.picture(look(desk), kind)


def test_a_picture_of_a_light_that_is_gone_is_refused(desk):
    """A window that is behind must not keep the old light under the new name."""
    with refused(PaintingError, match="look again"):
        desk.pictures.picture("0" * 16, "balanced")


def test_a_new_hole_draws_no_picture_anew(desk):
    before = look(desk), desk.pictures.tile(look(desk), 2, 0, 0)
    desk.change(desk.sitting().painting.revision, "punch", {"x_px": 300.0, "y_px": 300.0})
    assert look(desk) == before[0]
    assert desk.pictures.tile(look(desk), 2, 0, 0) is before[1]
    desk.undo(desk.sitting().painting.revision)


def test_other_masses_have_another_name(desk):
    """A browser keeps a picture for good under the name that it had."""
    before = look(desk), desk.pictures.picture(look(desk), "masses")
    desk.change(desk.sitting().painting.revision, "punch_masses", {"count": 3})
    assert look(desk) != before[0]
    assert desk.pictures.picture(look(desk), "masses") != before[1]
    desk.undo(desk.sitting().painting.revision)


def test_the_card_shows_nothing_but_the_holes(desk):
    sitting = desk.sitting()
    desk.change(
        sitting.painting.revision, "punch", {"x_px": 800.0, "y_px": 700.0, "diameter_px": 90.0}
    )
    card = pixels(desk.pictures.card("grey"))
    scale = card.shape[1] / desk.sitting().photo.width_px
    rows, columns = np.indices(card.shape[:2])
    away = np.hypot(columns + 0.5 - 800.0 * scale, rows + 0.5 - 700.0 * scale)
    outside = card[away > 45.0 * scale + 3.0]
    assert np.all(outside == outside[0])
    assert np.ptp(outside[0]) <= 1.0
