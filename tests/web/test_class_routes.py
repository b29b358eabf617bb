"""Classes over the wire: the same answers as at the prompt, and nothing of the server's disk."""

from __future__ import annotations

import json
from pathlib import Path

import pymupdf
import pytest

from tests.cli.running import Shell
from tests.web.asking import Browser

TUBES = [
    {"pigment": "PW6", "name": "white"},
    {"pigment": "PY43", "name": "my ochre"},
    {"pigment": "PB29", "name": "my blue"},
]
TABLE = "Anna, PW6, PY3, PR101, PB29=my blue\n7; x\n"


@pytest.fixture(scope="module")
def taught(tmp_path_factory: pytest.TempPathFactory) -> tuple[Browser, str]:
    """A browser, and the key of a class of two around a sample with two holes."""
    browser = Browser(tmp_path_factory.mktemp("shelf") / "paintings")
    browser.come_in()
    painting = browser.post("/api/paintings?sample=garden-table").json()["id"]
    for x, y in ((983, 896), (1258, 736)):
        state = browser.get(f"/api/paintings/{painting}").json()
        place = {"x_px": x, "y_px": y, "diameter_px": 60}
        asked = {"do": "punch", "revision": state["revision"], **place}
        answer = browser.post(f"/api/paintings/{painting}/changes", json=asked)
        assert answer.status_code == 200, answer.text
    made = browser.post("/api/classes", json={"painting": painting, "name": "Tuesday"})
    assert made.status_code == 200, made.text
    key = made.json()["id"]
    rows = "Anna, PW6, PY3, PR101, PB29=my blue\nBen, garden-table"
    added = browser.post(f"/api/classes/{key}/students", json={"table": rows, "replace": False})
    assert added.status_code == 200, added.text
    return browser, key


def test_it_says_what_the_prompt_says(taught: tuple[Browser, str]) -> None:
    browser, key = taught
    page = browser.get(f"/api/classes/{key}/mixes").json()
    folder = browser.shelf.folder / "classes" / "tuesday"
    prompt = Shell()("class", "mix", folder, "--json").json()
    assert page["students"] == prompt["students"]
    assert page["paints"] == prompt["paints"]
    for on_page, told in zip(page["targets"], prompt["targets"], strict=True):
        assert on_page["spread"] == told["spread"]
        for mix, same in zip(on_page["mixes"], told["mixes"], strict=True):
            assert mix["portions"] == same["portions"]
            assert mix["remarks"] == same["remarks"]
            assert mix["mix_lab"]["lab"] == pytest.approx(same["mix_lab"], abs=1e-3)


def test_it_is_listed_with_who_is_in_it(taught: tuple[Browser, str]) -> None:
    browser, key = taught
    (card,) = browser.get("/api/classes").json()["classes"]
    assert card == {"id": key, "name": "Tuesday", "title": "Garden table", "students": 2}
    roll = browser.get(f"/api/classes/{key}").json()
    assert [(each["name"], each["print"]) for each in roll["students"]] == [
        ("Anna", "01-anna.pdf"),
        ("Ben", "02-ben.pdf"),
    ]


def test_its_prints_are_handed_out(taught: tuple[Browser, str]) -> None:
    browser, key = taught
    pages = {"hand-outs": 8, "01-anna": 4, "02-ben": 4}
    for name, count in pages.items():
        answer = browser.get(f"/api/classes/{key}/{name}.pdf?paper=letter")
        assert answer.headers["content-type"] == "application/pdf"
        assert len(pymupdf.open(stream=answer.content)) == count
    assert browser.get(f"/api/classes/{key}/tutor.pdf").content.startswith(b"%PDF")


@pytest.mark.parametrize(
    ("path", "body", "says"),
    [
        ("{key}/students", {"table": TABLE, "replace": False}, "the table"),
        ("{key}/students", {"table": "ben, garden-table", "replace": False}, "ben"),
        ("{key}/students", {"table": "Eve, /etc/passwd.toml", "replace": False}, "Eve"),
        ("{key}/students", {"table": "Eve, ../../../x.toml", "replace": True}, "Eve"),
        ("{key}/students", {"table": 3, "replace": False}, "table"),
        ("{key}/students", {"table": "x" * 50_000, "replace": False}, "table"),
        ("nothing/students", {"table": "Eve, garden-table", "replace": False}, "no such class"),
    ],
)
def test_what_is_wrong_is_told_and_nothing_is_changed(
    taught: tuple[Browser, str], path: str, body: dict[str, object], says: str
) -> None:
    browser, key = taught
    before = browser.get(f"/api/classes/{key}").json()
    answer = browser.post(f"/api/classes/{path.format(key=key)}", json=body)
    assert 400 <= answer.status_code < 500
    assert says in answer.json()["error"]
    assert str(browser.shelf.folder) not in answer.text
    assert browser.get(f"/api/classes/{key}").json() == before


@pytest.mark.parametrize("name", ["03-eve", "..%2f..%2fclass", "class"])
def test_only_prints_are_handed_out(taught: tuple[Browser, str], name: str) -> None:
    browser, key = taught
    assert browser.get(f"/api/classes/{key}/{name}.pdf").status_code in (400, 404)


def test_a_class_that_was_damaged_by_hand_is_told(taught: tuple[Browser, str]) -> None:
    browser, key = taught
    roll = browser.shelf.folder / "classes" / "tuesday" / "class.toml"
    kept = roll.read_bytes()
    try:
        roll.write_text("name = = 1")
        answer = browser.get(f"/api/classes/{key}/mixes")
        assert answer.status_code == 400
        assert "line 1" in json.loads(answer.text)["error"]
        assert browser.get("/api/classes").json()["classes"] == []
    finally:
        roll.write_bytes(kept)


def test_the_shelf_of_paintings_holds_no_class(taught: tuple[Browser, str]) -> None:
    browser, _ = taught
    assert "Tuesday" not in [p["title"] for p in browser.get("/api/start").json()["paintings"]]
    assert Path(browser.shelf.folder / "classes" / "tuesday" / "lesson").is_dir()


def test_a_painting_without_holes_is_no_lesson(taught: tuple[Browser, str]) -> None:
    browser, _ = taught
    painting = browser.post("/api/paintings?sample=orchard-shade").json()["id"]
    answer = browser.post("/api/classes", json={"painting": painting, "name": "Friday"})
    assert answer.status_code == 400
    assert "punch holes" in answer.json()["error"]
    assert len(browser.get("/api/classes").json()["classes"]) == 1


def test_a_student_brings_a_box_of_the_shelf(taught: tuple[Browser, str]) -> None:
    browser, key = taught
    made = browser.post("/api/boxes", json={"name": "Dora's", "tubes": TUBES})
    assert made.status_code == 200, made.text
    asked = {"name": "Dora", "box": made.json()["id"], "replace": False}
    students = browser.post(f"/api/classes/{key}/students", json=asked).json()["students"]
    assert students[-1]["name"] == "Dora"
    mixed = browser.get(f"/api/classes/{key}/mixes").json()["students"]
    assert mixed[-1]["tubes"] == ["white", "my ochre", "my blue"]
    again = browser.post(f"/api/classes/{key}/students", json=asked)
    assert again.status_code == 400
    assert "Dora" in again.json()["error"]
    none = browser.post(f"/api/classes/{key}/students", json={**asked, "box": "none"})
    assert none.status_code == 400
