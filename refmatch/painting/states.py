"""The last states of a painting, kept so that a mistake or a bad disk costs little."""

from __future__ import annotations

import contextlib
import functools
import json
from pathlib import Path
from typing import Any

from refmatch.disk import write_whole
from refmatch.errors import OutputError, PaintingError
from refmatch.painting.form import from_bytes
from refmatch.painting.learnings import BOXES

KEPT = 10
FOLDER = "states"
PICTURES = "pictures"
CHECKS = "checks"


def all_states(folder: Path) -> list[Path]:
    """Return the kept states, oldest first."""
    return sorted((folder / FOLDER).glob("[0-9]*.json"), key=lambda path: int(path.stem))


def keep(folder: Path, data: bytes) -> Path:
    """Write ``data`` as the newest state and return its path.

    Raises:
        OutputError: the folder of states cannot be made, or the disk is full.
    """
    try:
        (folder / FOLDER).mkdir(exist_ok=True)
    except OSError as error:
        raise OutputError("folder_not_made_within", folder=str(folder)) from error
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
    kept = (f"{place}/.*" for place in (PICTURES, CHECKS, BOXES))
    for pattern in (f".{name}.*", f"{FOLDER}/.*.json.*", *kept):
        for path in folder.glob(pattern):
            _forget(path)


def prune(folder: Path) -> None:
    """Keep the last ten states, and the pictures that any of them names."""
    kept = all_states(folder)
    for path in kept[:-KEPT]:
        _forget(path)
    named = {name for path in kept[-KEPT:] for name in _pictures_of(path, path.stat().st_mtime_ns)}
    for path in (folder / PICTURES).glob("*"):
        if f"{PICTURES}/{path.name}" not in named:
            _forget(path)


@functools.lru_cache(64)
def _pictures_of(path: Path, mtime_ns: int) -> frozenset[str]:
    """Return the pictures that a state names; a state is written once, so it is read once."""
    with contextlib.suppress(OSError, ValueError, KeyError, TypeError, AttributeError):
        saved: dict[str, Any] = json.loads(path.read_bytes())
        return frozenset(mark["file"] for mark in saved["pictures"].values())
    return frozenset()


def _forget(path: Path) -> None:
    """Tidy up; a file that will not go harms nothing."""
    with contextlib.suppress(OSError):
        path.unlink()
