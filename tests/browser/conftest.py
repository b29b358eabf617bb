"""A real browser on a real server, for every test of the page.

The browser is the system's own Chromium, as a painter has it; none is downloaded.
"""

from __future__ import annotations

import fcntl
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Playwright, expect, sync_playwright

from refmatch.web.bench.files import key_of
from tests.browser import own_dabs, own_tubes
from tests.browser.painter import Painter
from tests.browser.serving import Server, studio
from tests.browser.watching import PATIENCE_MS, Windows

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
ARGUMENTS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-quic",
    "--no-first-run",
    "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1",
)
"""Nothing leaves this machine: no name but our own address can be looked up."""

LACKING = "The page's tests need a Chromium: none of " + ", ".join(BROWSERS) + " is installed."


def chromium_path() -> str:
    """Return where the browser is; without one skip, and in CI fail."""
    found = next(filter(None, map(shutil.which, BROWSERS)), None)
    if found:
        return found
    if os.environ.get("CI") == "true":
        pytest.fail(LACKING)
    pytest.skip(LACKING)


@pytest.fixture(scope="package")
def driver() -> Iterator[Playwright]:
    """What drives every browser of a run."""
    expect.set_options(timeout=PATIENCE_MS)
    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="package")
def chromium(request: pytest.FixtureRequest) -> Iterator[Browser]:
    """The browser, with a profile that is new and thrown away."""
    path = chromium_path()
    playwright: Playwright = request.getfixturevalue("driver")
    browser = playwright.chromium.launch(executable_path=path, args=ARGUMENTS)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def common(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of all workers of this run."""
    base = tmp_path_factory.getbasetemp()
    return base.parent if "PYTEST_XDIST_WORKER" in os.environ else base


@pytest.fixture(scope="package")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A studio where the tests begin paintings of their own."""
    with studio(tmp_path_factory) as server:
        yield server


@pytest.fixture(scope="package")
def exhibition(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A studio with the painting that is laid out, where tests begin no other."""
    with studio(tmp_path_factory) as server:
        yield server


@pytest.fixture(scope="module")
def fresh(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A studio with no painting yet, for one module alone."""
    with studio(tmp_path_factory) as server:
        yield server


@pytest.fixture
def server(request: pytest.FixtureRequest) -> Server:
    """The studio of a test: its module's own, the laid out painting's, or the workshop."""
    asked = {"fresh": "fresh", "laid_out": "exhibition"}
    name = next((asked[each] for each in asked if each in request.fixturenames), "workshop")
    found: Server = request.getfixturevalue(name)
    if not found.is_running:  # a test that killed it went wrong before it started it again
        found.start()
    return found


@pytest.fixture
def windows(chromium: Browser, server: Server) -> Iterator[Windows]:
    """Windows on that studio; whatever goes wrong in one fails the test."""
    windows = Windows(chromium, server)
    yield windows
    windows.close()


@pytest.fixture(scope="package")
def laid_out(chromium: Browser, exhibition: Server, common: Path) -> str:
    """The key of a painting with its light read off the card and four named holes.

    Beside it a box of the painter's own tubes is made, and dabs were looked at. Every test
    leaves it as it was. The first worker lays it out; every worker's studio has a copy.
    """
    shelf = common / "laid-out"
    with locked(common / "laid-out.lock"):
        if not shelf.is_dir():
            draft = Server(common / "draft")
            _lay_out(chromium, draft)
            draft.paintings.rename(shelf)
    shutil.copytree(shelf, exhibition.paintings, dirs_exist_ok=True)
    (painting,) = exhibition.paintings.glob("*/painting.json")
    windows = Windows(chromium, exhibition)
    painter = Painter(windows.open())
    painter.go(key_of(painting.parent), "look")
    own_dabs.lay_photo(painter)
    windows.close()
    return painter.painting


def _lay_out(chromium: Browser, server: Server) -> None:
    """Lay the painting out on a server's empty shelf, and end the server."""
    server.start()
    windows = Windows(chromium, server)
    painter = Painter(windows.open())
    painter.begin()
    painter.lay_out()
    own_tubes.make(painter)
    own_dabs.record(painter, server.paintings)
    windows.close()
    server.stop()


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Let one worker at a time go on."""
    with path.open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield
