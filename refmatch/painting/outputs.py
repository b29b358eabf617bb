"""What may be written over without being asked: a print, a picture, a text; never what is unique.

A card's layout tells where the dabs of a printed card lie, a box what its tubes are known to be,
and a painting's files what was asked and done: none of them can be made again.
"""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from refmatch.errors import OutputError, PaintingError
from refmatch.painting.states import BOXES, CHECKS, FOLDER, PHOTOS, PICTURES
from refmatch.painting.store import is_painting, read_painting
from refmatch.saved import read_json

OWN = ("painting.json", "history.jsonl", "dab-card.json", ".lock")
"""Files of a painting's folder, beside its photo; and all that lies in the folders within it."""

PHOTO_SUFFIXES = (".jpg", ".jpeg", ".tif", ".tiff", ".webp", ".heic", ".heif", ".avif", ".dng")
"""Endings of photos; that of the pictures which are drawn here, .png, is none of them."""

WITHIN = (FOLDER, PICTURES, CHECKS, PHOTOS, BOXES)


def check_replaceable(out: Path, *, replace: bool = False, data: bytes | None = None) -> None:
    """Refuse to write over what cannot be made again, unless it is asked for.

    Args:
        out: where something is to be written.
        replace: the painter wants whatever is there to go.
        data: what is to be written, where that is known: the same again harms nothing.

    Raises:
        OutputError: a card's layout, a box, a painting's own file, a photo, or a JSON file of
            another kind is there.
    """
    if replace or not os.path.lexists(out):
        return
    with contextlib.suppress(OSError):
        if data is not None and out.read_bytes() == data:
            return
    kind = _kind(out)
    if kind is not None:
        raise OutputError("kept_there", path=str(out), kind=kind)


def _kind(out: Path) -> str | None:
    """Return what must stay: "painting", "box", "card", "json" or "photo"; else None."""
    if _is_of_painting(out):
        return "painting"
    if out.suffix.lower() in PHOTO_SUFFIXES:
        return "photo"
    if out.suffix.lower() == ".toml":
        return "box"
    if out.suffix.lower() != ".json":
        return "box" if _begins_as_box(out) else None
    with contextlib.suppress(OSError, ValueError):
        found = read_json(out.read_bytes())
        if isinstance(found, dict) and "refmatch_version" in found:
            return None
        if isinstance(found, dict) and str(found.get("format", "")).startswith("refmatch"):
            return "card"
    return "json"


def _begins_as_box(out: Path) -> bool:
    with contextlib.suppress(OSError), out.open("rb") as stream:
        return b"refmatch-box" in stream.read(200)
    return False


def _is_of_painting(out: Path) -> bool:
    folder = Path(os.path.realpath(out.parent))
    if folder.name in WITHIN and is_painting(folder.parent):
        return True
    if not is_painting(folder):
        return False
    if out.name in OWN:
        return True
    try:
        return out.name == read_painting(folder).photo.file
    except PaintingError:
        return out.suffix.lower() not in (".pdf", ".txt")
