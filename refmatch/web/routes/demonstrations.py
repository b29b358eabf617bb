"""Demonstrations for a class on the page, and the same ones printed."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.encode.forms import Json, demonstration_form, portions_of
from refmatch.errors import BoxError
from refmatch.plan.demonstrations import Demonstrated, demonstrate
from refmatch.web.answers import as_json
from refmatch.web.page import page
from refmatch.web.routes.asked import shelf_of
from refmatch.web.routes.paintings import as_file


async def shown(request: Request) -> Response:
    """Return the demonstrations of a box: ?box=KEY, and &colour=TUBE to show them on."""

    def content() -> Json:
        of = _asked(request)
        return page(
            {
                "puddle": portions_of((tube.name, parts) for tube, parts in of.portions),
                "demonstrations": [
                    demonstration_form(one, of.portions) for one in of.demonstrations
                ],
            },
            of.flags,
        )

    return as_json(await run_in_threadpool(content))


async def printed(request: Request) -> Response:
    """Return the same as PDF, on &paper=a4 or letter."""
    from refmatch.sheet.demonstration_pages import write  # ReportLab is slow to import

    def pdf() -> tuple[str, bytes]:
        of = _asked(request)
        return of.box.name, write(of, request.query_params.get("paper", "a4"))

    name, data = await run_in_threadpool(pdf)
    headers = {"content-disposition": as_file(f"Demonstrations {name}")}
    return Response(data, headers=headers, media_type="application/pdf")


def _asked(request: Request) -> Demonstrated:
    """Read which box, and which of its tubes; the usual colour where none is named.

    Raises:
        BoxError: no such box, or no colour in it. UnknownTube: no such tube.
    """
    box = shelf_of(request).boxes().get(request.query_params.get("box", ""))
    if box is None:
        raise BoxError("no_such_box")
    colour = request.query_params.get("colour", "")
    return demonstrate([f"{colour}=1"] if colour else (), box)


ROUTES = (
    Route("/api/demonstrations", shown),
    Route("/api/demonstrations.pdf", printed),
)
