"""The canvas against its reference: a photo on the table, looked at, and both shown."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.web import canvas
from refmatch.web.answers import json_object, photo_file, picture, state_shown
from refmatch.web.canvas import CanvasTable, CanvasTables
from refmatch.web.routes.asked import desk_of, window_of
from refmatch.web.routes.start import plain_name


async def state(request: Request) -> Response:
    """Return the photo on the table and the last sitting."""
    desk, table = await desk_of(request), _table(request)
    return await state_shown(lambda: table.state(desk))


async def lay(request: Request) -> Response:
    """Lay the photo in the body on the table."""
    desk, table = await desk_of(request), _table(request)
    async with photo_file(request, plain_name(request.query_params.get("name", ""))) as path:
        return await state_shown(lambda: table.lay(desk, path))


async def look(request: Request) -> Response:
    """Hold the photo on the table against the reference."""
    desk, table, window = await desk_of(request), _table(request), window_of(request)
    asked = await json_object(request)
    return await state_shown(lambda: table.look(desk, asked, window))


async def photo(request: Request) -> Response:
    """Return the photo on the table."""
    table = _table(request)
    data = await run_in_threadpool(table.photo, request.path_params["photo"])
    return picture(data, unchanging=True)


async def side(request: Request) -> Response:
    """Return the canvas or its reference, as it is or in a few values."""
    desk = await desk_of(request)
    data = await run_in_threadpool(canvas.picture, desk, request.path_params["name"])
    return picture(data, unchanging=True)


def _table(request: Request) -> CanvasTable:
    tables: CanvasTables = request.app.state.canvases
    return tables.of(request.path_params["id"])


CANVAS = "/api/paintings/{id}/canvas"

ROUTES = (
    Route(CANVAS, state),
    Route(CANVAS, look, methods=["POST"]),
    Route(f"{CANVAS}/photos", lay, methods=["POST"]),
    Route(f"{CANVAS}/photos/{{photo}}.jpg", photo),
    Route(f"{CANVAS}/pictures/{{name}}/{{look}}", side),
)
"""The address of a picture ends in a word that changes with it."""
