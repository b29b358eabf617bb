"""Dabs checked: a photo on the table, each puddle judged, what was done, and what moves it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.encode import Json
from refmatch.errors import StaleRevision
from refmatch.say.sentence import sentence_of
from refmatch.web import check_table as dab_card
from refmatch.web.answers import as_json, failed, json_object, photo_file, picture, state_shown
from refmatch.web.check_table import nudges_shown
from refmatch.web.checking import Checking, Checkings
from refmatch.web.desk import Desk
from refmatch.web.fields import Fields
from refmatch.web.remedies import REMEDIES
from refmatch.web.routes.asked import desk_of, window_of
from refmatch.web.routes.paintings import as_file
from refmatch.web.routes.start import plain_name

Act = Callable[[Desk, Mapping[str, Any], str], Json]


async def state(request: Request) -> Response:
    """Return the checks as they stand."""
    desk, checking = await desk_of(request), _checking(request)
    return await state_shown(lambda: checking.table(desk))


async def lay(request: Request) -> Response:
    """Lay the photo in the body on the table."""
    desk, checking = await desk_of(request), _checking(request)
    async with photo_file(request, plain_name(request.query_params.get("name", ""))) as path:
        return await state_shown(lambda: checking.lay(desk, path))


async def photo(request: Request) -> Response:
    """Return the photo on the table, or one of the record, as a picture."""
    desk, checking = await desk_of(request), _checking(request)
    data = await run_in_threadpool(checking.picture, desk, request.path_params["photo"])
    return picture(data, unchanging=True)


async def judge(request: Request) -> Response:
    """Judge dabs in the photo on the table."""
    return await _acted(request, _checking(request).judge)


async def did(request: Request) -> Response:
    """Record what was done after a round."""
    return await _acted(request, _checking(request).did)


async def mixed(request: Request) -> Response:
    """Record what a puddle was really mixed of."""
    return await _acted(request, _checking(request).mixed)


async def take_back(request: Request) -> Response:
    """Take back what was said to be done after a round."""
    return await _acted(request, _checking(request).take_back)


async def lay_card(request: Request) -> Response:
    """Lay out the dab card of the painting as it stands."""
    desk, checking = await desk_of(request), _checking(request)
    asked = Fields(await json_object(request))
    paper, grey = asked.text("paper"), asked.number("grey_lstar", 1.0, 100.0)

    def act() -> Json:
        dab_card.lay_out(desk, paper, grey)
        return checking.table(desk)

    return await state_shown(act)


async def card(request: Request) -> Response:
    """Return the dab card to print, as it was laid out."""
    desk = await desk_of(request)
    title, data = await run_in_threadpool(dab_card.printed, desk)
    headers = {"content-disposition": as_file(f"Dab card {title}")}
    return Response(data, headers=headers, media_type="application/pdf")


async def nudges(request: Request) -> Response:
    """Return what moves a puddle each way."""
    desk, hole = await desk_of(request), request.path_params["hole"]

    return as_json(await run_in_threadpool(nudges_shown, desk, hole))


async def _acted(request: Request, act: Act) -> Response:
    desk, window = await desk_of(request), window_of(request)
    asked = await json_object(request)
    try:
        return await state_shown(lambda: act(desk, asked, window))
    except StaleRevision as error:
        return failed(sentence_of(error, REMEDIES), 409)


def _checking(request: Request) -> Checking:
    checkings: Checkings = request.app.state.checkings
    return checkings.of(request.path_params["id"])


PAINTING = "/api/paintings/{id}"
CHECKS = f"{PAINTING}/checks"

ROUTES = (
    Route(CHECKS, state),
    Route(CHECKS, judge, methods=["POST"]),
    Route(f"{CHECKS}/photos", lay, methods=["POST"]),
    Route(f"{CHECKS}/photos/{{photo}}.jpg", photo),
    Route(f"{CHECKS}/done", did, methods=["POST"]),
    Route(f"{CHECKS}/mixed", mixed, methods=["POST"]),
    Route(f"{CHECKS}/not-done", take_back, methods=["POST"]),
    Route(f"{PAINTING}/dab-card", lay_card, methods=["POST"]),
    Route(f"{PAINTING}/dab-card.pdf", card),
    Route(f"{PAINTING}/nudges/{{hole:path}}", nudges),
)
