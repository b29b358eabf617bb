"""WebKit's own browser, driven by the WebDriver that comes with it (W3C WebDriver, plain HTTP)."""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

PATIENCE_S = 60.0
BROWSERS = ("/usr/lib/*/webkit2gtk-4.*/MiniBrowser", "/usr/libexec/webkit2gtk-4.*/MiniBrowser")


def lacking() -> str:
    """Say what is not here of all that is needed; "" where nothing lacks."""
    found = [path for pattern in BROWSERS for path in Path("/").glob(pattern[1:])]
    has_screen = "DISPLAY" in os.environ or shutil.which("Xvfb")
    parts = {
        "WebKitWebDriver": shutil.which("WebKitWebDriver"),
        "MiniBrowser": found,
        "a screen or Xvfb": has_screen,
    }
    return ", ".join(name for name, there in parts.items() if not there)


class WebKit:
    """One window."""

    def __init__(self, port: int) -> None:
        self._base = f"http://127.0.0.1:{port}/session"
        browser = next(path for pattern in BROWSERS for path in Path("/").glob(pattern[1:]))
        options = {"binary": str(browser), "args": ["--automation"]}
        wanted = {"alwaysMatch": {"webkitgtk:browserOptions": options}}
        made = self._ask("POST", "", {"capabilities": wanted})
        self._base += f"/{made['sessionId']}"

    def go(self, url: str) -> None:
        self._ask("POST", "/url", {"url": url})

    def run(self, script: str, *words: object) -> Any:
        """Return what a script returns in the page."""
        return self._ask("POST", "/execute/sync", {"script": script, "args": words})

    def until(self, script: str, *words: object) -> Any:
        """Wait until a script returns something true."""
        end = time.monotonic() + PATIENCE_S
        while not (found := self.run(script, *words)):
            assert time.monotonic() < end, f"never true in WebKit: {script} {words}"
            time.sleep(0.1)
        return found

    def press(self, selector: str, words: str = "") -> None:
        """Click by pointer what a selector finds, and that holds these words."""
        self.click(
            *self.until(
                "const found = [...document.querySelectorAll(arguments[0])]"
                ".find((one) => one.textContent.includes(arguments[1]) && one.checkVisibility());"
                "found?.scrollIntoView({ block: 'center' });"
                "const box = found?.getBoundingClientRect();"
                "return box && [box.x + box.width / 2, box.y + box.height / 2];",
                selector,
                words,
            )
        )

    def click(self, x: float, y: float) -> None:
        move = {"type": "pointerMove", "duration": 0, "x": round(x), "y": round(y)}
        steps = [move, {"type": "pointerDown", "button": 0}, {"type": "pointerUp", "button": 0}]
        self._ask(
            "POST", "/actions", {"actions": [{"type": "pointer", "id": "mouse", "actions": steps}]}
        )

    def close(self) -> None:
        self._ask("DELETE", "")

    def _ask(self, method: str, path: str, what: object = None) -> Any:
        data = None if what is None else json.dumps(what).encode()
        request = urllib.request.Request(self._base + path, data, method=method)
        try:
            with urllib.request.urlopen(request, timeout=PATIENCE_S) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as error:
            raise AssertionError(error.read().decode()) from error


@contextmanager
def webkit() -> Iterator[WebKit]:
    """Open a window, on a screen of its own where there is none."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    screen, env, ends = None, dict(os.environ), tuple[int, ...]()
    if "DISPLAY" not in env:
        ends = os.pipe()
        words = ["Xvfb", "-displayfd", str(ends[1]), "-screen", "0", "1440x1000x24"]
        screen = subprocess.Popen(words, pass_fds=[ends[1]], stderr=subprocess.DEVNULL)
        env["DISPLAY"] = ":" + os.read(ends[0], 16).decode().strip()
    driver = subprocess.Popen(["WebKitWebDriver", f"--port={port}"], env=env)
    try:
        _wait_for(port)
        window = WebKit(port)
        yield window
        window.close()
    finally:
        for process in filter(None, (driver, screen)):
            process.terminate()
            process.wait()
        for end in ends:  # not before: the screen writes there more than once
            os.close(end)


def _wait_for(port: int) -> None:
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        with socket.socket() as door:
            if door.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)
    raise AssertionError("WebKitWebDriver did not start")
