"""A box in the making over the wire: card, photo, mends, box; nothing sent is ever a path."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from pypdf import PdfReader

from refmatch.dabs.box_card import read_card_file
from refmatch.paint.box_file import read_box
from tests.dabs.coded import with_code
from tests.virtual_studio.painted_card import SMALL_SHOT, painted_photo
from tests.web.asking import Browser

SEED, EMPTY = 202, 4
TUBES = [{"pigment": "PW6"}, {"pigment": "PY43", "name": "<b>ochre</b>"}, {"pigment": "PB29"}]


def standing(browser: Browser, bench: dict[str, Any]) -> str:
    """Return the revision that a box in the making has now."""
    revision: str = browser.get(f"/api/benches/{bench['id']}").json()["revision"]
    return revision


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Browser, dict[str, Any]]:
    """A browser that has come in, and a box in the making with its photo."""
    browser = Browser(tmp_path_factory.mktemp("shelf") / "paintings")
    browser.come_in()
    key = browser.post("/api/boxes", json={"name": "Orchard", "tubes": TUBES}).json()["id"]
    begun = browser.post("/api/benches", json={"box": key, "paper": "a4", "grey_lstar": 49.5})
    assert begun.status_code == 200, begun.text
    (folder,) = browser.shelf.folder.glob("boxes/*/")
    box, card = read_box(folder / "start.toml"), read_card_file(folder / "card.json")
    photo = painted_photo(box, card, SEED, empty=[EMPTY], shot=SMALL_SHOT)
    revision = begun.json()["revision"]
    path = f"/api/benches/{begun.json()['id']}/photos?name=..%2Fpage.jpg&revision={revision}"
    answer = browser.post(path, content=photo)
    assert answer.status_code == 200, answer.text
    return browser, answer.json()


def test_the_card_comes_as_a_pdf_named_by_its_box(made) -> None:
    browser, bench = made
    answer = browser.get(f"/api/benches/{bench['id']}/card.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert 'filename="Card Orchard.pdf"' in answer.headers["content-disposition"]
    text = PdfReader(io.BytesIO(answer.content)).pages[1].extract_text()
    assert "<b>ochre</b>" in text


def test_every_dab_is_told_with_colour_place_and_state(made) -> None:
    _, bench = made
    assert [dab["state"] for dab in bench["dabs"]] == ["read"] * 4 + ["empty"] + ["read"] * 3
    for dab in bench["dabs"]:
        assert len(dab["outline"]) == 4
        assert set(dab["colour"]) == {"lab", "srgb", "p3", "fits"}
    assert bench["dabs"][EMPTY]["flags"][0]["name"] == "looks_empty"
    assert bench["dabs"][1]["printed"]["words"] == "as squeezed"


def test_the_photo_is_kept_by_its_content_and_never_by_the_name_sent(made) -> None:
    browser, bench = made
    (photo,) = bench["photos"]
    assert photo["name"] == "page.jpg"
    (kept,) = browser.shelf.folder.glob("boxes/*/photos/*")
    assert kept.name == f"{photo['key']}.jpg"
    answer = browser.get(f"/api/benches/{bench['id']}/photos/{photo['key']}.jpg")
    with Image.open(io.BytesIO(answer.content)) as picture:
        assert max(picture.size) <= 1600
    assert "immutable" in answer.headers["cache-control"]
    for strange in ("..%2Fstart", "none"):
        address = f"/api/benches/{bench['id']}/photos/{strange}.jpg"
        assert browser.get(address).status_code == 404


def test_a_mend_and_the_box_made_of_it(made) -> None:
    browser, bench = made
    base = f"/api/benches/{bench['id']}"
    asked = {"do": "leave_out", "dab": 1, "left_out": True, "revision": standing(browser, bench)}
    left_out = browser.post(f"{base}/changes", json=asked).json()
    assert left_out["dabs"][1]["state"] == "left out"
    named = {"name": "My orchard", "revision": left_out["revision"]}
    answer = browser.post(f"{base}/box", json=named)
    assert answer.status_code == 200, answer.text
    told = answer.json()
    assert told["dabs"][1]["residual_delta_e_00"] is None
    assert 0.0 <= told["dabs"][2]["residual_delta_e_00"] < 10.0
    tubes = told["made"]["tubes"]
    assert [tube["source"] for tube in tubes] == ["photographed"] * 3
    assert tubes[0]["strength_words"] is None
    assert "assumed" in tubes[2]["strength_words"]
    boxes = browser.get("/api/start").json()["boxes"]
    assert {"id": told["made"]["id"], "name": "My orchard"} in [
        {key: box[key] for key in ("id", "name")} for box in boxes
    ]
    (listed,) = browser.get("/api/benches").json()["benches"]
    assert told["made"]["id"] in listed["boxes"]


def test_advice_is_for_the_mixes_of_a_painting(made) -> None:
    browser, _ = made
    key = browser.post("/api/paintings?sample=garden-table").json()["id"]
    answer = browser.get(f"/api/paintings/{key}/advice")
    assert answer.status_code == 400
    assert "punch a hole first" in answer.json()["error"]
    change = {"revision": 0, "do": "punch", "x_px": 700, "y_px": 700}
    change["revision"] = browser.get(f"/api/paintings/{key}").json()["revision"]
    browser.post(f"/api/paintings/{key}/changes", json=change)
    dabs = browser.get(f"/api/paintings/{key}/advice").json()["dabs"]
    assert 1 <= len(dabs) <= 5
    for dab in dabs:
        assert dab["doubt_delta_e_00_after"] < dab["doubt_delta_e_00_before"]
        assert all(portion["tube"] in dab["words"] for portion in dab["portions"])


@pytest.mark.parametrize(
    ("path", "asked", "told"),
    [
        ("", {"box": "own-none", "paper": "a4", "grey_lstar": 49.5}, "no such box"),
        ("", {"box": 7, "paper": "a4", "grey_lstar": 49.5}, "must be a text"),
        ("/{id}/card", {"paper": "a9", "grey_lstar": 49.5}, "paper"),
        ("/{id}/card", {"paper": "a4", "grey_lstar": 0}, "cannot be 0"),
        ("/{id}/changes", {"do": 3}, "'do' must say"),
        ("/{id}/changes", {"do": "sell"}, "no change"),
        ("/{id}/box", {"name": " "}, "needs a name"),
        ("/none/box", {"name": "x"}, "no such box"),
        ("/..%2F..%2Fx/box", {"name": "x"}, "nothing here"),
    ],
)
def test_what_makes_no_sense_is_refused_in_a_sentence(made, path, asked, told) -> None:
    browser, bench = made
    asked = {"revision": standing(browser, bench), **asked}
    answer = browser.post(f"/api/benches{path.replace('{id}', bench['id'])}", json=asked)
    assert answer.status_code in (400, 404)
    assert told in answer.json()["error"]
    assert answer.json()["error"].endswith(".")


@pytest.mark.parametrize(
    ("path", "asked"),
    [
        ("/{id}/changes", {"do": "light", "light": "A"}),
        ("/{id}/card", {"paper": "a4", "grey_lstar": 60.0}),
        ("/{id}/box", {"name": "late"}),
        ("/{id}/photos?name=page.jpg&revision={revision}", None),
        ("", {"box": "{box}", "paper": "a4", "grey_lstar": 60.0}),
    ],
)
def test_who_comes_later_is_told_and_nothing_is_done(made, path, asked) -> None:
    browser, bench = made
    base = f"/api/benches/{bench['id']}"
    before = standing(browser, bench)
    light = {"do": "light", "light": "LED", "revision": before}
    assert browser.post(f"{base}/changes", json=light).status_code == 200
    light = {"do": "light", "revision": standing(browser, bench)}
    path = path.format(id=bench["id"], revision="before")
    (row,) = browser.get("/api/benches").json()["benches"]
    now = browser.get(base).json()
    if asked is None:
        late = browser.post(f"/api/benches{path}", content=b"\xff\xd8\xff")
    else:
        asked = {**asked, "revision": before}
        if "box" in asked:
            asked["box"] = row["boxes"][0]
        late = browser.post(f"/api/benches{path}", json=asked)
    assert late.status_code == 409
    assert "changed in another window" in late.json()["error"]
    assert browser.get(base).json() == now
    assert browser.post(f"{base}/changes", json=light).status_code == 200


def test_a_change_says_to_which_state_it_is_made(made) -> None:
    browser, bench = made
    for path, asked in (("changes", {"do": "light"}), ("box", {"name": "x"})):
        answer = browser.post(f"/api/benches/{bench['id']}/{path}", json=asked)
        assert answer.status_code == 400
        assert "'revision' must say" in answer.json()["error"]


def test_what_is_no_photo_of_the_card_is_told_in_the_readers_words(made) -> None:
    browser, bench = made
    revision = standing(browser, bench)
    path = f"/api/benches/{bench['id']}/photos?name=table.jpg&revision={revision}"
    sample = Path(__file__).parents[2] / "sample_images" / "garden-table.jpg"
    answer = browser.post(path, content=sample.read_bytes())
    assert answer.status_code == 400
    assert "table.jpg" in answer.json()["error"]
    assert browser.post(path, content=b"letter").status_code == 400
    assert browser.post(path, content=b"").status_code == 400


def test_strangers_get_nothing(made, tmp_path: Path) -> None:
    browser, bench = made
    stranger = Browser(tmp_path)
    assert stranger.get(f"/api/benches/{bench['id']}").status_code == 403
    foreign = {"origin": "http://elsewhere.example"}
    for path in ("", f"/{bench['id']}/changes", f"/{bench['id']}/photos", f"/{bench['id']}/box"):
        assert browser.ask("POST", f"/api/benches{path}", foreign).status_code == 403


def test_a_card_printed_elsewhere_is_begun_by_its_photo_alone(made, tmp_path: Path) -> None:
    """Another shelf knows neither box nor card: the code on the card tells both."""
    browser, bench = made
    (folder,) = browser.shelf.folder.glob("boxes/*/")
    box, card = read_box(folder / "start.toml"), read_card_file(folder / "card.json")
    photo = with_code(painted_photo(box, card, SEED, empty=[EMPTY], shot=SMALL_SHOT), card)
    other = Browser(tmp_path / "paintings")
    other.come_in()
    for _ in range(2):  # sent again, the card is gone on with
        answer = other.post("/api/benches/photos?name=page.jpg", content=photo)
        assert answer.status_code == 200, answer.text
        begun = answer.json()
        assert [dab["state"] for dab in begun["dabs"]] == [dab["state"] for dab in bench["dabs"]]
        (listed,) = other.get("/api/benches").json()["benches"]
        assert (listed["id"], listed["name"]) == (begun["id"], "Orchard")
        assert len(listed["boxes"]) == 1, "a box of the card's tubes is on the shelf"


def test_a_photo_that_shows_no_card_begins_nothing(tmp_path: Path) -> None:
    browser = Browser(tmp_path / "paintings")
    browser.come_in()
    stream = io.BytesIO()
    Image.new("RGB", (640, 480), (120, 120, 120)).save(stream, "JPEG")
    answer = browser.post("/api/benches/photos?name=page.jpg", content=stream.getvalue())
    assert answer.status_code == 400
    assert "No marker of the card is seen" in answer.json()["error"]
    assert browser.get("/api/benches").json()["benches"] == []
