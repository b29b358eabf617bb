"""The last states of a painting, kept so that a mistake or a bad disk costs little."""

from __future__ import annotations

import contextlib
import functools
import re
from pathlib import Path
from typing import Any

from refmatch.disk import TEMPORARY_LETTERS, make_folder, own_files, write_whole
from refmatch.errors import OutputError, PaintingError
from refmatch.painting.form import from_bytes
from refmatch.painting.model import digest_of
from refmatch.saved import read_json

NAME = "painting.json"
KEPT = 10
FOLDER = "states"
PICTURES = "pictures"
CHECKS = "checks"
PHOTOS = "photos"
STATE = re.compile(r"\d{6,}\.json")
NAMED_BY_CONTENT = re.compile(r"[0-9a-f]{16}(\.\w+)?")
"""Names of states, and of what is called by the first digits of its own digest."""

BOXES = "boxes"
"""The folder of boxes that were learnt, and of the plans that were made from them."""


def all_states(folder: Path) -> list[Path]:
    """Return the kept states, oldest first; a file of any other name is not one."""
    with contextlib.suppress(OSError):
        states = [path for path in (folder / FOLDER).iterdir() if STATE.fullmatch(path.name)]
        return sorted(states, key=lambda path: int(path.stem))
    return []


def keep(folder: Path, data: bytes) -> Path:
    """Write ``data`` as the newest state and return its path.

    Raises:
        OutputError: the folder of states cannot be made, or the disk is full.
    """
    make_inner(folder / FOLDER)
    kept = all_states(folder)
    number = int(kept[-1].stem) + 1 if kept else 1
    path = folder / FOLDER / f"{number:06d}.json"
    write_whole(path, data)
    return path


def last_good(folder: Path) -> Path | None:
    """Return the newest state that can be read whole, or None."""
    for path in reversed(all_states(folder)):
        with contextlib.suppress(OSError, PaintingError):
            from_bytes(path.read_bytes())
            return path
    return None


def sweep(folder: Path, name: str) -> None:
    """Remove what a killed writer left half written; only while the lock is held."""
    whole_names = {"": re.escape(name), FOLDER: STATE.pattern}
    whole_names |= dict.fromkeys((PICTURES, CHECKS, PHOTOS, BOXES), NAMED_BY_CONTENT.pattern)
    for place, whole in whole_names.items():
        half = re.compile(rf"\.({whole})\.[0-9a-f]{{{TEMPORARY_LETTERS}}}")
        for path in own_files(folder / place, half):
            forget(path)


def prune(folder: Path) -> None:
    """Keep the last ten states, and the pictures that any of them names.

    Only what refmatch wrote goes: a state is a painting of this photo, and a picture is called by
    the digest of what it holds. Whatever else lies there is the painter's.
    """
    kept = all_states(folder)
    photo = _photo_of((folder / NAME).read_bytes())
    for path in own_files(folder / FOLDER, STATE):
        if path in kept[:-KEPT] and photo is not None and _photo_of(path.read_bytes()) == photo:
            forget(path)
    named = {name for path in kept[-KEPT:] for name in _pictures_of(path, path.stat().st_mtime_ns)}
    for path in own_files(folder / PICTURES, NAMED_BY_CONTENT):
        if f"{PICTURES}/{path.name}" not in named and digest_of(path).startswith(path.stem):
            forget(path)


def _photo_of(state: bytes) -> object:
    """Return the digest of the photo that a saved painting is of; None where it says none."""
    with contextlib.suppress(ValueError, KeyError, TypeError):
        return read_json(state)["photo"]["sha256"]
    return None


@functools.lru_cache(64)
def _pictures_of(path: Path, mtime_ns: int) -> frozenset[str]:
    """Return the pictures that a state names; a state is written once, so it is read once."""
    with contextlib.suppress(OSError, ValueError, KeyError, TypeError, AttributeError):
        saved: dict[str, Any] = read_json(path.read_bytes())
        return frozenset(mark["file"] for mark in saved["pictures"].values())
    return frozenset()


def forget(path: Path) -> None:
    """Tidy up; a file that will not go harms nothing."""
    with contextlib.suppress(OSError):
        path.unlink()


def make_inner(folder: Path) -> None:
    """Make a folder within a painting's; one that is a link leads out, and is refused.

    Raises:
        OutputError: so it is, or it cannot be made.
    """
    if folder.is_symlink():
        raise OutputError("folder_is_link", folder=str(folder))
    make_folder(folder)
