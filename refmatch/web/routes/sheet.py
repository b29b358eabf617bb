"""The mixing sheet: its pages to look at, and the PDF to take away."""

from __future__ import annotations

import re
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.errors import PaintingError
from refmatch.web.answers import picture, told
from refmatch.web.routes.asked import desk_of
from refmatch.web.sheets import Sheets


async def about(request: Request) -> Response:
    """Return how many pages the sheet has, and of which state of the painting it is."""
    desk = await desk_of(request)
    sheet = await run_in_threadpool(_sheets(request).sheet, desk, _paper(request), _plan(request))
    return told({"pages": sheet.pages, "revision": sheet.revision})


async def page(request: Request) -> Response:
    """Return one page of the sheet as a picture.

    A page that was asked for of a state that is gone, and is no longer there, is no fault:
    the answer is empty, and the window asks again for the state it then has.
    """
    desk, number = await desk_of(request), request.path_params["page"]
    try:
        drawn = await run_in_threadpool(
            _sheets(request).page, desk, _paper(request), number, _plan(request)
        )
    except PaintingError:
        sheet = await run_in_threadpool(
            _sheets(request).sheet, desk, _paper(request), _plan(request)
        )
        if request.query_params.get("revision") in (None, str(sheet.revision)):
            raise
        return Response(status_code=204)
    return picture(drawn)


async def pdf(request: Request) -> Response:
    """Return the sheet as a file that the browser saves under the painting's title."""
    desk = await desk_of(request)
    sheet = await run_in_threadpool(
        _sheets(request).hand_out, desk, _paper(request), _plan(request)
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


PAINTING = "/api/paintings/{id}"

ROUTES = (
    Route(f"{PAINTING}/sheet", about),
    Route(f"{PAINTING}/sheet/{{page:int}}.png", page),
    Route(f"{PAINTING}/sheet.pdf", pdf),
)
