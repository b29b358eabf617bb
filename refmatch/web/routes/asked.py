"""What a request names: a painting, a number, a window; each read once, here."""

from __future__ import annotations

import math

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request

from refmatch.web.desk import Desk
from refmatch.web.shelf import Shelf

LONGEST_WINDOW = 64
"""Letters of a window's name."""


def shelf_of(request: Request) -> Shelf:
    """Return the shelf that is served."""
    shelf: Shelf = request.app.state.shelf
    return shelf


async def desk_of(request: Request) -> Desk:
    """Return the painting that the address names, open.

    Raises:
        RefmatchError: there is no such painting, or it cannot be opened.
    """
    return await run_in_threadpool(shelf_of(request).open, request.path_params["id"])


def window_of(request: Request) -> str:
    """Return what the window calls itself, "" where it does not."""
    return request.headers.get("x-refmatch-window", "")[:LONGEST_WINDOW]


def number(request: Request, name: str) -> float:
    """Return a number of the query.

    Raises:
        HTTPException: 400, it is missing or no number.
    """
    try:
        value = float(request.query_params[name])
    except (KeyError, ValueError):
        value = math.nan
    if not math.isfinite(value):
        raise HTTPException(400, f"'{name}' must be a number.")
    return value
