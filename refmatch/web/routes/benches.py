"""Boxes of the painter's own tubes in the making: the card, its photos, mends, the box."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.encode import Json
from refmatch.errors import StaleRevision
from refmatch.painting.advise import advise_box
from refmatch.say.sentence import sentence_of
from refmatch.web.answers import as_json, failed, json_object, photo_file, picture
from refmatch.web.bench.benches import Benches
from refmatch.web.bench.state import advice_shown
from refmatch.web.bench.workbench import Workbench
from refmatch.web.fields import Fields
from refmatch.web.remedies import REMEDIES
from refmatch.web.routes.asked import shelf_of
from refmatch.web.routes.paintings import as_file
from refmatch.web.routes.start import plain_name

LONGEST_NAME = 80
MOST_ADVICE = 5


async def listed(request: Request) -> Response:
    """Return which boxes are in the making, last touched first."""
    benches = await run_in_threadpool(_benches(request).listed)
    return as_json({"benches": benches})


async def begin(request: Request) -> Response:
    """Lay out the card of a box; a box that has one already keeps what was done with it."""
    asked = Fields(await json_object(request))
    box, paper, grey = asked.text("box"), asked.text("paper"), _grey(asked)
    benches = _benches(request)

    def begun() -> Json:
        return benches.open(benches.begin(box, paper, grey)).bench()

    return await _stepped(begun)


async def begin_sample(request: Request) -> Response:
    """Lay out the card that the sample photo shows, with that photo."""
    benches = _benches(request)
    key = await run_in_threadpool(benches.begin_sample)
    return await _shown(benches.open, key)


async def begin_by_photo(request: Request) -> Response:
    """Lay out the card that the photo in the body shows, by the code on it, with that photo."""
    benches = _benches(request)
    async with photo_file(request, plain_name(request.query_params.get("name", ""))) as path:
        key = await run_in_threadpool(benches.begin_by_photo, path)
    return await _shown(benches.open, key)


async def state(request: Request) -> Response:
    """Return a box in the making as it stands."""
    return await _shown(_benches(request).open, request.path_params["id"])


async def new_card(request: Request) -> Response:
    """Lay the card out for other paper, or another grey card."""
    bench, asked = await _bench(request), Fields(await json_object(request))
    paper, grey, revision = asked.text("paper"), _grey(asked), _revision(asked)
    return await _stepped(lambda: bench.new_card(paper, grey, revision))


async def card(request: Request) -> Response:
    """Return the card to print."""
    bench = await _bench(request)
    name, data = await run_in_threadpool(bench.card_pdf)
    headers = {"content-disposition": as_file(f"Card {name}")}
    return Response(data, headers=headers, media_type="application/pdf")


async def change(request: Request) -> Response:
    """Make one change: mend a dab, put a photo away, say the light."""
    bench, asked = await _bench(request), await json_object(request)
    do = asked.pop("do", None)
    if not isinstance(do, str):
        raise HTTPException(400, "'do' must say what is to be done.")
    revision = _revision(Fields(asked))
    return await _stepped(lambda: bench.change(do, asked, revision))


async def new_photo(request: Request) -> Response:
    """Read the photo of a page in the body, and keep it."""
    bench, query = await _bench(request), request.query_params
    revision = _revision(Fields(dict(query)))
    async with photo_file(request, plain_name(query.get("name", ""))) as path:
        return await _stepped(lambda: bench.add_photo(path, revision))


async def photo(request: Request) -> Response:
    """Return a photo of a page as a picture."""
    bench = await _bench(request)
    data = await run_in_threadpool(bench.picture, request.path_params["photo"])
    return picture(data, unchanging=True)


async def make(request: Request) -> Response:
    """Make the box of the dabs as they now stand."""
    bench, asked = await _bench(request), Fields(await json_object(request))
    name, revision = asked.text("name", LONGEST_NAME), _revision(asked)
    return await _stepped(lambda: bench.make(name, revision))


async def advice(request: Request) -> Response:
    """Return which dabs would most reduce the doubt of a painting's mixes."""
    shelf, key = shelf_of(request), request.path_params["id"]

    def dabs() -> dict[str, Any]:
        folder = shelf.open(key).folder
        return advice_shown(advise_box((), None, folder, MOST_ADVICE))

    return as_json(await run_in_threadpool(dabs))


def _benches(request: Request) -> Benches:
    benches: Benches = request.app.state.benches
    return benches


async def _bench(request: Request) -> Workbench:
    return await run_in_threadpool(_benches(request).open, request.path_params["id"])


async def _shown(open_bench: Any, key: str) -> Response:
    return as_json(await run_in_threadpool(lambda: open_bench(key).bench()))


async def _stepped(step: Callable[[], Json]) -> Response:
    """Answer with the new state; a window that was behind is told, and asks for the present one."""
    try:
        return as_json(await run_in_threadpool(step))
    except StaleRevision as error:
        return failed(sentence_of(error, REMEDIES), 409)


def _revision(asked: Fields) -> str:
    if "revision" not in asked:
        raise HTTPException(400, "'revision' must say which state the change is made to.")
    return asked.text("revision")


def _grey(asked: Fields) -> float:
    return asked.number("grey_lstar", 1.0, 100.0)


BENCH = "/api/benches/{id}"

ROUTES = (
    Route("/api/benches", listed),
    Route("/api/benches", begin, methods=["POST"]),
    Route("/api/benches/sample", begin_sample, methods=["POST"]),
    Route("/api/benches/photos", begin_by_photo, methods=["POST"]),
    Route(BENCH, state),
    Route(f"{BENCH}/card", new_card, methods=["POST"]),
    Route(f"{BENCH}/card.pdf", card),
    Route(f"{BENCH}/changes", change, methods=["POST"]),
    Route(f"{BENCH}/photos", new_photo, methods=["POST"]),
    Route(f"{BENCH}/photos/{{photo}}.jpg", photo),
    Route(f"{BENCH}/box", make, methods=["POST"]),
    Route("/api/paintings/{id}/advice", advice),
)
