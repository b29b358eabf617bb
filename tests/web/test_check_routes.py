"""Checking over the wire: the dab card, one photo of it, what was done; nothing sent is a path."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from pypdf import PdfReader

from refmatch.painting.check import dab_card_of
from refmatch.painting.own_box import box_of
from refmatch.painting.record import pile_now
from refmatch.painting.store import read_painting
from tests.dabs.studio import Shot
from tests.virtual_studio.painted_card import dabs_photo
from tests.web.asking import Browser

SEED = 5
SHOT = Shot(width_px=1100, height_px=1467, tilt_deg=10.0)
JUG, CLOTH = (500.0, 450.0), (900.0, 1150.0)


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> tuple[Browser, str, dict[str, Any]]:
    """A browser that has come in, a painting of two holes, and its dab card's photo judged.

    The first dab is much too dark; the second window is empty.
    """
    browser = Browser(tmp_path_factory.mktemp("shelf") / "paintings")
    browser.come_in()
    key = browser.post("/api/paintings?sample=garden-table").json()["id"]
    base = f"/api/paintings/{key}"
    for x_px, y_px in (JUG, CLOTH):
        change = {"revision": browser.get(base).json()["revision"], "do": "punch"}
        browser.post(f"{base}/changes", json=change | {"x_px": x_px, "y_px": y_px})
    laid = browser.post(f"{base}/dab-card", json={"paper": "a4", "grey_lstar": 49.5})
    assert laid.status_code == 200, laid.text
    folder = browser.shelf.folder_of(key)
    painting = read_painting(folder)
    parts = dict(pile_now(painting, "1").parts)
    parts["ivory black"] = parts.get("ivory black", 0.0) + sum(parts.values()) / 3.0
    data = dabs_photo(
        box_of(painting), dab_card_of(folder), {"1": [*parts.items()]}, SEED, shot=SHOT
    )
    photo = browser.post(f"{base}/checks/photos?name=..%2F..%2Fdabs.jpg", content=data)
    assert photo.status_code == 200, photo.text
    asked = {"photo": photo.json()["photo"]["key"], "way": "card", "state": "wet", "light": ""}
    answer = browser.post(f"{base}/checks", json=asked)
    assert answer.status_code == 200, answer.text
    return browser, base, answer.json()


def test_the_dab_card_comes_as_a_pdf_named_by_the_painting(judged) -> None:
    browser, base, table = judged
    answer = browser.get(f"{base}/dab-card.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert 'filename="Dab card Garden table.pdf"' in answer.headers["content-disposition"]
    assert len(PdfReader(io.BytesIO(answer.content)).pages) >= 1
    assert table["card"] == {
        "paper": "a4",
        "grey_lstar": 49.5,
        "pages": 1,
        "holds": True,
        "flags": [],
    }


def test_each_puddle_is_told_with_colours_words_doubt_and_what_to_do(judged) -> None:
    _, _, table = judged
    first, second = table["puddles"]
    assert table["judged"] == [first["hole"]]
    assert second["rounds"] == []
    (only,) = first["rounds"]
    for colour in (only["target"], only["colour"], only["corrections"][0]["colour"]):
        assert set(colour) == {"lab", "srgb", "p3", "fits"}
    assert only["verdict"] == "off"
    assert "too dark" in only["words"]
    assert only["sentence"].startswith("Off: ")
    assert 0.0 < only["doubt_delta_e_00"] < only["doubt_delta_e_00_p90"]
    assert only["corrections"][0]["predicted_delta_e_00"] < only["delta_e_00"]
    assert "windows_empty" in {flag["name"] for flag in table["photo"]["flags"]}
    (outline,) = table["photo"]["outlines"]
    assert outline["hole"] == first["hole"]
    assert len(outline["corners"]) == 4
    assert {each["kind"] for each in first["at_hand"]} >= {"tube", "let-down"}


def test_the_photo_is_shown_by_its_content_and_never_by_the_name_sent(judged) -> None:
    browser, base, table = judged
    key = table["photo"]["key"]
    assert table["photo"]["name"] == "dabs.jpg"
    assert table["puddles"][0]["rounds"][0]["photo"] == key
    (kept,) = browser.shelf.folder.glob("*/checks/*")
    assert kept.name == f"{key}.jpg"
    answer = browser.get(f"{base}/checks/photos/{key}.jpg")
    with Image.open(io.BytesIO(answer.content)) as picture:
        assert max(picture.size) <= 1600
    assert "immutable" in answer.headers["cache-control"]
    for strange in ("..%2F..%2Fpainting", "none", "painting"):
        assert browser.get(f"{base}/checks/photos/{strange}.jpg").status_code == 404


def test_what_was_done_starts_the_next_round_and_may_be_taken_back(judged) -> None:
    browser, base, table = judged
    before = browser.get(base).json()["revision"]
    spoken = {"hole": table["puddles"][0]["hole"], "pile": 1, "number": 1}
    after = browser.post(f"{base}/checks/done", json=spoken | {"correction": 1}).json()
    puddle = after["puddles"][0]
    assert puddle["rounds"][0]["done"]["words"].startswith("added ")
    assert (puddle["now"]["next_look"], puddle["now"]["parts"]) > (
        1,
        table["puddles"][0]["now"]["parts"],
    )
    assert browser.get(base).json()["revision"] == after["revision"] > before
    late = browser.post(f"{base}/checks/done", json=spoken | {"number": 7, "correction": 1})
    assert late.status_code == 409
    assert late.json()["error"].endswith("as it is now.")
    back = browser.post(f"{base}/checks/not-done", json=spoken).json()
    assert back["puddles"][0]["rounds"][0]["done"] is None


def test_nudges_come_with_colours_and_words_and_a_string_to_grey(judged) -> None:
    browser, base, table = judged
    for name in (table["puddles"][0]["hole"], "1"):
        told = browser.get(f"{base}/nudges/{name}").json()
        ways = [each["direction"] for each in told["nudges"]]
        assert ways[:6] == ["lighter", "darker", "warmer", "cooler", "duller", "stronger"]
        labels = [each["label"] for each in told["instead"]]
        assert labels[:2] == ["white alone", "black alone"]
        assert len(set(labels)) == len(labels)
        assert told["to_grey"]["words"].endswith(".")
        assert all(set(each["colour"]) >= {"lab", "srgb"} for each in told["to_grey"]["steps"])
        assert all(each["words"].endswith(".") for each in told["nudges"])
        moved = [each for each in told["nudges"] if each["tube"]]
        assert moved
        assert all(set(each["colour"]) >= {"lab", "srgb"} for each in moved)
    assert browser.get(f"{base}/nudges/quince").status_code == 404


def test_no_photo_and_no_card_are_told_in_a_sentence_and_nothing_is_lost(judged) -> None:
    browser, base, table = judged
    photos = f"{base}/checks/photos?name=letter.jpg"
    for body in (b"letter", b""):
        assert browser.post(photos, content=body).status_code == 400
    assert browser.get(f"{base}/checks").json()["photo"]["key"] == table["photo"]["key"]
    stream = io.BytesIO()
    Image.new("RGB", (640, 480), (120, 120, 120)).save(stream, "JPEG")
    laid = browser.post(f"{base}/checks/photos?name=wall.jpg", content=stream.getvalue()).json()
    asked = {"photo": laid["photo"]["key"], "way": "card", "state": "wet", "light": ""}
    answer = browser.post(f"{base}/checks", json=asked)
    assert answer.status_code == 400
    assert "wall.jpg" in answer.json()["error"]
    assert "refmatch " not in answer.json()["error"]
    assert len(browser.get(f"{base}/checks").json()["puddles"][0]["rounds"]) == 1


def test_strangers_get_nothing(judged, tmp_path: Path) -> None:
    browser, base, _ = judged
    stranger = Browser(tmp_path)
    for path in ("checks", "nudges/1", "dab-card.pdf"):
        assert stranger.get(f"{base}/{path}").status_code == 403
    foreign = {"origin": "http://elsewhere.example"}
    for path in ("checks", "checks/photos", "checks/done", "checks/not-done", "dab-card"):
        assert browser.ask("POST", f"{base}/{path}", foreign).status_code == 403
    assert browser.get("/api/paintings/none/checks").status_code == 404
