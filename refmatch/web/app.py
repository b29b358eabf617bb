"""The server's application: its routes, its guard, and what is said when something is wrong."""

from __future__ import annotations

import os
from http import HTTPStatus
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.types import ASGIApp

from refmatch.errors import LibraryMissing, OutputError, PaintingError, RefmatchError
from refmatch.say.sentence import sentence_of
from refmatch.web.answers import failed, refused
from refmatch.web.bench.benches import Benches
from refmatch.web.canvas import CanvasTables
from refmatch.web.checking import Checkings
from refmatch.web.classes import Classes
from refmatch.web.events import Streams
from refmatch.web.guard import Door, Guard
from refmatch.web.prints import Plans, Sheets
from refmatch.web.remedies import REMEDIES
from refmatch.web.routes import (
    benches,
    canvas,
    checks,
    classes,
    demonstrations,
    finder,
    page,
    paintings,
    start,
)
from refmatch.web.shelf import Shelf

ROUTES = (
    *page.ROUTES,
    *start.ROUTES,
    *benches.ROUTES,
    *paintings.ROUTES,
    *checks.ROUTES,
    *classes.ROUTES,
    *demonstrations.ROUTES,
    *finder.ROUTES,
    *canvas.ROUTES,
)

STATUS: dict[type[RefmatchError], int] = {
    PaintingError: 404,
    OutputError: 507,
    LibraryMissing: 500,
    RefmatchError: 400,
}
"""The HTTP status of an error; the first that fits."""

SAID = {404: "There is nothing here.", 405: "That cannot be done here."}
"""What the framework says by itself, in our words."""


def make_app(
    shelf: Shelf, door: Door, streams: Streams, checkings: Checkings | None = None
) -> ASGIApp:
    """Return the application for the paintings of one shelf, with its door.

    The guard stands outside of everything, so that even what goes wrong within is told behind it.
    """
    handlers: dict[Any, Any] = {
        RefmatchError: _painters_error,
        HTTPException: _http_error,
        ClientDisconnect: _gone,
        Exception: _own_error,
    }
    app = Starlette(routes=list(ROUTES), exception_handlers=handlers)
    app.state.shelf = shelf
    app.state.keys = door.keys
    app.state.streams = streams
    app.state.sheets = Sheets()
    app.state.plans = Plans()
    app.state.benches = Benches(shelf)
    app.state.classes = Classes(shelf)
    app.state.canvases = CanvasTables()
    app.state.checkings = checkings or Checkings()
    return Guard(app, door)


async def _painters_error(request: Request, error: Exception) -> Response:
    status = next(number for kind, number in STATUS.items() if isinstance(error, kind))
    assert isinstance(error, RefmatchError)
    sentence = sentence_of(error, REMEDIES)
    return failed(without_places(sentence, request.app.state.shelf.folder), status)


def without_places(sentence: str, folder: Path) -> str:
    """Return a sentence with the files in it named, but not where on the disk they are.

    Whoever shares the studio sees it too.
    """
    for place in dict.fromkeys((str(folder.resolve()), str(folder), str(Path.home()))):
        sentence = sentence.replace(f"{place}{os.sep}", "").replace(place, folder.name)
    return sentence


async def _http_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    status, sentence = error.status_code, error.detail
    if sentence == HTTPStatus(status).phrase:
        sentence = SAID.get(status, sentence)
    return refused(request, status, sentence)


async def _gone(request: Request, _: Exception) -> Response:
    """Answer nobody: whoever was sending has gone, or was too slow."""
    return refused(request, 400, "The connection broke off before all of it came; send it again.")


async def _own_error(request: Request, _: Exception) -> Response:
    return refused(
        request,
        500,
        "Something went wrong inside refmatch; what is saved is safe. Load the page anew.",
    )
