"""Paintings on the shelf copied, renamed, put away and deleted; whatever is done is taken back."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from refmatch.errors import PaintingError, UsageError
from refmatch.painting.store import read_painting
from refmatch.web.shelf import Shelf
from refmatch.web.tidying import put_away_keys, tidy
from tests.refusals import refused
from tests.web.asking import SAMPLES, Browser


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return Shelf(tmp_path / "paintings")


@pytest.fixture
def key(shelf: Shelf, tmp_path: Path) -> str:
    with Image.open(SAMPLES / "garden-table.jpg") as whole:
        whole.resize((160, 120)).save(tmp_path / "garden-table.jpg")
    return shelf.new_from_photo(tmp_path / "garden-table.jpg")


def files(folder: Path) -> dict[str, bytes]:
    rows = (path for path in folder.rglob("*") if path.is_file() and path.name[0] != ".")
    return {str(path.relative_to(folder)): path.read_bytes() for path in rows}


def test_a_copy_goes_its_own_way(shelf: Shelf, key: str) -> None:
    before = files(shelf.folder_of(key))
    other = tidy(shelf, key, "copy", "Garden table, evening")
    assert other != key
    assert read_painting(shelf.folder_of(other)).title == "Garden table, evening"
    assert read_painting(shelf.folder_of(other)).photo == read_painting(shelf.folder_of(key)).photo
    tidy(shelf, other, "delete", "")
    assert files(shelf.folder_of(key)) == before


def test_a_new_name_stays(shelf: Shelf, key: str) -> None:
    assert tidy(shelf, key, "rename", "Breakfast") == key
    assert read_painting(shelf.folder_of(key)).title == "Breakfast"
    with refused(UsageError, "needs a title"):
        tidy(shelf, key, "rename", " ")


def test_what_is_put_away_is_kept_and_comes_back(shelf: Shelf, key: str) -> None:
    tidy(shelf, key, "put_away", "")
    assert put_away_keys(shelf) == (key,)
    assert shelf.open(key).key == key
    tidy(shelf, key, "take_out", "")
    assert put_away_keys(shelf) == ()


def test_a_deleted_painting_comes_back_to_the_last_byte(shelf: Shelf, key: str) -> None:
    shelf.open(key)
    before = files(shelf.folder_of(key))
    tidy(shelf, key, "delete", "")
    with refused(PaintingError, "no such painting"):
        shelf.open(key)
    assert [card.key for card in shelf.paintings()] == []
    assert tidy(shelf, key, "restore", "") == key
    assert files(shelf.folder_of(key)) == before


def test_a_painting_kept_elsewhere_is_never_moved(shelf: Shelf, key: str, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    shelf.folder_of(key).rename(elsewhere)
    there = shelf.open_folder(elsewhere)
    before = files(elsewhere)
    tidy(shelf, there, "delete", "")
    assert put_away_keys(shelf) == (there,)
    assert files(elsewhere) == before
    tidy(shelf, there, "restore", "")
    assert put_away_keys(shelf) == ()


def test_the_page_asks_for_it(browser: Browser) -> None:
    key = browser.post("/api/paintings?sample=garden-table").json()["id"]
    put = browser.post(f"/api/paintings/{key}/shelf", json={"do": "put_away"})
    assert put.json() == {"id": key}
    assert browser.get("/api/start").json()["put_away"] == [key]
    wrong = browser.post(f"/api/paintings/{key}/shelf", json={"do": "burn"})
    assert (wrong.status_code, "nothing that can be done" in wrong.text) == (400, True)


def test_the_sample_card_is_read_with_no_file_asked_for(browser: Browser) -> None:
    """The photo shows 22 dabs of eight tubes (docs/own-tubes.md): all are found."""
    state = browser.post("/api/benches/sample").json()
    assert len(state["dabs"]) == 22
    assert {dab["state"] for dab in state["dabs"]} == {"read"}
    assert browser.post("/api/benches/sample").json()["id"] == state["id"]
    made = browser.post(
        f"/api/benches/{state['id']}/box", json={"name": "my tubes", "revision": state["revision"]}
    )
    assert made.status_code == 200, made.text
