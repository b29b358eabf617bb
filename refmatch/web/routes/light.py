"""What the Light view asks before anything is changed: what a spot says, how values lie."""

from __future__ import annotations

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.web.answers import told
from refmatch.web.desk import look_at_spot
from refmatch.web.painting_shown import spot_shown, values_shown
from refmatch.web.routes.asked import desk_of, number


async def spot(request: Request) -> Response:
    """Return what a place looks like as shot, and the light it would show if it were neutral."""
    desk, query = await desk_of(request), request.query_params
    place_px = (number(request, "x"), number(request, "y"), number(request, "diameter"))
    lstar = number(request, "lstar") if "lstar" in query else None

    def look() -> dict[str, Any]:
        seen = look_at_spot(desk, place_px, query.get("kind", "neutral"), lstar)
        return spot_shown(seen.sample, seen.balance, seen.refused)

    return told(await run_in_threadpool(look))


async def values(request: Request) -> Response:
    """Return the photo's values when it is seen in a few, and the share of each."""
    desk, levels = await desk_of(request), int(number(request, "levels"))

    def study() -> dict[str, Any]:
        asked = desk.asked
        return values_shown(desk.reckoner.values(asked.frame, asked.light, levels))

    return told(await run_in_threadpool(study))


PAINTING = "/api/paintings/{id}"

ROUTES = (
    Route(f"{PAINTING}/spot", spot),
    Route(f"{PAINTING}/values", values),
)
