"""Indexes on disk: one folder for each box, whole or not there, safe to delete at any time."""

from __future__ import annotations

import contextlib
import hashlib
import json
import shutil
import tempfile
import time
from dataclasses import fields
from pathlib import Path

import numpy as np

from refmatch.disk import cache_folder
from refmatch.recipe import rank
from refmatch.recipe.entries import Entries
from refmatch.recipe.index.contents import MOST_ROWS, Index, build_index
from refmatch.recipe.index.grid import Grid

VERSION = 2
"""Of the stored form; another version is another folder."""

KEPT_BOXES = 3
"""Indexes kept, those last used; each may take 200 MB of the disk."""

GIVEN_UP_S = 300.0
"""After so long a builder that left its mark must have died."""

ABOUT = "index.json"
BEYOND = "beyond.npy"
PLAIN = ("most_parts", "base_price")


def digest(entries: Entries, tubes: int, total: int) -> str:
    """Return what an index hangs on, as hex: curves, let-downs, limits and prices."""
    palette = entries.palette
    settled = (
        VERSION,
        tubes,
        total,
        MOST_ROWS,
        rank.TUBE_PRICE,
        rank.LET_DOWN_PRICE,
        rank.PART_PRICE,
    )
    told = hashlib.sha256(repr((*settled, palette.surface)).encode())
    for array in (palette.absorption, palette.scattering, entries.net):
        told.update(np.ascontiguousarray(array, dtype=float).tobytes())
    return told.hexdigest()[:32]


def find(entries: Entries, tubes: int, total: int) -> Index | None:
    """Return the stored index of a box, mapped from its files, or None."""
    folder = _folder(entries, tubes, total)
    if folder is None or not (folder / ABOUT).is_file():
        return None
    try:
        about = json.loads((folder / ABOUT).read_text("utf-8"))
        grids = tuple(_read_grid(folder, number, row) for number, row in enumerate(about["grids"]))
        beyond = np.load(folder / BEYOND) if (folder / BEYOND).is_file() else None
        (folder / ABOUT).touch()  # last used now
    except (OSError, EOFError, ValueError, KeyError):  # damaged: it is built again
        with contextlib.suppress(OSError):
            (folder / ABOUT).unlink()
        return None
    limit = about["complete_to"]
    return Index(grids, float("inf") if limit is None else float(limit), beyond)


def build_and_keep(entries: Entries, tubes: int, total: int) -> Index:
    """Build the whole index of a box and store it, unless another process was quicker.

    Where the cache cannot be written the index is returned all the same.
    """
    folder = _folder(entries, tubes, total)
    if folder is None:
        return build_index(entries, tubes, total)
    mark = _mark(folder)
    try:
        with contextlib.suppress(OSError):
            folder.parent.mkdir(parents=True, exist_ok=True)
            mark.touch()
        index = build_index(entries, tubes, total)
        with contextlib.suppress(OSError):
            _write(index, folder)
            _prune(folder.parent)
    finally:
        with contextlib.suppress(OSError):
            mark.unlink()
    return index


def is_wanted(entries: Entries, tubes: int, total: int) -> bool:
    """Say whether an index should be built: not there, not being built, and with a place."""
    folder = _folder(entries, tubes, total)
    if folder is None or (folder / ABOUT).is_file():
        return False
    try:
        return time.time() - _mark(folder).stat().st_mtime > GIVEN_UP_S
    except OSError:
        return True


def _mark(folder: Path) -> Path:
    """Return the file that is there while some process builds the index of ``folder``."""
    return folder.parent / f"{folder.name}.building"


def _folder(entries: Entries, tubes: int, total: int) -> Path | None:
    cache = cache_folder()
    return None if cache is None else cache / "recipes" / digest(entries, tubes, total)


def _write(index: Index, folder: Path) -> None:
    """Fill a folder of another name, then rename it: half an index is never found."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    partial = Path(tempfile.mkdtemp(prefix=".", dir=folder.parent))
    try:
        for number, grid in enumerate(index.grids):
            for name in _array_names():
                np.save(partial / f"{number}-{name}.npy", getattr(grid, name))
        if index.beyond is not None:
            np.save(partial / BEYOND, index.beyond)
        limit = index.complete_to if np.isfinite(index.complete_to) else None
        rows = [{name: getattr(grid, name) for name in PLAIN} for grid in index.grids]
        (partial / ABOUT).write_text(json.dumps({"complete_to": limit, "grids": rows}), "utf-8")
        if not (folder / ABOUT).is_file():
            shutil.rmtree(folder, ignore_errors=True)
        partial.rename(folder)
    except OSError:
        shutil.rmtree(partial, ignore_errors=True)
        if not (folder / ABOUT).is_file():
            raise


def _read_grid(folder: Path, number: int, row: dict[str, float]) -> Grid:
    arrays = {
        name: np.load(folder / f"{number}-{name}.npy", mmap_mode="r") for name in _array_names()
    }
    return Grid(most_parts=int(row["most_parts"]), base_price=float(row["base_price"]), **arrays)


def _array_names() -> list[str]:
    return [field.name for field in fields(Grid) if field.name not in PLAIN]


def _prune(cache: Path) -> None:
    """Forget the indexes that were not used for longest."""
    used = {path.parent: path.stat().st_mtime for path in cache.glob(f"*/{ABOUT}")}
    for folder in sorted(used, key=lambda folder: used[folder])[:-KEPT_BOXES]:
        shutil.rmtree(folder, ignore_errors=True)
