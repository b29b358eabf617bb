"""One painting: how it stands, what is changed, its light, pictures, plan and sheet."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse
from starlette.routing import Route

from refmatch.encode import Json
from refmatch.errors import PaintingError, StaleRevision
from refmatch.say.sentence import sentence_of
from refmatch.sheet.compose import Wanted
from refmatch.web.answers import as_json, failed, json_object, photo_file, picture
from refmatch.web.desk import Desk
from refmatch.web.events import Streams
from refmatch.web.page import (
    guesses_shown,
    reach_shown,
    reading_shown,
    sitting_shown,
    spot_shown,
    values_shown,
)
from refmatch.web.prints import Plans, Sheets, plan_shown
from refmatch.web.remedies import REMEDIES
from refmatch.web.routes.asked import desk_of, number, window_of
from refmatch.web.routes.start import plain_name
from refmatch.web.sitting import Sitting
from refmatch.web.spot import look_at_spot

Step = Callable[[], dict[str, Any]]


async def state(request: Request) -> Response:
    """Return the painting as it stands."""
    desk, shown = await desk_of(request), _shown(request)
    return as_json(await run_in_threadpool(lambda: sitting_shown(desk.sitting(shown))))


def _shown(request: Request) -> str:
    """Return the name of the photo that the page shows, "" the painting's own."""
    return request.query_params.get("photo", "")


async def add_photo(request: Request) -> Response:
    """Add the photo in the body to those that the painting is painted from."""
    desk, window = await desk_of(request), window_of(request)
    async with photo_file(request, plain_name(request.query_params.get("name", ""))) as path:
        return as_json(await run_in_threadpool(lambda: sitting_shown(desk.add_photo(path, window))))


async def change(request: Request) -> Response:
    """Make one change."""
    desk, asked, window = await desk_of(request), await json_object(request), window_of(request)
    revision, do = _revision(asked), asked.pop("do", None)
    if not isinstance(do, str):
        raise HTTPException(400, "'do' must say what is to be done.")

    def step() -> dict[str, Any]:
        sitting, made = desk.change(revision, do, asked, window)
        return sitting_shown(sitting) | ({"made": made} if made else {})

    return await _stepped(desk, step, str(asked.get("photo") or ""))


async def undo(request: Request) -> Response:
    """Take the last change back."""
    return await _back_or_on(request, Desk.undo)


async def redo(request: Request) -> Response:
    """Make the change again that was taken back."""
    return await _back_or_on(request, Desk.redo)


async def _back_or_on(request: Request, go: Callable[[Desk, int, str], Sitting]) -> Response:
    """Take a step back, or make it again; what is shown stays."""
    desk, asked, window = await desk_of(request), await json_object(request), window_of(request)
    revision, shown = _revision(asked), str(asked.get("photo") or "")

    def step() -> dict[str, Any]:
        sitting = go(desk, revision, window)
        return sitting_shown(desk.sitting(shown) if shown else sitting)

    return await _stepped(desk, step, shown)


async def events(request: Request) -> Response:
    """Tell of every new revision until the window is closed."""
    desk = await desk_of(request)
    await run_in_threadpool(desk.sitting)  # what is wrong is told before the stream begins
    streams: Streams = request.app.state.streams
    browser = request.cookies[request.app.state.keys.cookie]
    return StreamingResponse(
        streams.follow(browser, desk.listen, lambda: desk.sitting().painting.revision),
        media_type="text/event-stream",
    )


async def reading(request: Request) -> Response:
    """Return the colour under the pointer, and where wanted the recipes for it."""
    desk = await desk_of(request)
    x_px, y_px, diameter_px = (number(request, name) for name in ("x", "y", "diameter"))
    with_recipe, shown = request.query_params.get("recipe") == "1", _shown(request)

    def read() -> dict[str, Any]:
        sample, answer = desk.reading(x_px, y_px, diameter_px, with_recipe, shown)
        return reading_shown(sample, answer, desk.box, desk.table)

    return as_json(await run_in_threadpool(read))


