"""A browser of few means: it sends what it is told to, to an application or to a socket."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import httpx

from refmatch.web.app import make_app
from refmatch.web.events import Streams
from refmatch.web.guard import Door, Keys
from refmatch.web.shelf import Shelf

HOST = "127.0.0.1:8731"
COOKIE = "refmatch-8731"
SAMPLES = Path(__file__).parents[2] / "sample_images"


class Browser:
    """Asks one application, and keeps its cookies."""

    def __init__(self, folder: Path) -> None:
        self.keys = Keys(COOKIE)
        self.shelf = Shelf(folder)
        door = Door(frozenset({HOST, "localhost:8731"}), self.keys)
        self._app = make_app(self.shelf, door, Streams())
        self._cookies = httpx.Cookies()

    def ask(
        self,
        method: str,
        path: str,
        headers: Mapping[str, str] | None = None,
        **more: Any,
    ) -> httpx.Response:
        """Send one request as it is, with nothing added but Host and the cookies there are."""
        return asyncio.run(self._ask(method, path, headers, **more))

    async def _ask(self, method: str, path: str, headers: Any, **more: Any) -> httpx.Response:
        transport = httpx.ASGITransport(self._app, raise_app_exceptions=False)
        async with httpx.AsyncClient(
            transport=transport, base_url=f"http://{HOST}", cookies=self._cookies
        ) as client:
            answer = await client.request(method, path, headers=headers, **more)
            self._cookies = client.cookies
            return answer

    def get(self, path: str, **headers: str) -> httpx.Response:
        """Get, as the page itself would."""
        return self.ask("GET", path, {"sec-fetch-site": "same-origin", **headers})

    def post(self, path: str, **more: Any) -> httpx.Response:
        """Post, as the page itself would."""
        return self.ask("POST", path, {"origin": f"http://{HOST}"}, **more)

    def forget(self) -> None:
        """Forget the cookies, as another browser would not have them."""
        self._cookies = httpx.Cookies()

    def come_in(self) -> httpx.Response:
        """Use a launch link."""
        return self.ask("GET", f"/enter?token={self.keys.new_token()}")


def policy(answer: httpx.Response) -> dict[str, list[str]]:
    """Return the directives of a Content-Security-Policy, each with its sources."""
    directives = answer.headers["content-security-policy"].split(";")
    return {words[0]: words[1:] for words in (each.split() for each in directives)}


def cookie_parts(answer: httpx.Response) -> tuple[str, set[str]]:
    """Return a cookie's value and its attributes in lower case."""
    (line,) = answer.headers.get_list("set-cookie")
    first, *attributes = re.split(r";\s*", line)
    return first.partition("=")[2], {each.lower() for each in attributes}
