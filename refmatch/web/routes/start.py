"""Where a painter begins: paintings on the shelf, samples to try, a photo of their own, a box."""

from __future__ import annotations

from pathlib import PurePosixPath
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.paint.box import Tube
from refmatch.paint.fit.belief import tube_beside
from refmatch.paint.labelled import tube_labelled
from refmatch.say.sentence import sentence_of
from refmatch.web import shelf
from refmatch.web.answers import MOST_PHOTO_BYTES, as_json, json_object, photo_file, picture
from refmatch.web.boxes import built_in_tubes
from refmatch.web.fields import Fields
from refmatch.web.page import start_shown
from refmatch.web.remedies import REMEDIES
from refmatch.web.routes.asked import shelf_of
from refmatch.web.tidying import put_away_keys, tidy

LONGEST_NAME = 80
SUFFIXES = (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif")
"""What a photo's name may end in; how it is read is decided by its content."""


async def start(request: Request) -> Response:
    """Return all that can be begun with."""
    shelf = shelf_of(request)

    def content() -> dict[str, Any]:
        boxes, damaged = shelf.kept_boxes.lying()
        shown = start_shown(*shelf.lying(), shelf.samples(), boxes, built_in_tubes())
        plain = shelf.kept_boxes.plain
        rows = [
            {"id": row.key, "name": row.name, "why": plain(sentence_of(row.why, REMEDIES))}
            for row in damaged
        ]
        return {**shown, "damaged_boxes": rows, "put_away": put_away_keys(shelf)}

    return as_json(await run_in_threadpool(content) | {"most_photo_bytes": MOST_PHOTO_BYTES})


async def new_painting(request: Request) -> Response:
    """Begin a painting from a sample, or from the photo in the body."""
    shelf, query = shelf_of(request), request.query_params
    if "sample" in query:
        return as_json({"id": await run_in_threadpool(shelf.new_from_sample, query["sample"])})
    async with photo_file(request, plain_name(query.get("name", ""))) as path:
        return as_json({"id": await run_in_threadpool(shelf.new_from_photo, path)})


async def tidied(request: Request) -> Response:
    """Copy, rename, put away or delete a painting, or take that back: {do, title?}."""
    shelf, asked = shelf_of(request), Fields(await json_object(request))
    key, do = request.path_params["id"], asked.text("do")
    title = asked.text("title") if "title" in asked else ""
    return as_json({"id": await run_in_threadpool(tidy, shelf, key, do, title)})


async def rescued(request: Request) -> Response:
    """Go back to the newest whole state of a damaged painting."""
    key = request.path_params["id"]
    await run_in_threadpool(shelf_of(request).rescue, key)
    return as_json({"id": key})


async def box_put_away(request: Request) -> Response:
    """Put a damaged box, finished or in the making, out of sight."""
    key = request.path_params["id"]
    await run_in_threadpool(shelf_of(request).kept_boxes.put_away, key)
    return as_json({"id": key})


async def small_painting(request: Request) -> Response:
    """Return how a painting looked when it was last saved."""
    key = request.path_params["id"]
    return picture(await run_in_threadpool(shelf.small_painting, shelf_of(request), key))


async def small_sample(request: Request) -> Response:
    """Return a small picture of a sample."""
    name = request.path_params["name"]
    return picture(await run_in_threadpool(shelf.small_sample, shelf_of(request), name))


def plain_name(said: str) -> str:
    """Return a photo's name as a file here may be called, whatever the browser called it.

    Only letters, figures, spaces, dots and hyphens of its last part are kept, and an ending
    that a photo may have; what is left with nothing is called photo.jpg.
    """
    last = PurePosixPath(said.replace("\\", "/")).name
    kept = "".join(c if c.isalnum() or c in " .-_" else " " for c in last)
    path = PurePosixPath(" ".join(kept.split()).strip(". "))
    stem = path.stem.strip(". ")[:LONGEST_NAME].strip(". ")
    suffix = path.suffix.lower()
    return f"{stem}{suffix}" if stem and suffix in SUFFIXES else "photo.jpg"


MOST_TUBES = 60


async def new_box(request: Request) -> Response:
    """Make a box and keep it with the painter's others."""
    asked = await json_object(request)
    name, tubes = _text(asked, "name"), asked.get("tubes")
    if not isinstance(tubes, list) or not 1 <= len(tubes) <= MOST_TUBES:
        raise HTTPException(400, f"'tubes' must be a list of 1 to {MOST_TUBES} tubes.")
    listed = [_tube(tube) for tube in tubes]
    key = await run_in_threadpool(shelf_of(request).new_box, name, listed)
    return as_json({"id": key})


def _tube(asked: Any) -> Tube:
    """Return a tube: {pigment, name?, grade?}, or {neighbour, name, pigment?, grade?} of another.

    Raises:
        BoxError: an ambiguous pigment. UnknownTube: no such pigment.
    """
    if not isinstance(asked, dict):
        raise HTTPException(400, "A tube must say its pigment, and may say its name.")
    grade = _text(asked, "grade") if asked.get("grade") not in (None, "") else "artist"
    if asked.get("neighbour") not in (None, ""):
        written = [_text(asked, "pigment")] if asked.get("pigment") not in (None, "") else []
        return tube_beside(_text(asked, "name"), written, _text(asked, "neighbour"), grade)
    named = asked.get("name") not in (None, "")
    return tube_labelled(_text(asked, "pigment"), _text(asked, "name") if named else None, grade)


def _text(asked: dict[str, Any], name: str) -> str:
    value = asked.get(name)
    words = " ".join(value.split()) if isinstance(value, str) else ""
    if not 1 <= len(words) <= LONGEST_NAME:
        raise HTTPException(400, f"'{name}' must be a text of 1 to {LONGEST_NAME} letters.")
    return words


ROUTES = (
    Route("/api/start", start),
    Route("/api/paintings", new_painting, methods=["POST"]),
    Route("/api/paintings/{id}/shelf", tidied, methods=["POST"]),
    Route("/api/paintings/{id}/rescue", rescued, methods=["POST"]),
    Route("/api/paintings/{id}/small.jpg", small_painting),
    Route("/api/samples/{name}.jpg", small_sample),
    Route("/api/boxes", new_box, methods=["POST"]),
    Route("/api/boxes/{id}/put-away", box_put_away, methods=["POST"]),
)
