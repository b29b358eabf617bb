"""Places and crops as a painter writes them."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.errors import HoleError, UsageError
from refmatch.photo.hole import Hole
from refmatch.photo.load import frame_for, load
from refmatch.photo.place import parse_place
from tests.photo.pictures import photo_of, save_png
from tests.refusals import refused

WIDTH_PX, HEIGHT_PX = 600, 1000


@pytest.fixture(scope="module")
def photo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("photo")
    return photo_of(folder, np.zeros((HEIGHT_PX, WIDTH_PX, 3), np.uint8))


@pytest.mark.parametrize(
    ("text", "hole"),
    [
        ("120,340", Hole(120, 340, 12, "1")),
        ("120.5,340,30", Hole(120.5, 340, 30, "1")),
        ("50%,25%", Hole(300, 250, 12, "1")),
        ("50%,250,5%=pear, lit", Hole(300, 250, 30, "pear, lit")),
        (" 1 , 2 , 3 = jug ", Hole(1, 2, 3, "jug")),
        ("1,2,0.1%", Hole(1, 2, 9, "1")),
        ("-5,2,20", Hole(-5, 2, 20, "1")),
    ],
)
def test_spots_are_read(text, hole, photo):
    assert parse_place(text).on(photo) == hole


def test_the_default_diameter_is_at_least_9_px(tmp_path):
    small = photo_of(tmp_path, np.zeros((40, 40, 3), np.uint8))
    assert parse_place("20,20").on(small).diameter_px == 9


@pytest.mark.parametrize(
    "text",
    ["", "12", "1,2,3,4", "a,b", "1,2=", "=pear", "1,2,3=a=b", "nan,2", "1,2,inf", "1;2", "1,,2"],
)
def test_malformed_spots_are_told_how_to_write_them(text):
    with refused(UsageError, match="such as 640,410,30=pear") as caught:
        parse_place(text)
    assert caught.value.exit_code == 2


@pytest.mark.parametrize("text", ["1,2,0", "1,2,-3%"])
def test_a_diameter_of_nothing_is_refused(text):
    with refused(UsageError, match="diameter of nothing"):
        parse_place(text)


def test_a_crop_is_what_the_painter_then_sees(tmp_path):
    samples = np.random.default_rng(0).integers(0, 255, (50, 80, 3)).astype(np.uint8)
    path = save_png(tmp_path / "table.png", samples)
    photo = load(path, crop="10,20%,50%,30")
    assert np.array_equal(photo.samples, samples[10:40, 10:50])
    assert (photo.left_px, photo.top_px) == (10, 10)
    assert (photo.width_px, photo.height_px) == (40, 30)


@pytest.mark.parametrize(
    ("size", "proportion", "kept"),
    [
        ((600, 400), "3:2", (0, 0, 600, 400)),
        ((600, 400), "1:1", (100, 0, 400, 400)),
        ((600, 400), "30:60", (200, 0, 200, 400)),
        ((600, 400), "2:1", (0, 50, 600, 300)),
        ((600, 400), "0.5:0.25", (0, 50, 600, 300)),
    ],
)
def test_the_largest_centred_part_of_a_proportion(size, proportion, kept):
    frame = frame_for(*size, proportion=proportion)
    assert (frame.left_px, frame.top_px, frame.width_px, frame.height_px) == kept


def test_a_proportion_within_a_crop():
    frame = frame_for(600, 400, crop="100,0,200,400", proportion="1:1")
    assert (frame.left_px, frame.top_px, frame.width_px, frame.height_px) == (100, 100, 200, 200)


@pytest.mark.parametrize("crop", ["", "1,2,3", "a,b,c,d", "1,2,3,4,5", "0,0,nan,10"])
def test_a_malformed_crop(crop):
    with refused(UsageError, match="such as 10%,0,80%,100%"):
        frame_for(600, 400, crop=crop)


@pytest.mark.parametrize("crop", ["0,0,601,10", "-1,0,10,10", "0,0,0,10", "50%,0,60%,10"])
def test_a_crop_outside_the_photo_names_its_size(crop):
    with refused(HoleError, match="600 x 400"):
        frame_for(600, 400, crop=crop)


@pytest.mark.parametrize("proportion", ["", "3", "3:0", "0:3", "-1:-1", "a:b", "1:2:3", "inf:1"])
def test_a_malformed_proportion(proportion):
    with refused(UsageError, match="such as 3:4"):
        frame_for(600, 400, proportion=proportion)
