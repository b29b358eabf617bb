"""What the browser sends is bounded, and none of it is ever a path."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from refmatch.web import answers
from refmatch.web.routes.page import STATIC, known_files
from refmatch.web.routes.start import plain_name
from tests.web.asking import SAMPLES, Browser

PATHS = (
    "../../../../etc/passwd",
    "..%2f..%2f..%2fetc%2fpasswd",
    "%2fetc%2fpasswd",
    "..\\..\\secret",
    "....//....//etc/passwd",
    "/etc/passwd",
    "C:\\Windows\\win.ini",
    "file:///etc/passwd",
    "\0/etc/passwd",
    "%00",
)
"""As in the OWASP Web Security Testing Guide, "Testing Directory Traversal File Include"."""


async def endless(chunk: bytes) -> AsyncIterator[bytes]:
    while True:
        yield chunk


def test_a_photo_that_says_it_is_too_large_is_refused_before_it_is_read(browser: Browser) -> None:
    async def none_is_read() -> AsyncIterator[bytes]:
        raise AssertionError
        yield b""

    answer = browser.ask(
        "POST",
        "/api/paintings?name=big.jpg",
        {"origin": "http://127.0.0.1:8731", "content-length": str(answers.MOST_PHOTO_BYTES + 1)},
        content=none_is_read(),
    )
    assert answer.status_code == 413
    assert "200 MB" in answer.json()["error"]


def test_a_photo_that_does_not_say_how_large_it_is_is_refused_while_it_comes(
    browser: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(answers, "MOST_PHOTO_BYTES", 1_000_000)
    answer = browser.post("/api/paintings?name=big.jpg", content=endless(bytes(64_000)))
    assert answer.status_code == 413
    assert browser.shelf.paintings() == []


@pytest.mark.parametrize("length", ["-1", "x", "1e9", "٣"])
def test_a_length_that_is_none_is_refused(browser: Browser, length: str) -> None:
    headers = {"origin": "http://127.0.0.1:8731", "content-length": length}
    headers_bytes = [(name.encode(), value.encode()) for name, value in headers.items()]
    answer = browser.ask("POST", "/api/boxes", headers_bytes, content=b"{}")
    assert answer.status_code == 413


def test_json_is_bounded_too(browser: Browser) -> None:
    answer = browser.post("/api/boxes", content=endless(b" " * 10_000))
    assert answer.status_code == 413


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"no json",
        b"[]",
        b"3",
        b'"text"',
        b"null",
        b"\xff\xfe",
        b"[" * 100_000,
        b'{"name": NaN}',
        b'{"name": 1e999}',
        b'{"name": ' + b"9" * 5000 + b"}",
        b'{"a":' * 20 + b"1" + b"}" * 20,
        b'{"tubes": [' + b"1," * 1000 + b"1]}",
        b'{"name": "x"}',
        b'{"name": "x", "tubes": "PW6"}',
        b'{"name": "x", "tubes": []}',
        b'{"name": "x", "tubes": [3]}',
        b'{"name": "x", "tubes": [{}]}',
        b'{"name": "x", "tubes": [{"pigment": 3}]}',
        b'{"name": "x", "tubes": [{"pigment": "PW6", "name": ["x"]}]}',
        b'{"name": "x", "tubes": [{"pigment": "no-such-pigment"}]}',
        b'{"name": 3, "tubes": [{"pigment": "PW6"}]}',
        b'{"name": " ", "tubes": [{"pigment": "PW6"}]}',
        json.dumps({"name": "x" * 81, "tubes": [{"pigment": "PW6"}]}).encode(),
        json.dumps({"name": "x", "tubes": [{"pigment": "PW6"}] * 61}).encode(),
    ],
)
def test_what_is_not_as_agreed_is_answered_in_a_sentence(browser: Browser, body: bytes) -> None:
    answer = browser.post("/api/boxes", content=body)
    assert answer.status_code == 400
    assert answer.json()["error"].endswith(".")
    assert "Traceback" not in answer.text


def test_an_empty_photo_is_refused(browser: Browser) -> None:
    answer = browser.post("/api/paintings?name=pear.jpg")
    assert answer.status_code == 400
    assert "photo" in answer.json()["error"]


def test_what_is_no_photo_is_refused_by_the_name_it_came_with(browser: Browser) -> None:
    answer = browser.post("/api/paintings?name=pear.jpg", content=b"<html>no photo</html>")
    assert answer.status_code == 400
    assert "pear.jpg" in answer.json()["error"]
    assert "/" not in answer.json()["error"].replace("TIFF, WebP or HEIC", "")
    assert browser.shelf.paintings() == []


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize(
    "address",
    [
        "/static/{}",
        "/static/core/{}",
        "/api/paintings/{}",
        "/api/paintings/{}/sheet.pdf",
        "/api/paintings/{}/pictures/x/balanced.jpg",
        "/{}",
    ],
)
def test_no_path_is_opened(browser: Browser, address: str, path: str) -> None:
    address = address.format(path.replace("\0", "%00"))
    answer = browser.get(address)
    assert answer.status_code == 404, answer.text
    assert "root:" not in answer.text


@pytest.mark.parametrize("path", PATHS)
def test_a_sample_is_a_name_and_no_path(browser: Browser, path: str) -> None:
    for name in (path, f"../sample_images/{path}", str(SAMPLES / "garden-table")):
        answer = browser.ask(
            "POST", "/api/paintings", {"origin": "http://127.0.0.1:8731"}, params={"sample": name}
        )
        assert answer.status_code == 404, answer.text


@pytest.mark.parametrize("path", PATHS)
def test_an_uploaded_photo_lands_on_the_shelf_and_nowhere_else(
    browser: Browser, path: str, tmp_path: Path
) -> None:
    photo = (SAMPLES / "dab-board.jpg").read_bytes()[:1000]
    for name in (path, path + ".jpg", "."):
        answer = browser.ask(
            "POST",
            "/api/paintings",
            {"origin": "http://127.0.0.1:8731"},
            params={"name": name},
            content=photo,
        )
        assert answer.status_code == 400, answer.text  # cut short, but read as a photo's file
        assert "damaged" in answer.json()["error"]
    assert [p for p in tmp_path.rglob("*") if p.is_file() and p.name != ".lock"] == []


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("pear.jpg", "pear.jpg"),
        ("IMG_0042.HEIC", "IMG_0042.heic"),
        ("Poire à l'ombre.jpeg", "Poire à l ombre.jpeg"),
        ("../../etc/passwd", "photo.jpg"),
        ("..\\..\\pear.png", "pear.png"),
        (".jpg", "photo.jpg"),
        ("...jpg", "photo.jpg"),
        ("", "photo.jpg"),
        ("pear", "photo.jpg"),
        ("pear.exe", "photo.jpg"),
        ("pear.jpg/", "pear.jpg"),
        ("pe\0ar\n.jpg", "pe ar.jpg"),
        ("<b>pear</b>.jpg", "b.jpg"),
        ("x" * 300 + ".tiff", "x" * 80 + ".tiff"),
    ],
)
def test_a_photos_name_is_cleaned(said: str, kept: str) -> None:
    assert plain_name(said) == kept


def test_only_what_is_listed_is_served() -> None:
    for name, path in known_files().items():
        assert path.resolve().is_relative_to(STATIC.resolve()), name
        assert ".." not in name
