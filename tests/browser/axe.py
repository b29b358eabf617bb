"""axe-core on the page: the rules for WCAG 2.2 at levels A and AA, and what it calls best practice.

The script comes in by the browser's debugger, so the page's strict policy stays in force.
"""

from __future__ import annotations

from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

TAGS = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")
ALL = {"runOnly": {"type": "tag", "values": TAGS}, "resultTypes": ["violations"]}
CONTRAST = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
"""All that another surround can make wrong: it changes nothing but greys."""


def wrong(page: Page, asked: dict[str, Any] = ALL) -> list[str]:
    """Return what axe-core finds: the rule, what it says, and where."""
    if not page.evaluate("'axe' in window"):  # a document keeps it from view to view
        page.evaluate(Axe().axe_script)
    response = page.evaluate("(asked) => axe.run(asked)", asked)
    assert response["testEngine"]["name"] == "axe-core"
    return [
        f"{violation['id']}: {node['target']}: {node['failureSummary']}"
        for violation in response["violations"]
        for node in violation["nodes"]
    ]
