"""Paintings and boxes by short keys; no path goes out or comes in."""

from __future__ import annotations

import gc
import shutil
import threading
import weakref
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from PIL import Image

from refmatch.errors import BoxError, PaintingError, PhotoError
from refmatch.paint.box import built_in_tube
from refmatch.paint.box_file import box_from_toml
from refmatch.web.desk import Desk
from refmatch.web.shelf import MOST_OPEN, Shelf
from tests.cli.running import planned
from tests.refusals import refused

ROOT = Path(__file__).parents[2]
PHOTO = ROOT / "sample_images" / "garden-table.jpg"


@pytest.fixture(scope="module")
def photo(tmp_path_factory):
    """A photo of a few pixels: what is in it is not the point."""
    path = tmp_path_factory.mktemp("photo") / PHOTO.name
    with Image.open(PHOTO) as whole:
        whole.resize((160, 120)).save(path)
    return path


@pytest.fixture
def shelf(tmp_path):
    return Shelf(tmp_path / "paintings")


def test_every_sample_can_be_begun_with_twice(shelf):
    for name in shelf.samples():
        shelf.new_from_sample(name)
        shelf.new_from_sample(name)
    cards = shelf.paintings()
    assert len({card.key for card in cards}) == 2 * len(shelf.samples())
    assert {card.title for card in cards} == {"Garden table", "Orchard shade", "Dab board"}


def test_the_last_touched_painting_comes_first(shelf, photo):
    first, second = shelf.new_from_photo(photo), shelf.new_from_photo(photo)
    desk = shelf.open(first)
    desk.change(desk.sitting().painting.revision, "title", {"title": "Breakfast"})
    assert shelf.paintings()[0].key == first
    assert shelf.same_photo(photo) == first
    assert second in {card.key for card in shelf.paintings()}


def test_a_painting_kept_elsewhere_is_remembered_until_it_is_gone(shelf, photo, tmp_path):
    folder = tmp_path / "planned"
    planned(folder, photo)
    key = shelf.open_folder(folder)
    again = Shelf(shelf.folder)
    assert [card.key for card in again.paintings()] == [key]
    assert again.open(key).folder == folder.resolve()
    shutil.rmtree(folder)
    assert Shelf(shelf.folder).paintings() == []
    with refused(PaintingError, match="no such painting"):
        Shelf(shelf.folder).open(key)


def test_a_damaged_list_of_other_places_harms_nothing(shelf, photo):
    key = shelf.new_from_photo(photo)
    (shelf.folder / "elsewhere.json").write_text("{")
    assert [card.key for card in Shelf(shelf.folder).paintings()] == [key]


@pytest.mark.parametrize("key", ["..", "../x", "/etc", "", "garden-table"])
def test_no_name_of_a_folder_opens_it(shelf, photo, key):
    shelf.new_from_photo(photo)
    with refused(PaintingError, match="no such painting"):
        shelf.open(key)


def test_a_damaged_painting_is_left_out_and_the_others_shown(shelf, photo):
    good, bad = shelf.new_from_photo(photo), shelf.new_from_photo(photo)
    (shelf.folder_of(bad) / "painting.json").write_text("{")
    assert [card.key for card in shelf.paintings()] == [good]


def test_what_is_no_photo_leaves_no_folder(shelf, tmp_path):
    text = tmp_path / "note.jpg"
    text.write_text("not a photo")
    with pytest.raises(PhotoError):
        shelf.new_from_photo(text)
    assert [path.name for path in shelf.folder.iterdir() if path.is_dir()] == []


def test_a_box_put_together_on_the_page_is_kept(shelf):
    key = shelf.new_box(
        "Orchard", [built_in_tube("titanium-white"), built_in_tube("PB29", "my blue")]
    )
    box = Shelf(shelf.folder).boxes()[key]
    assert [tube.name for tube in box.tubes] == ["titanium-white", "my blue"]
    assert box_from_toml(shelf.box_text(key)).name == "Orchard"


@pytest.mark.parametrize(
    "tubes",
    [[("PB29", None)], [("titanium-white", "blue"), ("PB29", "blue")]],
)
def test_a_box_that_cannot_mix_is_told_and_not_kept(shelf, tubes):
    before = set(shelf.boxes())
    with pytest.raises(BoxError):
        shelf.new_box("Orchard", [built_in_tube(pigment, name) for pigment, name in tubes])
    assert set(shelf.boxes()) == before


def test_coming_back_to_an_untouched_painting_is_no_step(shelf, photo):
    key = shelf.new_from_photo(photo)
    for _ in range(3):
        assert Shelf(shelf.folder).open(key).sitting().undo is None


def test_paintings_put_away_leave_the_memory_at_once(shelf, photo):
    """A photo of 50 megapixels takes 150 MB: three may be open, no more may linger."""
    gc.disable()  # what Python tidies away by itself, it may do much later
    try:
        keys = []
        for number in range(MOST_OPEN + 2):  # what comes behind a JPEG's end says nothing
            other = photo.with_name(f"other {number}.jpg")
            other.write_bytes(photo.read_bytes() + bytes([number]))
            keys.append(shelf.new_from_photo(other))
        photos = weakref.WeakSet()
        for key in keys:
            photos.add(shelf.open(key).reckoner.whole)
        assert len(photos) == MOST_OPEN
    finally:
        gc.enable()


def test_paintings_of_one_photo_share_it_and_what_was_mixed_of_it(shelf, photo, monkeypatch):
    first, second = (shelf.open(shelf.new_from_photo(photo)) for _ in range(2))
    assert first.reckoner.whole is second.reckoner.whole
    sitting, _ = first.change(0, "punch", {"x_px": 40.0, "y_px": 40.0})
    monkeypatch.setattr("refmatch.painting.reckon.solve_all", lambda *_: pytest.fail("mixed again"))
    same, _ = second.change(0, "punch", {"x_px": 40.0, "y_px": 40.0})
    assert same.painting.recipes[0].recipes == sitting.painting.recipes[0].recipes
    assert same.key != sitting.key


def test_a_photo_stays_open_as_long_as_any_painting_of_it(shelf, photo):
    keys = [shelf.new_from_photo(photo) for _ in range(2)]
    shared = weakref.ref(shelf.open(keys[0]).reckoner.whole)
    assert shelf.open(keys[1]).reckoner.whole is shared()
    shelf.close(keys[0])
    gc.collect()
    assert shared() is not None
    shelf.close(keys[1])
    gc.collect()
    assert shared() is None


def test_a_painting_is_opened_once_and_others_need_not_wait(shelf, photo, monkeypatch):
    slow, quick = shelf.new_from_photo(photo), shelf.new_from_photo(photo)
    shelf.open(quick)
    reading, go_on = threading.Event(), threading.Event()

    def slowly(*given):
        reading.set()
        assert go_on.wait(30.0)
        return Desk(*given)

    monkeypatch.setattr("refmatch.web.shelf.Desk", slowly)
    with ThreadPoolExecutor() as threads:
        asked = [threads.submit(shelf.open, slow) for _ in range(2)]
        assert reading.wait(30.0)
        assert threads.submit(shelf.open, quick).result(timeout=30.0).key == quick
        go_on.set()
        assert asked[0].result() is asked[1].result()
