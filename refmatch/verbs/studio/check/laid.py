"""The photo of dabs that lies on the table: outside the painting until a dab in it is judged."""

from __future__ import annotations

import shutil
import tempfile
import weakref
from dataclasses import dataclass
from pathlib import Path

from refmatch.painting.store import saved_photo
from refmatch.photo.light import as_shot
from refmatch.photo.load import load
from refmatch.photo.overview import seen_at
from refmatch.photo.photo import Photo
from refmatch.photo.wide_picture import as_wide_jpeg, to_p3

LONGEST_SIDE_PX = 1600
KEY_LETTERS = 16
"""So many letters of the SHA-256 name a photo; the record's files are named so, too."""


@dataclass(frozen=True, eq=False)
class Laid:
    """A photo in a folder of its own, gone when it is put away or the studio ends."""

    path: Path
    key: str
    width_px: int
    height_px: int
    picture: bytes

    def put_away(self) -> None:
        """Remove the photo."""
        shutil.rmtree(self.path.parent, ignore_errors=True)


def lay(path: Path) -> Laid:
    """Copy a photo onto the table.

    Raises:
        PhotoError: it is no photo.
    """
    photo = load(path)
    copy = Path(tempfile.mkdtemp(prefix="refmatch-")) / path.name
    shutil.copyfile(path, copy)
    laid = Laid(
        path=copy,
        key=key_of(saved_photo(copy).sha256),
        width_px=photo.width_px,
        height_px=photo.height_px,
        picture=picture_of(photo),
    )
    weakref.finalize(laid, shutil.rmtree, copy.parent, ignore_errors=True)
    return laid


def picture_of(photo: Photo) -> bytes:
    """Return a photo as shot, as the page shows it, JPEG."""
    xyz = seen_at(photo, LONGEST_SIDE_PX).xyz
    return as_wide_jpeg(to_p3(xyz @ as_shot().matrix.T.astype(xyz.dtype)))


def key_of(sha256: str) -> str:
    """Return by which word the page knows a photo."""
    return sha256[:KEY_LETTERS]
