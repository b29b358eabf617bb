"""One painting: its state, each change, and word of changes made elsewhere."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse
from starlette.routing import Route

from refmatch.errors import StaleRevision
from refmatch.say.sentence import sentence_of
from refmatch.web.answers import failed, json_object, told
from refmatch.web.desk import Desk
from refmatch.web.events import Streams
from refmatch.web.painting_shown import guesses_shown, reach_shown, reading_shown, sitting_shown
from refmatch.web.remedies import REMEDIES
from refmatch.web.routes.asked import desk_of, number, window_of

Step = Callable[[], dict[str, Any]]


async def state(request: Request) -> Response:
    """Return the painting as it stands."""
    desk = await desk_of(request)
    return told(await run_in_threadpool(lambda: sitting_shown(desk.sitting())))


async def change(request: Request) -> Response:
    """Make one change."""
    desk, asked, window = await desk_of(request), await json_object(request), window_of(request)
    revision, do = _revision(asked), asked.pop("do", None)
    if not isinstance(do, str):
        raise HTTPException(400, "'do' must say what is to be done.")

    def step() -> dict[str, Any]:
        sitting, made = desk.change(revision, do, asked, window)
        return sitting_shown(sitting) | ({"made": made} if made else {})

    return await _stepped(desk, step)


async def undo(request: Request) -> Response:
    """Take the last change back."""
    desk, revision = await desk_of(request), _revision(await json_object(request))
    window = window_of(request)
    return await _stepped(desk, lambda: sitting_shown(desk.undo(revision, window)))


async def redo(request: Request) -> Response:
    """Make the change again that was taken back."""
    desk, revision = await desk_of(request), _revision(await json_object(request))
    window = window_of(request)
    return await _stepped(desk, lambda: sitting_shown(desk.redo(revision, window)))


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
    with_recipe = request.query_params.get("recipe") == "1"

    def read() -> dict[str, Any]:
        return reading_shown(desk.reading(x_px, y_px, diameter_px, with_recipe))

    return told(await run_in_threadpool(read))


async def guesses(request: Request) -> Response:
    """Return what the photo itself suggests about its light."""
    desk = await desk_of(request)
    return told(await run_in_threadpool(lambda: guesses_shown(desk.guesses())))


async def reach(request: Request) -> Response:
    """Return the outline of the colours that the tubes on the table make."""
    desk = await desk_of(request)
    return told(await run_in_threadpool(lambda: reach_shown(desk.reach())))


async def _stepped(desk: Desk, step: Step) -> Response:
    """Answer with the new state; a window that was behind is given the present one."""
    try:
        return told(await run_in_threadpool(step))
    except StaleRevision as error:
        now = await run_in_threadpool(lambda: sitting_shown(desk.sitting()))
        return failed(sentence_of(error, REMEDIES), 409, state=now, by=desk.changed_by)


def _revision(asked: dict[str, Any]) -> int:
    revision = asked.pop("revision", None)
    if isinstance(revision, bool) or not isinstance(revision, int):
        raise HTTPException(400, "'revision' must say which state the change is made to.")
    return revision


PAINTING = "/api/paintings/{id}"

ROUTES = (
    Route(PAINTING, state),
    Route(f"{PAINTING}/changes", change, methods=["POST"]),
    Route(f"{PAINTING}/undo", undo, methods=["POST"]),
    Route(f"{PAINTING}/redo", redo, methods=["POST"]),
    Route(f"{PAINTING}/events", events),
    Route(f"{PAINTING}/reading", reading),
    Route(f"{PAINTING}/guesses", guesses),
    Route(f"{PAINTING}/reach", reach),
)
