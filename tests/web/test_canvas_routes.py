"""The canvas over the wire: a photo laid, looked at, both shown; page and prompt say the same."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.cli.running import SAMPLES, Shell
from tests.web.asking import Browser

TRUTH = json.loads((SAMPLES / "garden-canvas.json").read_text("utf-8"))
CARD = dict(zip(("x_px", "y_px"), map(float, TRUTH["neutral"]["place"].split(",")), strict=False))


@pytest.fixture(scope="module")
def looked(tmp_path_factory: pytest.TempPathFactory) -> tuple[Browser, str, dict[str, Any]]:
    """A browser that has come in, the address of a painting's canvas, and its answer."""
    browser = Browser(tmp_path_factory.mktemp("shelf") / "paintings")
    browser.come_in()
    key = browser.post("/api/paintings?sample=garden-table").json()["id"]
    base = f"/api/paintings/{key}/canvas"
    assert browser.get(base).json()["shown"] is None
    data = (SAMPLES / "garden-canvas.jpg").read_bytes()
    laid = browser.post(f"{base}/photos?name=..%2F..%2Fgarden-canvas.jpg", content=data)
    assert laid.status_code == 200, laid.text
    card = {**CARD, "diameter_px": 120.0}
    asked = {"photo": laid.json()["photo"]["key"], "places": {"grey": card}, "grey_lstar": 49.5}
    answer = browser.post(base, json=asked)
    assert answer.status_code == 200, answer.text
    return browser, base, answer.json()


def test_the_page_says_what_the_prompt_says_in_json(looked) -> None:
    browser, base, state = looked
    folder = browser.shelf.folder_of(base.split("/")[3])
    place = TRUTH["neutral"]["place"]
    photo = SAMPLES / "garden-canvas.jpg"
    ran = Shell()("canvas", photo, "--painting", folder, "--neutral", place, "--json")
    assert ran.code == 0, ran.err
    said, shown = ran.json(), state["checked"]
    # the remedies in the sentences of flags are each door's own
    names = [[flag["name"] for flag in each.pop("flags")] for each in (said, shown)]
    assert names[0] == names[1]
    assert said == shown


def test_what_is_shown_is_the_last_sitting(looked) -> None:
    browser, base, state = looked
    shown = browser.get(base).json()["shown"]
    assert shown == state["shown"]
    assert shown["heading"].startswith("Sitting 1, ")
    assert len(shown["rows"]) >= 5


def test_both_are_pictures_as_they_are_and_in_few_values(looked) -> None:
    browser, base, state = looked
    assert len(state["pictures"]) == 6
    for name, look in state["pictures"].items():
        answer = browser.get(f"{base}/pictures/{name}/{look}")
        assert answer.status_code == 200
        assert answer.headers["content-type"] in ("image/jpeg", "image/png")


@pytest.mark.parametrize("name", ["balanced", "..%2Fpainting.json", "canvas-9"])
def test_no_other_file_is_given(looked, name: str) -> None:
    browser, base, _ = looked
    assert browser.get(f"{base}/pictures/{name}/x").status_code == 404


@pytest.mark.parametrize(
    "wrong",
    [
        {"photo": "0" * 16},
        {"corners": [{"x_px": 1, "y_px": 1}]},
        {"places": {"grey": {"x_px": -5, "y_px": 1, "diameter_px": 3}}},
        {"grey_lstar": 900},
        {"state": "damp"},
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(looked, wrong: dict[str, Any]) -> None:
    browser, base, state = looked
    answer = browser.post(base, json={"photo": state["photo"]["key"], **wrong})
    assert answer.status_code == 400
    assert answer.json()["error"].endswith((".", "?"))
