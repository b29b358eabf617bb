from __future__ import annotations

from pathlib import Path

import pytest

from tests.web.asking import Browser


@pytest.fixture
def stranger(tmp_path: Path) -> Browser:
    """A browser that has not come in."""
    return Browser(tmp_path / "paintings")


@pytest.fixture
def browser(stranger: Browser) -> Browser:
    """A browser with the cookie."""
    stranger.come_in()
    return stranger


@pytest.fixture(scope="session")
def at_work(tmp_path_factory: pytest.TempPathFactory) -> tuple[Browser, str]:
    """A browser that has come in, and the key of a painting from a sample."""
    browser = Browser(tmp_path_factory.mktemp("shelf") / "paintings")
    browser.come_in()
    answer = browser.post("/api/paintings?sample=garden-table")
    assert answer.status_code == 200, answer.text
    return browser, answer.json()["id"]
