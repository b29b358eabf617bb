"""How a painting knows a file of its folder."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from refmatch.errors import PaintingError


@dataclass(frozen=True)
class SavedFile:
    """A file of the folder, by its name from the folder, and the SHA-256 of its bytes (hex)."""

    file: str
    sha256: str


def digest_of(path: Path) -> str:
    """Return the SHA-256 of a file's bytes, in hex.

    Raises:
        OSError: it cannot be read.
    """
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def plain_name(name: str, folder: Path) -> str:
    """Return a name that stays in its folder; refuse any other, as a passed-on painting may hold.

    Raises:
        PaintingError: it would lead out of the folder.
    """
    if name in ("", ".", "..") or "/" in name or "\\" in name:
        raise PaintingError("file_outside_folder", folder=str(folder), file=name)
    return name
