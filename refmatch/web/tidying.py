"""Tidying the shelf: paintings copied, renamed, put away and deleted, each to be taken back.

PAINTINGS/
  put-away.json     keys of paintings that are kept out of sight
  deleted/NAME/     folders of deleted paintings; nothing here is ever removed by the program

Each of the five is told by the painting's key and answers with the key it then has.
"""

from __future__ import annotations

import contextlib
import json
import secrets
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

from refmatch.disk import TEMPORARY_LETTERS, locked, write_whole
from refmatch.errors import OutputError, PaintingError, UsageError
from refmatch.painting.store import is_painting
from refmatch.web.bench.files import key_of
from refmatch.web.desk import Desk
from refmatch.web.shelf import Shelf, plain

AWAY = "put-away.json"
DELETED = "deleted"


def put_away_keys(shelf: Shelf) -> tuple[str, ...]:
    """Return which paintings are kept out of sight; a damaged list is begun anew."""
    try:
        return tuple(str(key) for key in json.loads((shelf.folder / AWAY).read_bytes()))
    except (OSError, ValueError, TypeError):
        return ()


def copy(shelf: Shelf, key: str, title: str) -> str:
    """Copy a painting, its whole record with it, under a title of its own.

    The copy is made out of sight, and takes its place when all of it is there.
    """
    folder = shelf.folder_of(key)
    new = shelf.free(plain(title))
    half = new.with_name(f".{new.name}.{secrets.token_hex(TEMPORARY_LETTERS // 2)}")
    try:
        with _written(new):
            shutil.copytree(folder, half, ignore=shutil.ignore_patterns(".*"))
        _call(shelf.aside(half), title)
        with _written(new):
            half.rename(new)
    except BaseException:
        shutil.rmtree(half, ignore_errors=True)
        raise
    return key_of(new)


def rename(shelf: Shelf, key: str, title: str) -> str:
    """Call a painting otherwise; a step that its own page can take back.

    Raises:
        UsageError: the title is empty.
    """
    _call(shelf.open(key), title)
    return key


def _call(desk: Desk, title: str) -> None:
    desk.change(desk.sitting().painting.revision, "title", {"title": title})


def put_away(shelf: Shelf, key: str, title: str = "") -> str:
    """Keep a painting out of sight."""
    shelf.folder_of(key)
    with locked(shelf.folder):
        _write_away(shelf, (*put_away_keys(shelf), key))
    return key


def take_out(shelf: Shelf, key: str, title: str = "") -> str:
    """Lay a painting that was put away on the shelf again."""
    with locked(shelf.folder):
        _write_away(shelf, tuple(kept for kept in put_away_keys(shelf) if kept != key))
    return key


def delete(shelf: Shelf, key: str, title: str = "") -> str:
    """Move a painting's folder to the deleted ones; one kept elsewhere is only put away."""
    folder = shelf.folder_of(key)
    shelf.close(key)
    if folder.parent.resolve() != shelf.folder.resolve():
        return put_away(shelf, key)
    target = shelf.folder / DELETED / folder.name
    if target.exists():
        target = shelf.free(folder.name, shelf.folder / DELETED)
    with _written(target):
        _move(folder, target)
    return key


def restore(shelf: Shelf, key: str, title: str = "") -> str:
    """Lay a deleted painting back where it was.

    Raises:
        PaintingError: it is no longer there, or its place is taken.
    """
    if key in put_away_keys(shelf):
        return take_out(shelf, key)
    deleted = shelf.folder / DELETED
    rows = list(deleted.iterdir()) if deleted.is_dir() else []
    for folder in sorted(rows, key=lambda path: path.stat().st_ctime_ns, reverse=True):
        place = shelf.folder / folder.name
        if is_painting(folder) and key_of(place) == key and not place.exists():
            with _written(place):
                _move(folder, place)
            return key
    raise PaintingError("no_such_painting")


WAYS: dict[str, Callable[[Shelf, str, str], str]] = {
    "copy": copy,
    "rename": rename,
    "put_away": put_away,
    "take_out": take_out,
    "delete": delete,
    "restore": restore,
}


def tidy(shelf: Shelf, key: str, do: str, title: str) -> str:
    """Do what the page asks of a painting on the shelf, and return the key it then has.

    Raises:
        UsageError: nothing of that name is done here. PaintingError: there is no such painting.
        OutputError: the shelf cannot be written.
    """
    if do not in WAYS:
        raise UsageError("no_such_tidying", do=do)
    return WAYS[do](shelf, key, title)


def _write_away(shelf: Shelf, keys: tuple[str, ...]) -> None:
    write_whole(shelf.folder / AWAY, json.dumps(list(dict.fromkeys(keys))).encode())


def _move(folder: Path, target: Path) -> None:
    target.parent.mkdir(exist_ok=True)
    folder.rename(target)


@contextlib.contextmanager
def _written(target: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise OutputError("shelf_not_made", folder=str(target)) from error