async def guesses(request: Request) -> Response:
    """Return what the photo itself suggests about its light."""
    desk, shown = await desk_of(request), _shown(request)
    return as_json(await run_in_threadpool(lambda: guesses_shown(desk.guesses(shown))))


async def reach(request: Request) -> Response:
    """Return the outline of the colours that the tubes on the table make."""
    desk = await desk_of(request)
    return as_json(await run_in_threadpool(lambda: reach_shown(desk.reach())))


async def _stepped(desk: Desk, step: Step, shown: str = "") -> Response:
    """Answer with the new state; a window that was behind is given the present one."""
    try:
        return as_json(await run_in_threadpool(step))
    except StaleRevision as error:
        now = await run_in_threadpool(lambda: sitting_shown(desk.sitting(shown)))
        return failed(sentence_of(error, REMEDIES), 409, state=now, by=desk.changed_by)


def _revision(asked: dict[str, Any]) -> int:
    revision = asked.pop("revision", None)
    if isinstance(revision, bool) or not isinstance(revision, int):
        raise HTTPException(400, "'revision' must say which state the change is made to.")
    return revision


async def spot(request: Request) -> Response:
    """Return what a place looks like as shot, and the light it would show if it were neutral."""
    desk, query = await desk_of(request), request.query_params
    place_px = (number(request, "x"), number(request, "y"), number(request, "diameter"))
    lstar = number(request, "lstar") if "lstar" in query else None

    def look() -> dict[str, Any]:
        shown = look_at_spot(
            desk, place_px, query.get("kind", "neutral"), lstar, query.get("photo", "")
        )
        return spot_shown(shown.sample, shown.balance, shown.refused)

    return as_json(await run_in_threadpool(look))


async def values(request: Request) -> Response:
    """Return the photo's values when it is seen in a few, and the share of each."""
    desk, levels = await desk_of(request), int(number(request, "levels"))

    def study() -> dict[str, Any]:
        reckoner, asked = desk.of_photo(_shown(request))
        return values_shown(reckoner.values(asked.frame, asked.light, levels))

    return as_json(await run_in_threadpool(study))


async def view(request: Request) -> Response:
    """Return the whole frame seen in one way: balanced, as shot, in few values."""
    desk, asked = await desk_of(request), request.path_params
    drawn = desk.pictures_of(_shown(request)).picture
    return await _drawn(drawn, asked["look"], asked["kind"])


async def tile(request: Request) -> Response:
    """Return a square of the balanced photo."""
    desk, asked = await desk_of(request), request.path_params
    drawn = desk.pictures_of(_shown(request)).tile
    return await _drawn(drawn, asked["look"], asked["reduction"], asked["column"], asked["row"])


async def _drawn(draw: Callable[..., bytes], *asked: object) -> Response:
    """Return a picture of one look of the photo.

    That it has another look by now is no fault: the answer is empty, and the window asks for it.
    """
    try:
        return picture(await run_in_threadpool(draw, *asked), unchanging=True)
    except PaintingError as error:
        if error.name != "photo_looks_otherwise":
            raise
        return Response(status_code=204)


async def card(request: Request) -> Response:
    """Return the photo hidden under its card, only the holes showing."""
    desk = await desk_of(request)
    ground = request.query_params.get("ground", "grey")
    return picture(await run_in_threadpool(desk.pictures_of(_shown(request)).card, ground))


async def plan(request: Request) -> Response:
    """Return the plan: with ``key=off`` unkeyed, with ``tubes`` of so many tubes."""
    desk, plans = await desk_of(request), _plans(request)
    tubes = round(number(request, "tubes")) if "tubes" in request.query_params else None
    keyed = request.query_params.get("key") != "off"

    def made() -> Json:
        return plan_shown(plans.plan(desk, tubes, keyed=keyed))

    return as_json(await run_in_threadpool(made))


def _plans(request: Request) -> Plans:
    plans: Plans = request.app.state.plans
    return plans


