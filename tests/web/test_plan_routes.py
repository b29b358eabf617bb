"""The plan over the wire: the same words as on the sheet, of the painting as it stands."""

from __future__ import annotations

import pymupdf
import pytest

from refmatch.web.prints import Plans
from tests.web.asking import Browser

PLACES = ((983.0, 896.0), (500.0, 450.0), (900.0, 1150.0))


@pytest.fixture(scope="module")
def punched(tmp_path_factory: pytest.TempPathFactory) -> tuple[Browser, str]:
    """A browser that has come in, and a painting of three holes on a canvas of 30 by 20."""
    browser = Browser(tmp_path_factory.mktemp("shelf") / "paintings")
    browser.come_in()
    base = f"/api/paintings/{browser.post('/api/paintings?sample=garden-table').json()['id']}"
    for x_px, y_px in PLACES:
        change(browser, base, do="punch", x_px=x_px, y_px=y_px)
    change(browser, base, do="canvas", width_cm=30, height_cm=20)
    return browser, base


def change(browser: Browser, base: str, **what: object) -> None:
    revision = browser.get(base).json()["revision"]
    answer = browser.post(f"{base}/changes", json={"revision": revision, **what})
    assert answer.status_code == 200, answer.text


def test_a_plan_is_told_with_colours_words_and_amounts(punched) -> None:
    browser, base = punched
    told = browser.get(f"{base}/plan").json()
    plan = told["plan"]
    assert told["keyed"] is True
    assert told["canvas_cm"] == [30, 20]
    assert told["tubes"] == len(plan["palette"]["tubes"]) <= told["most_tubes"]
    assert sorted(told["order"]) == sorted(plan["palette"]["tubes"])
    assert [target["number"] for target in plan["targets"]] == [1, 2, 3]
    for target in plan["targets"]:
        assert set(target["photo_lab"]) == {"lab", "srgb", "p3", "fits"}
    labels = {target["label"] for target in plan["targets"]}
    assert {puddle["target"] for puddle in plan["puddles"]["order"]} >= labels
    assert "30 × 20 cm" in plan["amounts"]["words"]
    assert all(len(corner) == 2 for corner in plan["reaches"][0]["outline_ab"])


def test_the_key_is_left_off_and_the_palette_counted_as_asked(punched) -> None:
    browser, base = punched
    told = browser.get(f"{base}/plan?key=off&tubes=3").json()
    assert told["keyed"] is False
    assert told["tubes"] == 3
    for target in told["plan"]["targets"]:
        assert target["photo_lab"] == target["lab"]


def test_what_cannot_be_planned_is_told_in_a_sentence(punched) -> None:
    browser, base = punched
    for query in ("tubes=1", "tubes=40"):
        answer = browser.get(f"{base}/plan?{query}")
        assert answer.status_code == 400
        assert "is not offered" in answer.json()["error"]
    assert browser.get(f"{base}/plan?tubes=many").status_code == 400
    assert browser.get("/api/paintings/none/plan").status_code == 404


def test_the_sheet_is_printed_with_the_plan_where_that_is_asked(punched) -> None:
    browser, base = punched
    bare = browser.get(f"{base}/sheet?paper=a4").json()["pages"]
    answer = browser.get(f"{base}/sheet.pdf?paper=a4&plan=as-shot")
    with pymupdf.open(stream=answer.content) as document:
        told = "".join(page.get_text() for page in document)
        assert len(document) > bare
    assert "The key is off" in told
    assert browser.get(f"{base}/sheet?paper=a4&plan=grand").status_code == 400


def test_a_plan_is_kept_until_the_painting_changes(punched) -> None:
    browser, base = punched
    desk, plans = browser.shelf.open(base.rpartition("/")[2]), Plans()
    first = plans.plan(desk, 3, keyed=True)
    assert plans.plan(desk, 3, keyed=True) is first
    change(browser, base, do="title", title="Pears")
    assert plans.plan(desk, 3, keyed=True).revision > first.revision
