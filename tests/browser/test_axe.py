"""axe-core finds nothing wrong with any view, nor with what may stand open over one.

The rules are those for WCAG 2.2 at levels A and AA, and what axe-core calls best practice.
The script comes in by the browser's debugger, so the page's strict policy stays in force.
"""

from __future__ import annotations

from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.views import OVER, SURROUNDS, VIEWS, set_surround, show, show_over, take_surround
from tests.browser.watching import PHONE, Windows

TAGS = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")
ASKED = {"runOnly": {"type": "tag", "values": TAGS}, "resultTypes": ["violations"]}


CONTRAST = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
"""All that another surround can make wrong: it changes nothing but greys."""


def wrong(page: Page, asked: dict[str, Any] = ASKED) -> list[str]:
    """Return what axe-core finds: the rule, what it says, and where."""
    found = Axe().run(page, options=asked).response
    assert found["testEngine"]["name"] == "axe-core"
    return [
        f"{violation['id']}: {node['target']}: {node['failureSummary']}"
        for violation in found["violations"]
        for node in violation["nodes"]
    ]


def test_each_view_on_each_surround(windows: Windows, laid_out: str) -> None:
    page = windows.open()
    faults = {}
    for view in VIEWS:
        show(page, laid_out, view)
        for surround in SURROUNDS:
            take_surround(page, surround)
            asked = ASKED if surround == SURROUNDS[0] else CONTRAST
            faults[view, surround] = wrong(page, asked)
    assert not any(faults.values()), {where: found for where, found in faults.items() if found}


def test_each_view_on_a_phone(windows: Windows, laid_out: str) -> None:
    page = windows.open(device=PHONE)
    faults = {}
    for view in VIEWS:
        show(page, laid_out, view)
        faults[view] = wrong(page)
    assert not any(faults.values()), {where: found for where, found in faults.items() if found}


@pytest.mark.parametrize("turn", range(len(OVER)), ids=list(OVER))
def test_what_stands_open_over_a_view(windows: Windows, laid_out: str, turn: int) -> None:
    """Each on one surround, the surround changing from one to the next."""
    page = windows.open()
    show_over(page, laid_out, list(OVER)[turn])
    surround = SURROUNDS[turn % len(SURROUNDS)]
    set_surround(page, surround)
    assert wrong(page) == [], surround


def test_it_would_find_what_is_wrong(windows: Windows, laid_out: str) -> None:
    page = windows.open()
    show(page, laid_out, "print")
    page.evaluate("document.querySelector('main').append(document.createElement('button'))")
    assert any(fault.startswith("button-name") for fault in wrong(page))