async def about(request: Request) -> Response:
    """Return how many pages the sheet has, and of which state of the painting it is."""
    desk = await desk_of(request)
    sheet = await run_in_threadpool(
        _sheets(request).sheet, desk, _paper(request), _plan(request), _wanted(request)
    )
    return as_json({"pages": sheet.pages, "revision": sheet.revision})


async def page(request: Request) -> Response:
    """Return one page of the sheet as a picture.

    A page that was asked for of a state that is gone, and is no longer there, is no fault:
    the answer is empty, and the window asks again for the state it then has.
    """
    desk, number = await desk_of(request), request.path_params["page"]
    try:
        drawn = await run_in_threadpool(
            _sheets(request).page, desk, _paper(request), number, _plan(request), _wanted(request)
        )
    except PaintingError:
        sheet = await run_in_threadpool(
            _sheets(request).sheet, desk, _paper(request), _plan(request), _wanted(request)
        )
        if request.query_params.get("revision") in (None, str(sheet.revision)):
            raise
        return Response(status_code=204)
    return picture(drawn)


async def pdf(request: Request) -> Response:
    """Return the sheet as a file that the browser saves under the painting's title."""
    desk = await desk_of(request)
    sheet = await run_in_threadpool(
        _sheets(request).hand_out, desk, _paper(request), _plan(request), _wanted(request)
    )
    headers = {"content-disposition": as_file(sheet.title)}
    return Response(sheet.data, headers=headers, media_type="application/pdf")


def as_file(title: str) -> str:
    """Return the header that names a file by a painting's title (RFC 6266, RFC 8187).

    Old browsers read the plain name, others the whole one; neither holds anything
    that a file's name cannot.
    """
    name = " ".join(re.sub(r'[\x00-\x1f\x7f"*/:<>?\\|%]', " ", title).split()).strip(". ")
    name = name[:80] or "sheet"
    plain = name.encode("ascii", "replace").decode().replace("?", "_")
    return f"attachment; filename=\"{plain}.pdf\"; filename*=UTF-8''{quote(name, safe='')}.pdf"


def _sheets(request: Request) -> Sheets:
    sheets: Sheets = request.app.state.sheets
    return sheets


def _paper(request: Request) -> str:
    return request.query_params.get("paper", "a4")


def _plan(request: Request) -> str:
    return request.query_params.get("plan", "")


def _wanted(request: Request) -> Wanted:
    """Return which pages are wanted, of what size, and what lines to draw by."""
    asked = request.query_params
    return Wanted(
        pages=asked.get("pages", "all"),
        slips=asked.get("slips", "full"),
        grid=asked.get("grid", ""),
    )


PAINTING = "/api/paintings/{id}"

ROUTES = (
    Route(PAINTING, state),
    Route(f"{PAINTING}/changes", change, methods=["POST"]),
    Route(f"{PAINTING}/photos", add_photo, methods=["POST"]),
    Route(f"{PAINTING}/undo", undo, methods=["POST"]),
    Route(f"{PAINTING}/redo", redo, methods=["POST"]),
    Route(f"{PAINTING}/events", events),
    Route(f"{PAINTING}/reading", reading),
    Route(f"{PAINTING}/guesses", guesses),
    Route(f"{PAINTING}/reach", reach),
    Route(f"{PAINTING}/spot", spot),
    Route(f"{PAINTING}/values", values),
    Route(f"{PAINTING}/pictures/{{look}}/{{kind}}.jpg", view),
    Route(f"{PAINTING}/pictures/{{look}}/{{kind}}.png", view),
    Route(f"{PAINTING}/tiles/{{look}}/{{reduction:int}}/{{column:int}}/{{row:int}}.jpg", tile),
    Route(f"{PAINTING}/card.png", card),
    Route(f"{PAINTING}/sheet", about),
    Route(f"{PAINTING}/sheet/{{page:int}}.png", page),
    Route(f"{PAINTING}/sheet.pdf", pdf),
    Route(f"{PAINTING}/plan", plan),
)
