"""Boxes of tubes: a new one from the built-in pigments."""

from __future__ import annotations

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.web.answers import json_object, told
from refmatch.web.routes.asked import shelf_of

MOST_TUBES = 60
LONGEST_NAME = 80


async def new_box(request: Request) -> Response:
    """Make a box and keep it with the painter's others."""
    asked = await json_object(request)
    name, tubes = _text(asked, "name"), asked.get("tubes")
    if not isinstance(tubes, list) or not 1 <= len(tubes) <= MOST_TUBES:
        raise HTTPException(400, f"'tubes' must be a list of 1 to {MOST_TUBES} tubes.")
    listed = [_tube(tube) for tube in tubes]
    key = await run_in_threadpool(shelf_of(request).new_box, name, listed)
    return told({"id": key})


def _tube(asked: Any) -> tuple[str, str | None]:
    """Return a tube's pigment and the painter's name for it, None where it has none."""
    if not isinstance(asked, dict):
        raise HTTPException(400, "A tube must say its pigment, and may say its name.")
    named = asked.get("name") not in (None, "")
    return _text(asked, "pigment"), _text(asked, "name") if named else None


def _text(asked: dict[str, Any], name: str) -> str:
    value = asked.get(name)
    told = " ".join(value.split()) if isinstance(value, str) else ""
    if not 1 <= len(told) <= LONGEST_NAME:
        raise HTTPException(400, f"'{name}' must be a text of 1 to {LONGEST_NAME} letters.")
    return told


ROUTES = (Route("/api/boxes", new_box, methods=["POST"]),)
