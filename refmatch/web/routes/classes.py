"""A class: begun with a painting, filled from a table, mixed, and handed out as PDF."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.web.answers import as_json, json_object
from refmatch.web.classes import Classes, lesson_shown, roll_shown
from refmatch.web.fields import Fields
from refmatch.web.prints import PAPERS
from refmatch.web.routes.paintings import as_file

LONGEST_TABLE = 40_000
"""Letters: sixty students with a dozen tubes each, and room to spare."""


async def listed(request: Request) -> Response:
    """Return the classes on the shelf."""
    cards = await run_in_threadpool(_classes(request).cards)
    rows = [
        {"id": card.key, "name": card.name, "title": card.title, "students": card.students}
        for card in cards
    ]
    return as_json({"classes": rows})


async def new(request: Request) -> Response:
    """Begin a class around a painting: {painting, name}."""
    asked = Fields(await json_object(request))
    painting, name = asked.text("painting"), asked.text("name")
    if not name:
        raise HTTPException(400, "Say what the class is called.")
    key = await run_in_threadpool(_classes(request).begin, painting, name)
    return as_json({"id": key})


async def roll(request: Request) -> Response:
    """Return who is in a class."""
    key = request.path_params["id"]
    return as_json(roll_shown(key, await run_in_threadpool(_classes(request).roll, key)))


async def add(request: Request) -> Response:
    """Add students: {table, replace}, a row each, name and tubes or a box.

    Or one with a box of the shelf: {name, box, replace}.
    """
    key, given = request.path_params["id"], await json_object(request)
    fields, table = Fields(given), given.get("table")
    if "box" in fields:
        name, box = fields.text("name"), fields.text("box")

        def with_box() -> Response:
            made = _classes(request).add_with_box(key, name, box, anew=fields.truth("replace"))
            return as_json(roll_shown(key, made))

        return await run_in_threadpool(with_box)
    if not isinstance(table, str) or len(table) > LONGEST_TABLE:
        raise HTTPException(400, f"'table' must be a text of at most {LONGEST_TABLE} letters.")
    anew = fields.truth("replace")

    def added() -> Response:
        return as_json(roll_shown(key, _classes(request).add(key, table, anew=anew)))

    return await run_in_threadpool(added)


async def mixed(request: Request) -> Response:
    """Return what everybody mixes."""
    key = request.path_params["id"]

    def content() -> Response:
        return as_json(lesson_shown(_classes(request).lesson(key)))

    return await run_in_threadpool(content)


async def pdf(request: Request) -> Response:
    """Return a print: the tutor's sheet, all hand-outs, or a student's own."""
    key, name = request.path_params["id"], request.path_params["name"]
    paper = request.query_params.get("paper", PAPERS[0])
    data = await run_in_threadpool(_classes(request).pdf, key, f"{name}.pdf", paper)
    headers = {"content-disposition": as_file(name)}
    return Response(data, headers=headers, media_type="application/pdf")


def _classes(request: Request) -> Classes:
    classes: Classes = request.app.state.classes
    return classes


ROUTES = (
    Route("/api/classes", listed),
    Route("/api/classes", new, methods=["POST"]),
    Route("/api/classes/{id}", roll),
    Route("/api/classes/{id}/students", add, methods=["POST"]),
    Route("/api/classes/{id}/mixes", mixed),
    Route("/api/classes/{id}/{name}.pdf", pdf),
)
