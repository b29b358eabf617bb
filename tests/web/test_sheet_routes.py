"""The sheet is the painting's own: its pages to look at, and a PDF with its title for a name."""

from __future__ import annotations

import io

import pymupdf
import pytest
from PIL import Image

from refmatch.dabs.card import PAPERS
from refmatch.painting.store import read_painting
from refmatch.web import prints
from refmatch.web.routes.paintings import as_file
from tests.web.asking import Browser

AtWork = tuple[Browser, str]


@pytest.fixture(scope="module")
def with_a_hole(at_work: AtWork) -> AtWork:
    browser, key = at_work
    state = browser.get(f"/api/paintings/{key}").json()
    place = {"x_px": 983, "y_px": 896, "diameter_px": 60}
    asked = {"revision": state["revision"], "do": "punch", **place}
    made = browser.post(f"/api/paintings/{key}/changes", json=asked)
    name = {"revision": made.json()["revision"], "do": "name", "hole": made.json()["made"]}
    browser.post(f"/api/paintings/{key}/changes", json={**name, "label": "<b>pear</b>"})
    return at_work


def test_the_papers_are_those_of_the_sheet() -> None:
    assert set(prints.PAPERS) == set(PAPERS)


@pytest.mark.parametrize("paper", prints.PAPERS)
def test_the_pdf_holds_what_was_asked_for(with_a_hole: AtWork, paper: str) -> None:
    browser, key = with_a_hole
    about = browser.get(f"/api/paintings/{key}/sheet?paper={paper}").json()
    answer = browser.get(f"/api/paintings/{key}/sheet.pdf?paper={paper}")
    assert answer.headers["content-type"] == "application/pdf"
    with pymupdf.open(stream=answer.content) as document:
        assert len(document) == about["pages"]
        text = "".join(page.get_text() for page in document)
        width_mm = document[0].rect.width / 72.0 * 25.4
    assert "<b>pear</b>" in text
    assert width_mm == pytest.approx(PAPERS[paper][0], abs=0.2)
    state = browser.get(f"/api/paintings/{key}").json()
    assert about["revision"] == state["revision"]
    assert f"{state['holes'][0]['recipes'][0]['laid_out'][0]['parts']}" in text


def test_pages_and_slips_are_chosen_as_at_the_prompt(with_a_hole: AtWork) -> None:
    browser, key = with_a_hole
    base = f"/api/paintings/{key}/sheet"
    assert browser.get(f"{base}?pages=easel").json()["pages"] == 2  # the cover and all puddles
    whole = browser.get(base).json()["pages"]
    assert browser.get(f"{base}?grid=thirds").json()["pages"] == whole + 1
    assert browser.get(f"{base}.pdf?slips=compact").content != browser.get(f"{base}.pdf").content
    for query in ("pages=some", "slips=tiny", "grid=cm"):
        assert browser.get(f"{base}?{query}").status_code == 400


def test_a_page_is_a_picture_wide_enough_to_read(with_a_hole: AtWork) -> None:
    browser, key = with_a_hole
    answer = browser.get(f"/api/paintings/{key}/sheet/1.png?paper=a4")
    assert answer.headers["content-type"] == "image/png"
    with Image.open(io.BytesIO(answer.content)) as picture:
        assert 1150 <= picture.width <= 1250
        assert picture.height / picture.width == pytest.approx(297 / 210, rel=0.01)


def test_a_sheet_is_made_once(with_a_hole: AtWork, monkeypatch: pytest.MonkeyPatch) -> None:
    browser, key = with_a_hole
    first = browser.get(f"/api/paintings/{key}/sheet.pdf").content
    monkeypatch.delattr(prints, "_made")
    assert browser.get(f"/api/paintings/{key}/sheet.pdf").content == first


def test_a_sheet_that_was_taken_away_is_in_the_record(with_a_hole: AtWork) -> None:
    """Once a day and paper, and as no step of the painting's: a window falls behind by nothing."""
    browser, key = with_a_hole
    before = browser.get(f"/api/paintings/{key}").json()
    for _ in range(2):
        browser.get(f"/api/paintings/{key}/sheet.pdf?paper=letter")
    sheets = read_painting(browser.shelf.folder_of(key)).sheets
    assert [row["paper"] for row in sheets].count("letter") == 1
    after = browser.get(f"/api/paintings/{key}").json()
    assert after["revision"] == before["revision"]
    assert after["undo"] == before["undo"]


@pytest.mark.parametrize("page", [0, 99, "x", -1])
def test_a_page_that_is_not_there_is_said_so(with_a_hole: AtWork, page: object) -> None:
    browser, key = with_a_hole
    answer = browser.get(f"/api/paintings/{key}/sheet/{page}.png")
    assert answer.status_code == 404
    assert answer.json()["error"].endswith(".")


def test_an_unknown_paper_is_said_so(with_a_hole: AtWork) -> None:
    browser, key = with_a_hole
    answer = browser.get(f"/api/paintings/{key}/sheet.pdf?paper=papyrus")
    assert answer.status_code == 400
    assert "a4" in answer.json()["error"]


def test_without_a_hole_there_is_a_sheet_all_the_same(at_work: AtWork) -> None:
    browser, _ = at_work
    key = browser.post("/api/paintings?sample=orchard-shade").json()["id"]
    assert browser.get(f"/api/paintings/{key}/sheet").json()["pages"] >= 1


@pytest.mark.parametrize(
    ("title", "header"),
    [
        ("Pear", "attachment; filename=\"Pear.pdf\"; filename*=UTF-8''Pear.pdf"),
        # RFC 8187, 3.2.3: the pound and euro signs, and their bytes
        (
            "£ and € rates",
            'attachment; filename="_ and _ rates.pdf"; '
            "filename*=UTF-8''%C2%A3%20and%20%E2%82%AC%20rates.pdf",
        ),
        (
            'a"b\r\nSet-Cookie: x',
            'attachment; filename="a b Set-Cookie x.pdf"; '
            "filename*=UTF-8''a%20b%20Set-Cookie%20x.pdf",
        ),
        ("../../x", "attachment; filename=\"x.pdf\"; filename*=UTF-8''x.pdf"),
        ("...", "attachment; filename=\"sheet.pdf\"; filename*=UTF-8''sheet.pdf"),
    ],
)
def test_the_file_is_called_by_the_paintings_title(title: str, header: str) -> None:
    """RFC 6266, 4.3: ``filename`` for old browsers, ``filename*`` (RFC 8187) for all others."""
    assert as_file(title) == header


def test_a_page_of_a_state_that_is_gone_is_no_fault(with_a_hole: AtWork) -> None:
    """A window may still ask for page 9 of the sheet that the last undo made shorter."""
    browser, key = with_a_hole
    assert browser.get(f"/api/paintings/{key}/sheet/99.png?revision=0").status_code == 204
    now = browser.get(f"/api/paintings/{key}/sheet").json()["revision"]
    assert browser.get(f"/api/paintings/{key}/sheet/99.png?revision={now}").status_code == 404
