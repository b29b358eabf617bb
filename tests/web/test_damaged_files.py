"""One bad file takes nothing else down: it is told or left out, and the rest works."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from PIL import Image

from refmatch.painting import history
from refmatch.painting.store import open_folder
from tests.damage import WRONG_JSON
from tests.web.asking import SAMPLES, Browser


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shelf with two paintings of a few pixels, a box, and a box in the making."""
    folder = tmp_path_factory.mktemp("shelf") / "paintings"
    browser = Browser(folder)
    browser.come_in()
    photo = folder.parent / "garden.jpg"
    with Image.open(SAMPLES / "garden-table.jpg") as whole:
        whole.resize((160, 120)).save(photo)
    for title in ("good", "bad"):
        key = browser.shelf.new_from_photo(photo, title)
        state = browser.get(f"/api/paintings/{key}").json()
        asked = {"revision": state["revision"], "do": "title", "title": f"a {title} one"}
        assert browser.post(f"/api/paintings/{key}/changes", json=asked).status_code == 200
    tubes = [{"pigment": "PW6", "name": "chalk"}, {"pigment": "PB29", "name": "blue"}]
    made = browser.post("/api/boxes", json={"name": "orchard", "tubes": tubes})
    assert made.status_code == 200, made.text
    assert (
        browser.post(
            "/api/benches", json={"box": made.json()["id"], "paper": "a4", "grey_lstar": 49.5}
        ).status_code
        == 200
    )
    return folder


@pytest.fixture
def studio(begun: Path, tmp_path: Path) -> Browser:
    folder = shutil.copytree(begun, tmp_path / "paintings")
    browser = Browser(folder)
    browser.come_in()
    return browser


FILES = (
    "bad/painting.json",
    "boxes/orchard.toml",
    "boxes/orchard/card.json",
    "boxes/orchard/bench.json",
    "boxes/orchard/start.toml",
    "boxes/orchard/box.toml",
    "elsewhere.json",
)


@pytest.mark.parametrize("file", FILES)
def test_the_page_works_whatever_a_file_holds(studio: Browser, file: str) -> None:
    for wrong in (*WRONG_JSON, b"", b"\x00" * 99, b"\xff\xfe", b'["\\u0000"]', b"[3, null]"):
        (studio.shelf.folder / file).write_bytes(wrong)
        answer = studio.get("/api/start")
        assert answer.status_code == 200, answer.text
        assert "a good one" in {card["title"] for card in answer.json()["paintings"]}
        listed = studio.get("/api/benches")
        assert listed.status_code == 200, listed.text
        for bench in listed.json()["benches"]:
            one = studio.get(f"/api/benches/{bench['id']}")
            assert one.status_code < 500, one.text
            assert str(studio.shelf.folder) not in one.text


def test_a_damaged_painting_is_listed_and_rescued(studio: Browser) -> None:
    path = studio.shelf.folder / "bad" / "painting.json"
    path.write_bytes(b"{")
    start = studio.get("/api/start").json()
    (row,) = start["damaged"]
    assert row["name"] == "bad"
    assert row["saved_at"]
    assert row["why"] == "This painting's saved form is not whole JSON."
    refusal = studio.get(f"/api/paintings/{row['id']}")
    assert refusal.status_code == 404
    assert "rescue it at the start" in refusal.json()["error"]
    answer = studio.post(f"/api/paintings/{row['id']}/rescue")
    assert answer.status_code == 200, answer.text
    after = studio.get("/api/start").json()
    assert after["damaged"] == []
    assert {card["title"] for card in after["paintings"]} == {"a good one", "a bad one"}
    assert path.with_name("painting.damaged.json").read_bytes() == b"{"
    again = studio.post(f"/api/paintings/{row['id']}/rescue")
    assert again.status_code == 404
    assert "nothing to rescue" in again.json()["error"]


@pytest.mark.parametrize(
    ("file", "name", "left"),
    [
        ("orchard.toml", "orchard.toml", "orchard.toml"),
        ("orchard/box.toml", "orchard.toml", "orchard.toml"),
        ("orchard/card.json", "orchard", "orchard/card.json"),
        ("orchard/bench.json", "orchard", "orchard/bench.json"),
        ("orchard/start.toml", "orchard", "orchard/start.toml"),
    ],
)
def test_a_damaged_box_is_listed_and_put_away(
    studio: Browser, file: str, name: str, left: str
) -> None:
    (studio.shelf.folder / "boxes" / file).write_bytes(b"{")
    (row,) = studio.get("/api/start").json()["damaged_boxes"]
    assert row["name"] == name
    assert row["why"].endswith(".")
    assert str(studio.shelf.folder) not in row["why"]
    answer = studio.post(f"/api/boxes/{row['id']}/put-away")
    assert answer.status_code == 200, answer.text
    assert studio.get("/api/start").json()["damaged_boxes"] == []
    assert (studio.shelf.folder / "put-away" / "boxes" / left).read_bytes() == b"{"
    assert not (studio.shelf.folder / "boxes" / file).exists()
    again = studio.post(f"/api/boxes/{row['id']}/put-away")
    assert again.status_code == 400
    assert "no such box" in again.json()["error"]


def test_a_whole_box_is_not_put_away(studio: Browser) -> None:
    keys = [box["id"] for box in studio.get("/api/start").json()["boxes"]]
    for key in (*keys, *(key.removeprefix("own-") for key in keys)):
        assert studio.post(f"/api/boxes/{key}/put-away").status_code == 400
    assert (studio.shelf.folder / "boxes" / "orchard.toml").exists()


def test_a_damaged_history_costs_undo_alone(studio: Browser) -> None:
    folder = studio.shelf.folder / "bad"
    (folder / history.NAME).write_bytes(b"no step\n")
    (key,) = [
        card["id"]
        for card in studio.get("/api/start").json()["paintings"]
        if card["title"] == "a bad one"
    ]
    state = studio.get(f"/api/paintings/{key}").json()
    assert state["undo"] is None
    assert "history_set_aside" in {flag["name"] for flag in state["flags"]}
    assert (folder / "history.damaged.jsonl").read_bytes() == b"no step\n"
    asked = {"revision": state["revision"], "do": "title", "title": "on"}
    assert studio.post(f"/api/paintings/{key}/changes", json=asked).json()["undo"]
    assert open_folder(folder).painting.title == "on"


def test_a_cut_step_is_said(studio: Browser) -> None:
    folder = studio.shelf.folder / "bad"
    path = folder / history.NAME
    path.write_bytes(path.read_bytes() + b'{"step": 3, "af')
    key = next(
        card["id"]
        for card in studio.get("/api/start").json()["paintings"]
        if card["title"] == "a bad one"
    )
    state = studio.get(f"/api/paintings/{key}").json()
    assert "history_mended" in {flag["name"] for flag in state["flags"]}
    assert state["undo"]
    assert path.read_bytes().endswith(b"\n")


def test_a_damaged_list_of_other_places_is_kept_beside(studio: Browser, begun: Path) -> None:
    path = studio.shelf.folder / "elsewhere.json"
    path.write_bytes(b"{")
    studio.shelf.open_folder(begun / "good")
    assert json.loads(path.read_bytes()) == [str((begun / "good").resolve())]
    assert path.with_name("elsewhere.damaged.json").read_bytes() == b"{"
