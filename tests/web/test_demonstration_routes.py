"""Demonstrations over the wire: what the prompt says, and the PDF that it prints."""

from __future__ import annotations

import io
from typing import Any

import pytest
from pypdf import PdfReader

from refmatch.plan.demonstrations import demonstrate
from refmatch.sheet.demonstration_pages import write
from tests.cli.running import Shell
from tests.web.asking import Browser

USUAL = "/api/demonstrations?box=comes-garden-table"


def bare(value: Any) -> Any:
    """Return what the page is told with each colour as its Lab alone, as the prompt has it."""
    if isinstance(value, dict) and set(value) == {"lab", "srgb", "p3", "fits"}:
        return value["lab"]
    if isinstance(value, dict):
        return {key: bare(item) for key, item in value.items()}
    return [bare(item) for item in value] if isinstance(value, list) else value


def test_the_page_is_told_what_the_prompt_says(browser: Browser) -> None:
    said = Shell()("demonstrate", "ultramarine=1", "--json").json()
    told = browser.get(f"{USUAL}&colour=ultramarine").json()
    assert bare(told["demonstrations"]) == said["demonstrations"]
    assert told["puddle"] == said["puddle"]


def test_the_pdf_is_the_one_that_the_prompt_prints(browser: Browser) -> None:
    answer = browser.get(USUAL.replace("?", ".pdf?") + "&paper=letter")
    assert answer.headers["content-type"] == "application/pdf"
    assert 'filename="Demonstrations garden table.pdf"' in answer.headers["content-disposition"]
    assert answer.content == write(demonstrate(), "letter")
    assert PdfReader(io.BytesIO(answer.content)).pages[0].mediabox.width == 612


@pytest.mark.parametrize(
    "asked",
    ["?box=none", "?box=../../etc", "?box=comes-garden-table&colour=PB99", "?colour=ultramarine"],
)
def test_what_is_not_there_is_refused_in_a_sentence(browser: Browser, asked: str) -> None:
    for path in ("/api/demonstrations", "/api/demonstrations.pdf"):
        answer = browser.get(path + asked)
        assert answer.status_code == 400
        assert answer.json()["error"].endswith(".")


def test_a_paper_that_is_none_is_refused(browser: Browser) -> None:
    assert browser.get(USUAL.replace("?", ".pdf?") + "&paper=a0").status_code == 400
