"""Windows on the studio that are watched: nothing may go elsewhere, nothing may go wrong unsaid."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Route

from tests.browser.serving import Server

DESKTOP = {"viewport": {"width": 1440, "height": 1000}}
PHONE = {
    "viewport": {"width": 375, "height": 812},
    "has_touch": True,
    "is_mobile": True,
    "device_scale_factor": 2,
}
PATIENCE_MS = 15_000
UNTIL = """async ([condition, word, patience]) => {
    const SAVED = /^saved \\d\\d:\\d\\d$/;
    const conditions = {
        arrived: () => document.body.dataset.view === word && document.querySelector("main h1"),
        saved: () => SAVED.test(document.querySelector(".head .saved")?.textContent.trim()),
        shown: () => document.querySelector(word)?.checkVisibility(),
    };
    const end = performance.now() + patience;
    while (!conditions[condition]() && performance.now() < end) {
        await new Promise((done) => setTimeout(done, 15));  // no frames come in a hidden window
    }
}"""


def look_often(page: Page, condition: str, word: str = "") -> None:
    """Wait for a state of `UNTIL`, looking all the time; the caller still has to expect it.

    `expect` alone looks after 0.1, 0.35, 0.85 and 1.85 s, and so finds most things late.
    """
    page.evaluate(UNTIL, [condition, word, PATIENCE_MS])


class Windows:
    """All windows of one test: who comes in, and what went wrong in any of them.

    A browser context is one browser with its own cookies; its pages are its windows.
    """

    def __init__(self, browser: Browser, server: Server) -> None:
        self.browser = browser
        self.server = server
        self.faults: list[str] = []
        self._forgiven: list[re.Pattern[str]] = []
        self._contexts: list[BrowserContext] = []

    def open(self, path: str = "", device: Mapping[str, Any] = DESKTOP, **more: Any) -> Page:
        """Open a window in a browser of its own; ``path`` is what follows the # in the address."""
        context = self.browser.new_context(**device, **more)
        self._contexts.append(context)
        context.set_default_timeout(PATIENCE_MS)
        context.on("page", self._watch)
        own = re.escape(self.server.address)
        context.route(re.compile(f"^(?!{own})"), self._abort)
        if self.server.cookies:
            context.add_cookies(self.server.cookies)
        page = context.new_page()
        self.come_in(page, path)
        return page

    def come_in(self, page: Page, path: str = "") -> None:
        """Go in by the link if it has not been used, else by the cookie it was traded for."""
        if self.server.link:
            page.goto(self.server.use_link())
            page.wait_for_url(lambda url: "/enter" not in url)
            self.server.cookies = page.context.cookies()
        if path or not page.url.startswith(self.server.address):
            page.goto(f"{self.server.address}#{path}")
        page.locator("main > *").first.wait_for(state="attached")

    def forgive(self, what: str) -> None:
        """Let pass what a test brings about on purpose, such as a server that is away."""
        self._forgiven.append(re.compile(what))

    def close(self) -> None:
        """Close every window, and tell what went wrong in any."""
        for context in self._contexts:
            context.close()
        self.expect_no_fault()

    def expect_no_fault(self) -> None:
        """Tell what went wrong in any window until now."""
        rest = [
            fault
            for fault in self.faults
            if not any(pattern.search(fault) for pattern in self._forgiven)
        ]
        assert not rest, "\n".join(rest)

    def _watch(self, page: Page) -> None:
        page.on("console", self._hear)
        page.on("pageerror", lambda error: self.faults.append(f"error in the page: {error}"))
        page.on("crash", lambda _: self.faults.append("the page crashed"))

    def _hear(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            where = message.location.get("url", "")
            self.faults.append(f"console {message.type}: {message.text} ({where})")

    def _abort(self, route: Route) -> None:
        self.faults.append(f"asked elsewhere: {route.request.url}")
        route.abort()
