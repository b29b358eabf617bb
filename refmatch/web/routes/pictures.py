"""Pictures of a painting's photo: whole views, tiles up close, the punched card."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.web.answers import picture
from refmatch.web.routes.asked import desk_of


async def view(request: Request) -> Response:
    """Return the whole frame seen in one way: balanced, as shot, in few values."""
    desk, asked = await desk_of(request), request.path_params
    data = await run_in_threadpool(desk.pictures.picture, asked["look"], asked["kind"])
    return picture(data, unchanging=True)


async def tile(request: Request) -> Response:
    """Return a square of the balanced photo."""
    desk, asked = await desk_of(request), request.path_params
    data = await run_in_threadpool(
        desk.pictures.tile, asked["look"], asked["reduction"], asked["column"], asked["row"]
    )
    return picture(data, unchanging=True)


async def card(request: Request) -> Response:
    """Return the photo hidden under its card, only the holes showing."""
    desk = await desk_of(request)
    ground = request.query_params.get("ground", "grey")
    return picture(await run_in_threadpool(desk.pictures.card, ground))


PAINTING = "/api/paintings/{id}"

ROUTES = (
    Route(f"{PAINTING}/pictures/{{look}}/{{kind}}.jpg", view),
    Route(f"{PAINTING}/pictures/{{look}}/{{kind}}.png", view),
    Route(f"{PAINTING}/tiles/{{look}}/{{reduction:int}}/{{column:int}}/{{row:int}}.jpg", tile),
    Route(f"{PAINTING}/card.png", card),
)
