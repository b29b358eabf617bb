"""The page on a disk that is full, read-only or pulled out, at each call in turn."""

from __future__ import annotations

import io
import itertools
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from refmatch.painting.store import open_folder
from refmatch.web.bench.files import key_of
from tests import faults
from tests.web.asking import Browser


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begun_in(tmp_path_factory.mktemp("shelf") / "paintings")


def begun_in(folder: Path) -> Path:
    """A shelf with a painting of a few pixels and two steps, a box, and a box in the making."""
    browser = Browser(folder)
    browser.come_in()
    photo = folder.parent / "pears.jpg"
    Image.new("RGB", (48, 36), (150, 120, 90)).save(photo)
    browser.shelf.new_from_photo(photo, "pears")
    tubes = [{"pigment": "PW6", "name": "chalk"}, {"pigment": "PB29", "name": "blue"}]
    made = browser.post("/api/boxes", json={"name": "orchard", "tubes": tubes}).json()
    browser.post("/api/benches", json={"box": made["id"], "paper": "a4", "grey_lstar": 49.5})
    for title in ("one", "two"):
        retitle(browser, title)
    return folder


def address(browser: Browser) -> str:
    return f"/api/paintings/{key_of(browser.shelf.folder / 'pears')}"


def retitle(browser: Browser, title: str = "new") -> int:
    where = address(browser)
    asked = {"revision": browser.get(where).json()["revision"], "do": "title", "title": title}
    return browser.post(f"{where}/changes", json=asked).status_code


def undo(browser: Browser) -> int:
    where = address(browser)
    revision = browser.get(where).json()["revision"]
    return browser.post(f"{where}/undo", json={"revision": revision}).status_code


def new_box(browser: Browser) -> int:
    tubes = [{"pigment": "PW6", "name": "chalk"}]
    return browser.post("/api/boxes", json={"name": "white", "tubes": tubes}).status_code


def light_of_bench(browser: Browser) -> int:
    (bench,) = browser.get("/api/benches").json()["benches"]
    where = f"/api/benches/{bench['id']}"
    asked = {"do": "light", "light": "LED", "revision": browser.get(where).json()["revision"]}
    return browser.post(f"{where}/changes", json=asked).status_code


def redo(browser: Browser) -> int:
    where = address(browser)
    revision = browser.get(where).json()["revision"]
    return browser.post(f"{where}/redo", json={"revision": revision}).status_code


def card_of_bench(browser: Browser) -> int:
    (bench,) = browser.get("/api/benches").json()["benches"]
    where = f"/api/benches/{bench['id']}"
    asked = {
        "paper": "letter",
        "grey_lstar": 52.0,
        "revision": browser.get(where).json()["revision"],
    }
    return browser.post(f"{where}/card", json=asked).status_code


def another_bench(browser: Browser) -> int:
    asked = {"box": "comes-garden-table", "paper": "a4", "grey_lstar": 49.5}
    return browser.post("/api/benches", json=asked).status_code


def put_away(browser: Browser) -> int:
    return browser.post(f"{address(browser)}/shelf", json={"do": "put_away"}).status_code


def new_painting(browser: Browser) -> int:
    photo = next(path for path in browser.shelf.folder.glob("pears*/*.jpg"))
    return browser.post("/api/paintings?name=pears.jpg", content=photo.read_bytes()).status_code


STEPS: dict[str, Callable[[Browser], int]] = {
    "change": retitle,
    "undo": undo,
    "redo": redo,
    "box": new_box,
    "bench": light_of_bench,
    "card": card_of_bench,
    "begin a bench": another_bench,
    "put away": put_away,
    "begin": new_painting,
}


def told(folder: Path) -> dict[str, object]:
    """Return what is said of painting, boxes and bench, by a studio that was just started."""
    browser = Browser(folder)
    browser.come_in()
    start = browser.get("/api/start").json()
    state = browser.get(address(browser)).json()
    benches = browser.get("/api/benches").json()["benches"]
    bench = next(bench for bench in benches if bench["name"] == "orchard")
    made = browser.get(f"/api/benches/{bench['id']}").json()
    return {
        "paintings": len(start["paintings"]),
        "damaged": len(start["damaged"]) + len(start["damaged_boxes"]),
        "put_away": start["put_away"],
        "benches": len(benches),
        "card": made["card"],
        "title": state["title"],
        "undo": state["undo"],
        "redo": state["redo"],
        "boxes": sorted(box["name"] for box in start["boxes"]),
        "light": made["light"],
    }


