"""What the browser sends, read within bounds: JSON, and the bytes of a photo."""

from __future__ import annotations

import contextlib
import json
import tempfile
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any, NoReturn

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request

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
    with tempfile.TemporaryDirectory(prefix="refmatch-") as folder:
        path, size = Path(folder) / name, 0
        with path.open("wb") as file:
            async for chunk in _bounded(request, MOST_PHOTO_BYTES, sentence):
                size += await run_in_threadpool(file.write, chunk)
        if not size:
            raise HTTPException(400, "No photo came; drop one on the page, or choose one.")
        yield path


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
