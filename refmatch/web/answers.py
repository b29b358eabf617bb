"""What comes from the browser and goes there: bodies within bounds, JSON, pictures, notices."""

from __future__ import annotations

import base64
import contextlib
import hashlib
import html
import json
import tempfile
from collections.abc import AsyncIterator, Callable, Iterator
from pathlib import Path
from typing import Any, NoReturn

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from refmatch.errors import OutputError

PAGE_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "connect-src 'self'",
        "font-src 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
        "require-trusted-types-for 'script'",
        "trusted-types 'none'",
    )
)
"""Content-Security-Policy (W3C, level 3): what is not our own does not run, nor show.

The last two make text that is set as markup an error, where the browser knows them.
"""

ALWAYS = {
    "content-security-policy": PAGE_POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
"""Headers of every answer that does not set its own."""

UNCHANGING = "private, max-age=31536000, immutable"
"""Cache-Control of what is named by its own content: a picture by its digest."""


STYLE = """
:root { color-scheme: light dark; }
body { max-width: 34rem; margin: 20vh auto 0; padding: 0 1.5rem; font: 1.125rem/1.6 system-ui,
sans-serif; }
h1 { font-size: 1.5rem; font-weight: 600; }
a { color: inherit; }
"""

NOTICE = """<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
{onward}<title>{title}</title>
<style>{style}</style>
<main><h1>{title}</h1><p>{sentence}</p></main>
</html>
"""

NOTICE_POLICY = (
    "default-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'; style-src "
    f"'sha256-{base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()}'"
)
"""A notice needs nothing but its own few rules of style, known by their digest."""

KINDS = {b"\xff\xd8\xff": "image/jpeg", b"\x89PNG": "image/png"}
"""A picture's media type, by the first bytes of it."""


def as_json(content: dict[str, Any], status: int = 200) -> Response:
    """Return JSON; a number that is not finite would be a mistake here."""
    data = json.dumps(content, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Response(data.encode("utf-8"), status, media_type="application/json")


async def state_shown(make: Callable[[], dict[str, Any]]) -> Response:
    """Return a view's state, made beside the loop, with the size that a photo may have."""
    return as_json(await run_in_threadpool(make) | {"most_photo_bytes": MOST_PHOTO_BYTES})


def failed(sentence: str, status: int, **more: Any) -> Response:
    """Return what went wrong, in one sentence for the painter."""
    return as_json({"error": sentence, **more}, status)


def refused(request: Request, status: int, sentence: str) -> Response:
    """Return a refusal as the asker can read it: JSON for the page, a page for a person."""
    if request.scope["path"].startswith("/api/"):
        return failed(sentence, status)
    return notice("The studio", sentence, status)


def notice(title: str, sentence: str, status: int = 200, onward: str = "") -> Response:
    """Return a small page that says one thing; with ``onward`` it goes on there by itself.

    It goes on by its own means, rather than by a redirect, so that the browser takes the
    step for one within this site and sends a SameSite=Strict cookie along.
    """
    words, goes_on = html.escape(sentence), ""
    if onward:
        address = html.escape(onward)
        words = f'<a href="{address}">{words}</a>'
        goes_on = f'<meta http-equiv="refresh" content="0; url={address}">\n'
    page = NOTICE.format(title=html.escape(title), sentence=words, style=STYLE, onward=goes_on)
    return HTMLResponse(page, status, {"content-security-policy": NOTICE_POLICY})


def picture(data: bytes, unchanging: bool = False) -> Response:
    """Return a JPEG or PNG; one named by its content is kept by the browser."""
    kind = next(kind for start, kind in KINDS.items() if data.startswith(start))
    headers = {"cache-control": UNCHANGING} if unchanging else {}
    return Response(data, headers=headers, media_type=kind)


MOST_JSON_BYTES = 256 * 1024
MOST_PHOTO_BYTES = 200 * 1000 * 1000
DEEPEST = 6
"""Lists and objects within each other; what the page sends has three."""

LARGEST = 2.0**53
"""Up to here the page's own numbers are whole (ECMAScript, Number.MAX_SAFE_INTEGER)."""

MOST_ITEMS = 500
"""In one list or object."""


async def json_object(request: Request) -> dict[str, Any]:
    """Return the JSON object in the body.

    Raises:
        HTTPException: 413 where it is too large, 400 where it is no plain JSON object.
    """
    data = bytearray()
    async for chunk in _bounded(request, MOST_JSON_BYTES, "That is more than the studio takes."):
        data += chunk
    try:
        content = json.loads(data, parse_constant=_no_such_number)
    except (ValueError, RecursionError) as error:
        raise HTTPException(400, "What was sent is not JSON.") from error
    if not isinstance(content, dict):
        raise HTTPException(400, "What was sent is not a JSON object.")
    _check(content, DEEPEST)
    return content


@contextlib.asynccontextmanager
async def photo_file(request: Request, name: str) -> AsyncIterator[Path]:
    """Put the body into a file of that plain name, gone afterwards, and give its path.

    Raises:
        HTTPException: 413 where it is too large, 400 where it is empty.
    """
    most = MOST_PHOTO_BYTES // 1_000_000
    sentence = f"That photo is larger than {most} MB; send a smaller one, such as a JPEG of it."
    with _folder_on_the_way() as folder:
        path, size = Path(folder) / name, 0
        try:
            with path.open("wb") as file:
                async for chunk in _bounded(request, MOST_PHOTO_BYTES, sentence):
                    size += await run_in_threadpool(file.write, chunk)
        except OSError as error:
            raise OutputError("disk_full", path=name) from error
        if not size:
            raise HTTPException(400, "No photo came; drop one on the page, or choose one.")
        yield path


@contextlib.contextmanager
def _folder_on_the_way() -> Iterator[str]:
    try:
        made = tempfile.TemporaryDirectory(prefix="refmatch-", ignore_cleanup_errors=True)
    except OSError as error:
        raise OutputError("no_place_on_the_way") from error
    with made as folder:
        yield folder


async def _bounded(request: Request, most: int, sentence: str) -> AsyncIterator[bytes]:
    """Give the body piece by piece; refuse it by its stated length, and again as it comes."""
    stated = request.headers.get("content-length", "0")
    if not stated.isdecimal() or int(stated) > most:
        raise HTTPException(413, sentence)
    size = 0
    async for chunk in request.stream():
        size += len(chunk)
        if size > most:
            raise HTTPException(413, sentence)
        yield chunk


def _no_such_number(name: str) -> NoReturn:
    raise ValueError(f"{name} is not a number")


def _check(value: Any, deeper: int) -> None:
    """Refuse what no page of ours sends: too deep, too many, or beyond any number."""
    if isinstance(value, float | int) and not abs(value) <= LARGEST:
        raise HTTPException(400, "What was sent holds a number that is none.")
    if not isinstance(value, dict | list):
        return
    if deeper == 0 or len(value) > MOST_ITEMS:
        raise HTTPException(400, "What was sent is nested too deep, or too long.")
    for item in value.values() if isinstance(value, dict) else value:
        _check(item, deeper - 1)
