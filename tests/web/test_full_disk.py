"""The page on a disk that is full, read-only or pulled out, at each call in turn."""

from __future__ import annotations

import io
import shutil
from pathlib import Path

import pytest

from refmatch.painting.store import open_folder
from refmatch.web.app import ROUTES
from refmatch.web.tidying import WAYS
from tests import faults, writers
from tests.web.asking import Browser
from tests.web.steps import STEPS, Trial, address, lay_out, light_of_bench, retitle


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return lay_out(tmp_path_factory.mktemp("shelf") / "paintings")


@pytest.mark.parametrize("name", STEPS)
def test_what_is_answered_is_there_and_the_rest_refused(
    begun: Path, tmp_path: Path, name: str
) -> None:
    """`tests.benchmarks.failing_disk` tries every kind of failure at every call."""
    trial, turn = Trial(name, begun, tmp_path), list(STEPS).index(name)
    assert trial.calls >= 1
    for first, disk in writers.some(trial.calls, turn):
        trial.at(first, disk)


def test_every_route_that_writes_is_tried() -> None:
    posts = {f"{method} {route.path}" for route in ROUTES for method in route.methods or ()}
    posts = {route for route in posts if route.startswith("POST ")}
    posts.remove("POST /api/value-finder/photos")  # its photo is measured, and nothing is kept
    tried = {step.route for step in STEPS.values()}
    assert posts - tried == set()
    for name in WAYS:
        assert name in STEPS


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
    assert retitle(browser).status_code == 200
    assert open_folder(painting).painting.title == "new"


def test_a_bench_tidies_away_only_photos_of_its_own(begun, tmp_path):
    folder = shutil.copytree(begun, tmp_path / "paintings")
    photos, elsewhere = folder / "boxes" / "orchard" / "photos", tmp_path / "elsewhere"
    for name in ("my dabs.jpg", f"{'0' * 20}.jpg", ".nomedia"):
        (photos / name).write_bytes(b"the painter's")
    browser = Browser(folder)
    browser.come_in()
    assert light_of_bench(browser).status_code == 200
    assert len(list(photos.iterdir())) == 3
    photos.rename(elsewhere)
    photos.symlink_to(elsewhere)
    assert light_of_bench(browser).status_code == 200
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
