"""Several photos at one desk: each is shown, read and lit as if it were the painting's own."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest

from refmatch.errors import UsageError
from refmatch.painting.store import open_folder
from refmatch.web.desk import Desk
from refmatch.web.page import sitting_shown
from refmatch.web.shelf import Shelf
from refmatch.web.spot import look_at_spot

ROOT = Path(__file__).parents[2]
TABLE = ROOT / "sample_images" / "garden-table.jpg"
ORCHARD = ROOT / "sample_images" / "orchard-shade.jpg"
NAME = "orchard shade"


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A garden table with a hole, and the orchard beside it with one of its own."""
    shelf = Shelf(tmp_path_factory.mktemp("begun"))
    key = shelf.new_from_photo(TABLE)
    desk = shelf.open(key)
    do(desk, "punch", x_px=983.0, y_px=896.0)
    desk.add_photo(ORCHARD)
    do(desk, "punch", x_px=500.0, y_px=300.0, photo=NAME)
    return shelf.folder_of(key)


@pytest.fixture
def desk(tmp_path: Path, begun: Path) -> Desk:
    shelf = Shelf(tmp_path / "paintings")
    folder = shelf.folder / begun.name
    shutil.copytree(begun, folder)
    return shelf.open(shelf.open_folder(folder))


def do(desk: Desk, change: str, **fields: object) -> None:
    desk.change(desk.sitting().painting.revision, change, fields)


def test_a_photo_that_is_added_is_kept_untouched(desk: Desk) -> None:
    opened = open_folder(desk.folder)
    assert [path.read_bytes() for path in opened.others] == [ORCHARD.read_bytes()]
    assert [photo.name for photo in opened.painting.asked.photos] == [NAME]
    assert [hole.photo for hole in opened.painting.asked.holes] == ["", NAME]


def test_the_page_shows_one_photo_and_all_slips(desk: Desk) -> None:
    own, other = sitting_shown(desk.sitting()), sitting_shown(desk.sitting(NAME))
    assert (own["shown"], other["shown"]) == ("", NAME)
    assert own["photo"]["look"] != other["photo"]["look"]
    assert [hole["photo"] for hole in own["holes"]] == ["", NAME]
    assert own["holes"] == other["holes"]
    assert sitting_shown(desk.sitting("no such"))["shown"] == ""


def test_light_and_crop_are_those_of_the_photo_shown(desk: Desk) -> None:
    before = desk.asked
    do(desk, "light", method="temperature", kelvin=3000.0, photo=NAME)
    do(desk, "crop", left_px=100, top_px=50, width_px=900, height_px=700, photo=NAME)
    after = desk.asked
    assert (after.light, after.frame) == (before.light, before.frame)
    (photo,) = after.photos
    assert photo.light.kelvin == 3000.0
    assert photo.frame is not None
    shown = desk.sitting(NAME)
    assert (shown.photo.left_px, shown.photo.width_px) == (100, 900)
    assert shown.light.kelvin == 3000.0
    assert len(shown.painting.targets) == 2


def test_a_hole_reads_what_the_pointer_read(desk: Desk) -> None:
    sample, _ = desk.reading(700.0, 500.0, 30.0, shown=NAME)
    do(desk, "punch", x_px=700.0, y_px=500.0, diameter_px=30.0, photo=NAME)
    assert np.array_equal(desk.sitting().painting.targets[-1].lab, sample.lab)
    elsewhere, _ = desk.reading(700.0, 500.0, 30.0)
    assert not np.array_equal(elsewhere.lab, sample.lab)


def test_pictures_and_spots_are_of_the_photo_shown(desk: Desk) -> None:
    look = desk.sitting(NAME).look
    data = desk.pictures_of(NAME).picture(look, "balanced")
    assert data.startswith(b"\xff\xd8\xff")
    assert data != desk.pictures_of("").picture(desk.sitting().look, "balanced")
    assert desk.pictures_of(NAME).card("grey") != desk.pictures_of("").card("grey")
    spots = [
        look_at_spot(desk, (700.0, 500.0, 30.0), "neutral", shown=name).sample.lab
        for name in ("", NAME)
    ]
    assert not np.array_equal(*spots)


def test_a_hole_is_not_moved_in_a_photo_that_it_is_not_in(desk: Desk) -> None:
    key = desk.asked.holes[0].key
    with pytest.raises(UsageError) as raised:
        do(desk, "move", hole=key, x_px=10.0, y_px=10.0, photo=NAME)
    assert raised.value.name == "hole_in_another_photo"


def test_masses_are_punched_in_the_photo_shown(desk: Desk) -> None:
    do(desk, "punch_masses", count=4, photo=NAME)
    fresh = desk.asked.holes[2:]
    assert len(fresh) == 4
    assert {(hole.photo, hole.share) for hole in fresh} == {(NAME, None)}


def test_a_photo_taken_away_comes_back_with_its_holes(desk: Desk) -> None:
    before = desk.asked
    do(desk, "remove_photo", name=NAME)
    assert [hole.photo for hole in desk.asked.holes] == [""]
    desk.undo(desk.sitting().painting.revision)
    assert desk.asked == before


def test_it_comes_back_after_the_studio_was_closed_too(desk: Desk, tmp_path: Path) -> None:
    before = desk.asked
    do(desk, "remove_photo", name=NAME)
    again = Desk("again", desk.folder, lambda key: "")
    again.undo(again.sitting().painting.revision)
    assert again.asked == before
