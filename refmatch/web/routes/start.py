"""Where a painter begins: paintings on the shelf, samples to try, a photo of their own."""

from __future__ import annotations

from pathlib import PurePosixPath
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.web import shelf
from refmatch.web.answers import MOST_PHOTO_BYTES, photo_file, picture, told
from refmatch.web.routes.asked import shelf_of
from refmatch.web.shelf import built_in_tubes
from refmatch.web.start_shown import start_shown

LONGEST_NAME = 80
SUFFIXES = (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif")
"""What a photo's name may end in; how it is read is decided by its content."""


async def start(request: Request) -> Response:
    """Return all that can be begun with."""
    shelf = shelf_of(request)

    def content() -> dict[str, Any]:
        return start_shown(shelf.paintings(), shelf.samples(), shelf.boxes(), built_in_tubes())

    return told(await run_in_threadpool(content) | {"most_photo_bytes": MOST_PHOTO_BYTES})


async def new_painting(request: Request) -> Response:
    """Begin a painting from a sample, or from the photo in the body."""
    shelf, query = shelf_of(request), request.query_params
    if "sample" in query:
        return told({"id": await run_in_threadpool(shelf.new_from_sample, query["sample"])})
    async with photo_file(request, plain_name(query.get("name", ""))) as path:
        return told({"id": await run_in_threadpool(shelf.new_from_photo, path)})


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


ROUTES = (
    Route("/api/start", start),
    Route("/api/paintings", new_painting, methods=["POST"]),
    Route("/api/paintings/{id}/small.jpg", small_painting),
    Route("/api/samples/{name}.jpg", small_sample),
)
