"""A painting over the wire: changes, windows that are behind, words that stay words."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

from refmatch.web.shelf import MOST_OPEN
from tests.web.asking import Browser

SAMPLES = Path(__file__).parents[2] / "sample_images"
AtWork = tuple[Browser, str]
MARKUP = '<img src=x onerror="alert(1)">'


def state_of(at_work: AtWork) -> dict:
    browser, key = at_work
    return browser.get(f"/api/paintings/{key}").json()


def change(at_work: AtWork, do: str, **fields: object):
    browser, key = at_work
    asked = {"revision": state_of(at_work)["revision"], "do": do, **fields}
    return browser.post(f"/api/paintings/{key}/changes", json=asked)


def test_the_start_tells_what_there_is(at_work: AtWork) -> None:
    browser, key = at_work
    start = browser.get("/api/start").json()
    assert key in [card["id"] for card in start["paintings"]]
    assert {"garden-table", "orchard-shade"} <= {each["name"] for each in start["samples"]}
    assert start["most_photo_bytes"] == 200_000_000
    assert str(browser.shelf.folder) not in browser.get("/api/start").text


def test_a_label_with_markup_stays_text(at_work: AtWork) -> None:
    """OWASP, "Cross Site Scripting Prevention": JSON is sent as JSON, and never as a page."""
    made = change(at_work, "punch", x_px=400, y_px=400).json()["made"]
    answer = change(at_work, "name", hole=made, label=MARKUP)
    assert answer.headers["content-type"] == "application/json"
    assert answer.headers["x-content-type-options"] == "nosniff"
    (hole,) = [hole for hole in answer.json()["holes"] if hole["key"] == made]
    assert hole["label"] == MARKUP
    change(at_work, "remove", hole=made)


def test_a_window_that_is_behind_gets_the_present_state(at_work: AtWork) -> None:
    browser, key = at_work
    behind = state_of(at_work)["revision"]
    change(at_work, "title", title=f"Table at {behind}")
    late = {"revision": behind, "do": "title", "title": "Written over"}
    answer = browser.post(f"/api/paintings/{key}/changes", json=late)
    assert answer.status_code == 409
    assert answer.json()["state"]["title"] == f"Table at {behind}"
    assert answer.json()["error"].endswith(".")
    for way in ("undo", "redo"):
        answer = browser.post(f"/api/paintings/{key}/{way}", json={"revision": behind})
        assert answer.status_code == 409


def test_undo_and_redo_go_there_and_back(at_work: AtWork) -> None:
    browser, key = at_work
    before = state_of(at_work)["title"]
    change(at_work, "title", title="Another title")
    now = {"revision": state_of(at_work)["revision"]}
    undone = browser.post(f"/api/paintings/{key}/undo", json=now).json()
    assert undone["title"] == before
    redone = browser.post(f"/api/paintings/{key}/redo", json={"revision": undone["revision"]})
    assert redone.json()["title"] == "Another title"


@pytest.mark.parametrize(
    "fields",
    [
        {},
        {"revision": 1},
        {"revision": "1", "do": "punch"},
        {"revision": True, "do": "punch"},
        {"revision": 1.5, "do": "punch"},
        {"revision": None, "do": "punch"},
        {"do": "punch"},
        {"do": ["punch"], "revision": 1},
    ],
)
def test_a_change_says_what_and_to_which_state(at_work: AtWork, fields: dict) -> None:
    browser, key = at_work
    answer = browser.post(f"/api/paintings/{key}/changes", json=fields)
    assert answer.status_code == 400
    assert answer.json()["error"].endswith(".")


@pytest.mark.parametrize(
    ("do", "fields"),
    [
        ("no-such-change", {}),
        ("__class__", {}),
        ("punch", {}),
        ("punch", {"x_px": "1", "y_px": 1}),
        ("punch", {"x_px": -1, "y_px": 1}),
        ("punch", {"x_px": 1e9, "y_px": 1}),
        ("punch", {"x_px": 10**400, "y_px": 1}),
        ("title", {"title": ["x"]}),
        ("title", {"title": "x" * 1000}),
        ("title", {"title": {"a": "b"}}),
        ("name", {"hole": "no-such", "label": "x"}),
        ("name", {"hole": {"key": "h1"}, "label": "x"}),
        ("away", {"tubes": "PW6"}),
        ("away", {"tubes": ["x"] * 400}),
        ("away", {"tubes": [{"a": 1}]}),
        ("box", {"box": "../../etc/passwd"}),
        ("crop", {"left_px": 0, "top_px": 0, "width_px": 1e7, "height_px": 1e7}),
        ("options", {"tubes": 50}),
        ("light", {"method": "no-such"}),
    ],
)
def test_a_change_that_cannot_be_made_changes_nothing(
    at_work: AtWork, do: str, fields: dict
) -> None:
    before = state_of(at_work)
    answer = change(at_work, do, **fields)
    assert answer.status_code == 400, answer.text
    assert answer.json()["error"].endswith((".", "?"))
    assert state_of(at_work) == before


@pytest.mark.parametrize(
    "query",
    ["", "?x=1&y=1", "?x=nan&y=1&diameter=9", "?x=1&y=inf&diameter=9", "?x=a&y=1&diameter=9"],
)
def test_a_reading_says_where(at_work: AtWork, query: str) -> None:
    browser, key = at_work
    answer = browser.get(f"/api/paintings/{key}/reading{query}")
    assert answer.status_code == 400
    assert answer.json()["error"].endswith(".")


def test_a_reading_is_a_colour_in_words_and_figures(at_work: AtWork) -> None:
    browser, key = at_work
    told = browser.get(f"/api/paintings/{key}/reading?x=983&y=896&diameter=60&recipe=1").json()
    assert told["words"].startswith("value")
    assert len(told["colour"]["lab"]) == 3
    assert told["recipe"]["colour"]["srgb"].startswith("#")


@pytest.mark.parametrize(
    "kind",
    ["balanced.jpg", "as-shot.jpg", "values-5.jpg", "squint.jpg", "masses.jpg", "clipped.png"],
)
def test_pictures_are_kept_by_the_browser_since_their_name_is_their_content(
    at_work: AtWork, kind: str
) -> None:
    """RFC 8246: immutable; RFC 9111: private."""
    browser, key = at_work
    look = state_of(at_work)["photo"]["look"]
    answer = browser.get(f"/api/paintings/{key}/pictures/{look}/{kind}")
    assert answer.headers["cache-control"] == "private, max-age=31536000, immutable"
    with Image.open(io.BytesIO(answer.content)) as picture:
        assert Image.MIME[picture.format or ""] == answer.headers["content-type"]


def test_a_tile_shows_the_photo_up_close(at_work: AtWork) -> None:
    browser, key = at_work
    look = state_of(at_work)["photo"]["look"]
    answer = browser.get(f"/api/paintings/{key}/tiles/{look}/1/0/0.jpg")
    with Image.open(io.BytesIO(answer.content)) as picture:
        assert picture.size == (512, 512)


@pytest.mark.parametrize(
    "path",
    [
        "pictures/{look}/no-such.jpg",
        "tiles/{look}/1/999/0.jpg",
        "tiles/{look}/99/0/0.jpg",
        "tiles/{look}/0/0/0.jpg",
        "tiles/{look}/1/-1/0.jpg",
        "tiles/{look}/1/x/0.jpg",
        "card.png?ground=pink",
        "no-such",
    ],
)
def test_a_picture_that_is_not_there_is_a_sentence(at_work: AtWork, path: str) -> None:
    browser, key = at_work
    look = state_of(at_work)["photo"]["look"]
    answer = browser.get(f"/api/paintings/{key}/{path.format(look=look)}")
    assert answer.status_code in (400, 404)
    assert answer.json()["error"].endswith(".")
    assert answer.headers["cache-control"] == "no-store"


@pytest.mark.parametrize("ground", ["grey", "white", "toned"])
def test_the_card_is_drawn_on_each_ground(at_work: AtWork, ground: str) -> None:
    browser, key = at_work
    answer = browser.get(f"/api/paintings/{key}/card.png?ground={ground}")
    assert answer.headers["content-type"] == "image/png"
    assert answer.headers["cache-control"] == "no-store"


@pytest.mark.parametrize("path", ["paintings/{key}/small.jpg", "samples/garden-table.jpg"])
def test_the_start_shows_small_pictures(at_work: AtWork, path: str) -> None:
    browser, key = at_work
    answer = browser.get(f"/api/{path.format(key=key)}")
    with Image.open(io.BytesIO(answer.content)) as picture:
        assert max(picture.size) == 640
        assert picture.width / picture.height == pytest.approx(1920 / 1280, rel=0.01)


@pytest.mark.parametrize("path", ["pictures/old/balanced.jpg", "tiles/old/1/0/0.jpg"])
def test_of_a_look_that_is_gone_there_is_no_picture_and_no_fault(
    at_work: AtWork, path: str
) -> None:
    browser, key = at_work
    answer = browser.get(f"/api/paintings/{key}/{path}")
    assert (answer.status_code, answer.content) == (204, b"")
    assert answer.headers["cache-control"] == "no-store"


def test_an_unknown_painting_is_not_there(browser: Browser) -> None:
    for path in ("", "/small.jpg", "/sheet", "/events", "/guesses", "/reach", "/card.png"):
        answer = browser.get(f"/api/paintings/no-such{path}")
        assert answer.status_code == 404
        assert answer.json()["error"].endswith(".")


def test_guesses_and_reach_are_told(at_work: AtWork) -> None:
    browser, key = at_work
    guesses = browser.get(f"/api/paintings/{key}/guesses").json()["guesses"]
    assert {"method", "words", "confidence"} <= set(guesses[0])
    assert len(browser.get(f"/api/paintings/{key}/reach").json()["outline"]) >= 3


def test_a_new_box_can_be_taken_at_once(at_work: AtWork) -> None:
    browser, _ = at_work
    tubes = [{"pigment": "PW6", "name": "my white"}, {"pigment": "PB29"}, {"pigment": "PY74"}]
    made = browser.post("/api/boxes", json={"name": "three <tubes>", "tubes": tubes})
    listed = browser.get("/api/start").json()["boxes"]
    names = ["my white", "PB29", "PY74"]
    assert {"id": made.json()["id"], "name": "three <tubes>", "tubes": names} in listed
    answer = change(at_work, "box", box=made.json()["id"])
    assert [tube["tube"] for tube in answer.json()["box"]["tubes"]] == names


def test_a_box_may_hold_a_tube_of_a_pigment_that_is_not_listed(at_work: AtWork) -> None:
    browser, _ = at_work
    other = {"pigment": "PX999", "name": "mystery", "neighbour": "phthalo-green"}
    bare = {"pigment": "", "name": "odd", "neighbour": "unknown"}
    tubes = [{"pigment": "PW6"}, {"pigment": "PB29"}, other, bare]
    made = browser.post("/api/boxes", json={"name": "odd tubes", "tubes": tubes}).json()
    box = change(at_work, "box", box=made["id"]).json()["box"]
    written = {tube["tube"]: tube for tube in box["tubes"]}
    assert (written["mystery"]["pigments"], written["odd"]["pigments"]) == (["PX999"], [])
    assert written["odd"]["cautions"] == ["unknown, see the label"]
    refused = browser.post(
        "/api/boxes", json={"name": "no", "tubes": [{"pigment": "PW6"}, {"pigment": "PX999"}]}
    )
    assert refused.status_code == 400
    assert "PX999" in refused.json()["error"]


def test_a_painting_that_a_window_listens_to_stays_open(browser: Browser, tmp_path: Path) -> None:
    """Else the window would listen to a desk that nobody works at any more."""
    shelf, photo = browser.shelf, tmp_path / "small.jpg"
    with Image.open(SAMPLES / "dab-board.jpg") as whole:
        whole.resize((160, 120)).save(photo)
    first, *others = (shelf.new_from_photo(photo) for _ in range(MOST_OPEN + 1))
    stop = shelf.open(first).listen(lambda revision, window: None)
    desk = shelf.open(first)
    for key in others:
        shelf.open(key)
    assert shelf.open(first) is desk
    stop()
    for key in others:
        shelf.open(key)
    assert shelf.open(first) is not desk
