"""Small pictures for the start: how a painting looked when it was last saved, and the samples."""

from __future__ import annotations

import functools
import io
from pathlib import Path

from refmatch.errors import PaintingError
from refmatch.painting.store import read_picture
from refmatch.verbs.studio.shelf import Shelf

SIDE_PX = 640
"""The longer side: sharp in a third of a page on a dense screen."""

QUALITY = 85


def small_painting(shelf: Shelf, key: str) -> bytes:
    """Return a painting's photo in its light, small, as JPEG.

    Raises:
        PaintingError: there is no such painting, or its picture is damaged.
    """
    return _small(read_picture(shelf.folder_of(key), "balanced"))


def small_sample(shelf: Shelf, name: str) -> bytes:
    """Return a photo that comes with refmatch, small, as JPEG.

    Raises:
        PaintingError: there is no such sample.
    """
    path = shelf.samples().get(name)
    if path is None:
        raise PaintingError("no_such_sample")
    return _small_file(path)


@functools.lru_cache(16)
def _small_file(path: Path) -> bytes:
    return _small(path.read_bytes())


def _small(data: bytes) -> bytes:
    from PIL import Image, ImageOps

    stream = io.BytesIO()
    with Image.open(io.BytesIO(data)) as picture:
        profile = picture.info.get("icc_profile")
        picture.draft("RGB", (SIDE_PX, SIDE_PX))
        upright = ImageOps.exif_transpose(picture)
        upright.thumbnail((SIDE_PX, SIDE_PX))
        upright.convert("RGB").save(stream, "JPEG", quality=QUALITY, icc_profile=profile)
    return stream.getvalue()
