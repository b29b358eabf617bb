"""The page and its parts arrive as what they are, and nothing in them comes from elsewhere."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from refmatch.web.app import without_places
from refmatch.web.routes.page import MEDIA_TYPES, STATIC, known_files
from tests.web.asking import Browser

OUTSIDE = re.compile(r"https?://|['\"(]//\w")
NAMESPACES = re.compile(r"http://www\.w3\.org/\d{4}/\w+")


def test_the_page_is_the_page(browser: Browser) -> None:
    answer = browser.get("/")
    assert answer.headers["content-type"] == "text/html; charset=utf-8"
    assert answer.content == (STATIC / "index.html").read_bytes()


@pytest.mark.parametrize(
    ("ending", "kind"), [(".js", "text/javascript"), (".css", "text/css"), (".svg", "image/svg")]
)
def test_every_part_is_sent_as_what_it_is(browser: Browser, ending: str, kind: str) -> None:
    """With nosniff a script of another type would not run (HTML standard, 8.1.3.8)."""
    names = [name for name in known_files() if name.endswith(ending)]
    assert names
    for name in names[:3]:
        assert browser.get(f"/static/{name}").headers["content-type"].startswith(kind)


def test_what_has_not_changed_is_not_sent_again(browser: Browser) -> None:
    first = browser.get("/static/app.js")
    again = browser.get("/static/app.js", **{"if-none-match": first.headers["etag"]})
    assert again.status_code == 304
    assert again.content == b""


def test_an_unknown_part_is_not_there(browser: Browser) -> None:
    assert browser.get("/static/no-such.js").status_code == 404
    assert browser.get("/static/").status_code == 404


def test_a_method_that_is_not_offered_is_said_so(browser: Browser) -> None:
    answer = browser.post("/api/start")
    assert answer.status_code == 405
    assert answer.json()["error"] == "That cannot be done here."


@pytest.mark.parametrize("name", sorted(known_files()))
def test_nothing_is_loaded_from_outside(name: str) -> None:
    """The page works offline; the policy would refuse it too."""
    path = known_files()[name]
    if path.suffix == ".png":
        return
    text = NAMESPACES.sub("", path.read_text("utf-8"))
    assert not OUTSIDE.search(text)


def test_no_script_or_style_stands_in_the_page() -> None:
    """The policy has no 'unsafe-inline': it would not run."""
    text = (STATIC / "index.html").read_text("utf-8")
    assert not re.search(r"<style|\sstyle=|\son\w+=|<script(?![^>]*\ssrc=)", text)


def test_every_file_of_the_page_can_be_sent() -> None:
    files = [path for path in STATIC.rglob("*") if path.is_file()]
    assert {path.suffix for path in files} <= set(MEDIA_TYPES)


def test_a_sentence_never_says_where_on_the_disk_a_file_is(tmp_path: Path) -> None:
    shelf = tmp_path / "paintings"
    said = f"The photo '{shelf}/pears/photo.jpg' is gone; the folder '{shelf}' is full."
    assert without_places(said, shelf) == (
        "The photo 'pears/photo.jpg' is gone; the folder 'paintings' is full."
    )
    assert str(Path.home()) not in without_places(f"'{Path.home()}/a.jpg' is gone.", shelf)