CODES = (faults.FULL, faults.READ_ONLY, faults.WORN, faults.GONE)
OTHERS = itertools.cycle(CODES[1:])


@pytest.mark.parametrize(
    ("step", "code"),
    [
        *((step, faults.FULL) for step in STEPS),
        *((step, code) for step, code in zip(STEPS, OTHERS, strict=False) if step != "begin"),
    ],
)
def test_what_is_answered_is_there_and_the_rest_refused(begun, tmp_path, step, code):
    """Each step on a full disk, and on one that fails otherwise.

    All of them with all: ``python -m tests.benchmarks.failing_disk``.
    """
    assert calls_tried(begun, tmp_path, step, code) > 4


def calls_tried(begun: Path, at: Path, step: str, code: int) -> int:
    """Try a step with the disk failing from each of its calls on; return how many there were."""
    if step == "redo":
        begun = shutil.copytree(begun, at / "undone")
        browser = Browser(begun)
        browser.come_in()
        assert undo(browser) == 200
    before = told(shutil.copytree(begun, at / "before"))
    for first in itertools.count():
        folder = shutil.copytree(begun, at / f"at {first}")
        browser = Browser(folder)
        browser.come_in()
        with faults.failing_disk(first, code, stays=True) as disk:
            status = STEPS[step](browser)
        assert status in (200, 404, 507), f"{step}, call {first}"
        assert (told(folder) != before) == (status == 200), f"{step}, call {first}"
        nothing_left = step == "redo" and status == 200
        assert STEPS[step](browser) == (400 if nothing_left else 200), f"again, call {first}"
        if not disk.struck:
            break
    return first + 1


def test_a_painting_is_shown_and_printed_where_nothing_can_be_written(begun, tmp_path):
    folder = shutil.copytree(begun, tmp_path / "paintings")
    painting = folder / "pears"
    (painting / "history.jsonl").unlink()  # as after a command, which begins none
    before = {path: path.read_bytes() for path in painting.rglob("*") if path.is_file()}
    browser = Browser(folder)
    browser.come_in()
    with faults.failing_disk(0, faults.READ_ONLY, stays=True):
        where = address(browser)
        assert browser.get(where).status_code == 200
        answer = browser.get(f"{where}/sheet.pdf")
        assert answer.status_code == 200, answer.text
        assert answer.content.startswith(b"%PDF")
        flags = {flag["name"]: flag["text"] for flag in browser.get(where).json()["flags"]}
        assert "it does not stand in the record" in flags["sheet_not_recorded"]
        refusal = browser.post(
            f"{where}/changes",
            json={"revision": browser.get(where).json()["revision"], "do": "title", "title": "x"},
        )
        assert refusal.status_code == 507
        assert "does not let" in refusal.json()["error"]
    assert {path: path.read_bytes() for path in painting.rglob("*") if path.is_file()} == before
    assert browser.get(f"{where}/sheet.pdf").status_code == 200
    names = {flag["name"] for flag in browser.get(where).json()["flags"]}
    assert "sheet_not_recorded" not in names
    assert len(open_folder(painting).painting.sheets) == 1
    assert retitle(browser) == 200
    assert open_folder(painting).painting.title == "new"


def test_a_bench_tidies_away_only_photos_of_its_own(begun, tmp_path):
    folder = shutil.copytree(begun, tmp_path / "paintings")
    photos, elsewhere = folder / "boxes" / "orchard" / "photos", tmp_path / "elsewhere"
    for name in ("my dabs.jpg", f"{'0' * 20}.jpg", ".nomedia"):
        (photos / name).write_bytes(b"the painter's")
    browser = Browser(folder)
    browser.come_in()
    assert light_of_bench(browser) == 200
    assert len(list(photos.iterdir())) == 3
    photos.rename(elsewhere)
    photos.symlink_to(elsewhere)
    assert light_of_bench(browser) == 200
    assert len(list(elsewhere.iterdir())) == 3


def test_a_photo_that_finds_no_room_on_its_way_is_refused(begun, tmp_path, monkeypatch):
    browser = Browser(shutil.copytree(begun, tmp_path / "paintings"))
    browser.come_in()
    if not Path("/dev/full").exists():
        pytest.skip("this system has no /dev/full (null(4))")
    full = io.FileIO("/dev/full", "w")
    monkeypatch.setattr(Path, "open", lambda *_: full)
    answer = browser.post("/api/paintings?name=pears.jpg", content=b"\xff\xd8\xff" * 1000)
    assert answer.status_code == 507, answer.text
    assert "disk is full" in answer.json()["error"]
