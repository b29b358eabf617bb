"""The page itself and what it is made of, and the way in."""

from __future__ import annotations

import functools
import hashlib
from pathlib import Path

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.web.answers import notice
from refmatch.web.guard import CAME_IN, Keys

STATIC = Path(__file__).parents[1] / "static"
INDEX = "index.html"

MEDIA_TYPES = {
    ".html": "text/html",
    ".js": "text/javascript",
    ".css": "text/css",
    ".svg": "image/svg+xml",
    ".png": "image/png",
}
"""Named here, since a system's own list may call a script plain text, which would not run."""


async def index(request: Request) -> Response:
    """Return the page."""
    return await _file(request, INDEX)


async def static(request: Request) -> Response:
    """Return a part of the page: a script, a style, a picture."""
    return await _file(request, request.path_params["name"])


async def enter(request: Request) -> Response:
    """Trade the launch token for a cookie, and go on to the page.

    HttpOnly: no script sees it (RFC 6265, 5.2.6). SameSite=Strict: no other site's page makes
    the browser send it (RFC 6265bis, 5.6.7). It lasts as long as the browser is open.
    """
    keys: Keys = request.app.state.keys
    onward = f"/#/{request.query_params['painting']}" if "painting" in request.query_params else "/"
    if keys.knows(request.cookies.get(keys.cookie, "")):
        return notice("The studio", "Go on to the table.", onward=onward)
    fetched_ahead = "prefetch" in request.headers.get("sec-purpose", "")
    if request.method == "HEAD" or fetched_ahead:
        raise HTTPException(403, "The link waits to be opened.")
    value = keys.trade(request.query_params.get("token", ""))
    if value is None:
        raise HTTPException(
            403,
            "This link was used already, or is not whole; press Enter where the studio runs "
            "for a new one.",
        )
    request.scope[CAME_IN] = True
    answer = notice("The studio", "Go on to the table.", onward=onward)
    answer.set_cookie(keys.cookie, value, path="/", httponly=True, samesite="strict")
    return answer


async def _file(request: Request, name: str) -> Response:
    known = await run_in_threadpool(known_files)
    if name not in known:
        raise HTTPException(404)
    data = await run_in_threadpool(known[name].read_bytes)
    tag = f'"{hashlib.sha256(data).hexdigest()[:32]}"'
    headers = {"cache-control": "no-cache", "etag": tag}
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    return Response(data, headers=headers, media_type=MEDIA_TYPES[known[name].suffix])


@functools.cache
def known_files() -> dict[str, Path]:
    """Return the page's files by their name from its folder: what is not listed is not opened.

    The folder is walked once: a window asks for some eighty of them.
    """
    files = (path for path in STATIC.rglob("*") if path.suffix in MEDIA_TYPES)
    return {path.relative_to(STATIC).as_posix(): path for path in files}


ROUTES = (
    Route("/", index),
    Route("/enter", enter),
    Route("/static/{name:path}", static),
)
