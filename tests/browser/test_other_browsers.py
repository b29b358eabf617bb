"""The whole job once more, in the other browsers that painters have.

Firefox is the system's own, by WebDriver BiDi (`stock_firefox`). WebKit's own browser has no
driver that `playwright` speaks to; what it lacks is told in docs/studio.md.
"""

from __future__ import annotations

import shlex
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Playwright

from tests.browser.serving import Server
from tests.browser.test_whole_job import whole_job
from tests.browser.watching import Windows

FIREFOX = ("firefox-esr", "firefox")
ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def firefox(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Browser]:
    """Firefox, with a profile that is new and thrown away."""
    path = next(filter(None, map(shutil.which, FIREFOX)), None)
    if path is None:
        pytest.skip(
            "The whole job was not run in Firefox: none of " + ", ".join(FIREFOX) + " is here."
        )
    words = shlex.join([sys.executable, "-m", "tests.browser.stock_firefox", path])
    between = tmp_path_factory.mktemp("firefox") / "firefox"
    between.write_text(f'#!/bin/sh\ncd {shlex.quote(str(ROOT))}\nexec {words} "$@"\n', "utf-8")
    between.chmod(0o755)
    playwright: Playwright = request.getfixturevalue("driver")
    browser = playwright.firefox.launch(channel="moz-firefox", executable_path=between)
    yield browser
    browser.close()


def test_the_whole_job_in_firefox(firefox: Browser, fresh: Server, tmp_path: Path) -> None:
    windows = Windows(firefox, fresh)
    # Firefox asks for a page's icon before the page has said where it is, and shows a PDF itself
    windows.forgive(r"favicon\.ico|Invalid absolute docBaseUrl")
    whole_job(windows, fresh, tmp_path)
    windows.close()
