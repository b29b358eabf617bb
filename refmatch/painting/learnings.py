"""What a painting's box has learnt from its dabs: every update, with its reasons, and taken back.

Each box is kept whole in the folder, by the name of its own content, and so is the plan that was
made from it: an update is taken back to the last byte, and a box that has learnt can serve another
painting. The box before the first update is what all that is learnt rests on: an update starts
from it with every photo that is taken in, never from what an earlier one made of it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from refmatch.disk import locked, write_whole
from refmatch.errors import OutputError, PaintingError
from refmatch.flag import Flag
from refmatch.painting.saved_file import SavedFile, plain_name

BOXES = "boxes"
"""The folder's folder of boxes, and of the plans that were made from them."""


@dataclass(frozen=True)
class Changed:
    """What was learnt of one tube: see `refmatch.dabs.learn.Change`."""

    tube: str
    strength_percent: float | None
    is_other: bool
    words: str


@dataclass(frozen=True)
class NotTaken:
    """A photo that was left out, by its SHA-256, why ("alone" is held back), and what to say."""

    look: str
    why: str
    flag: Flag


@dataclass(frozen=True)
class Learnt:
    """One update of a painting's box.

    ``base`` is the box before anything was learnt, ``before`` and ``after`` those around this
    update, ``plan`` the painting before it, without its record. ``taken`` are the photos that it
    rests on, by SHA-256; ``changes`` tell how tubes are beside ``base``.
    """

    date: str
    base: SavedFile
    before: SavedFile
    after: SavedFile
    plan: SavedFile
    taken: tuple[str, ...]
    left_out: tuple[NotTaken, ...]
    changes: tuple[Changed, ...]


def standing(box: str, learnings: Sequence[Learnt]) -> Iterator[Learnt]:
    """Yield the updates that a painting's box (its text) rests on, last first; none of a new box.

    ``learnings`` are all there ever were, oldest first.
    """
    now = digest_of_text(box)
    for each in reversed(learnings):
        if each.after.sha256 == now:
            yield each
            now = each.before.sha256


def taken_back(box: str, learnings: Sequence[Learnt]) -> frozenset[str]:
    """Return the photos, by SHA-256, that were learnt from once and are no more."""
    ever = {look for each in learnings for look in each.taken}
    last = next(standing(box, learnings), None)
    return frozenset(ever - set(last.taken if last else ()))


def digest_of_text(text: str) -> str:
    """Return the SHA-256 of a box's text, in hex."""
    return hashlib.sha256(text.encode()).hexdigest()


def keep(folder: Path, text: str, ending: str = ".toml") -> SavedFile:
    """Put a box's text, or a plan's, into the folder, once, and return how the record knows it.

    Raises:
        OutputError: there is no place for it.
    """
    digest = digest_of_text(text)
    name = f"{digest[:16]}{ending}"
    path = Path(folder) / BOXES / name
    try:
        path.parent.mkdir(exist_ok=True)
    except OSError as error:
        raise OutputError("no_folder_in", folder=str(folder)) from error
    with locked(Path(folder)):
        if not (path.is_file() and path.read_bytes() == text.encode()):
            write_whole(path, text.encode())
    return SavedFile(f"{BOXES}/{name}", digest)


def kept(folder: Path, mark: SavedFile) -> str:
    """Return a text as `keep` left it.

    Raises:
        PaintingError: it is gone or has changed, or would lie outside the folder.
    """
    path = Path(folder) / BOXES / plain_name(mark.file.removeprefix(f"{BOXES}/"), Path(folder))
    try:
        text = path.read_bytes().decode()
    except (OSError, UnicodeDecodeError) as error:
        raise PaintingError("kept_box_gone", file=str(path)) from error
    if digest_of_text(text) != mark.sha256:
        raise PaintingError("kept_box_changed", file=str(path))
    return text
