from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from refmatch.web.desk import Desk
from refmatch.web.shelf import Shelf
from tests.web.asking import SAMPLES, Browser


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
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A painting of the garden table as it begins, to be copied."""
    shelf = Shelf(tmp_path_factory.mktemp("begun"))
    return shelf.folder_of(shelf.new_from_photo(SAMPLES / "garden-table.jpg"))


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    """A shelf of its own, with nothing on it."""
    return Shelf(tmp_path / "paintings")


@pytest.fixture
def desk(shelf: Shelf, begun: Path) -> Desk:
    """The garden table as it begins, on a shelf of its own."""
    folder = shelf.folder / begun.name
    shutil.copytree(begun, folder)
    return shelf.open(shelf.open_folder(folder))


@pytest.fixture(scope="session")
def still(begun: Path) -> Desk:
    """The garden table as it begins, for tests that change nothing of it."""
    shelf = Shelf(begun.parent)
    return shelf.open(shelf.open_folder(begun))


@pytest.fixture(scope="session")
def at_work(tmp_path_factory: pytest.TempPathFactory) -> tuple[Browser, str]:
    """A browser that has come in, and the key of a painting from a sample."""
    browser = Browser(tmp_path_factory.mktemp("shelf") / "paintings")
    browser.come_in()
    answer = browser.post("/api/paintings?sample=garden-table")
    assert answer.status_code == 200, answer.text
    return browser, answer.json()["id"]
