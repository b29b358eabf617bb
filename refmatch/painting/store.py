"""The painting folder on disk: old state or new, whatever happens in between.

    FOLDER/
      the-photo.jpg         the photo, untouched
      painting.json         the painting as it is now
      states/000007.json    the last ten states, newest last
      pictures/*.jpg, .png  drawn from the photo, named by their own content
      photos/*              other photos it is painted from, untouched, named by their own content
      checks/*              photos of dabs, untouched, named by their own content; never removed

``painting.json`` alone decides what the folder says. Everything it names is
written before it, so a crash at any point leaves the old painting or the new one.
"""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType

from refmatch.disk import locked, make_folder, write_whole
from refmatch.errors import OutputError, PaintingError, StaleRevision
from refmatch.flag import flag_of
from refmatch.painting.asked import AskedPhoto
from refmatch.painting.form import from_bytes, to_bytes
from refmatch.painting.model import Painting, SavedFile, digest_of, plain_name
from refmatch.painting.states import (
    CHECKS,
    NAME,
    PHOTOS,
    PICTURES,
    forget,
    keep,
    last_good,
    make_inner,
    prune,
    sweep,
)

PICTURE_SUFFIXES = {b"\xff\xd8\xff": ".jpg", b"\x89PNG": ".png"}
"""A picture's ending, by the first bytes of its file."""


@dataclass(frozen=True)
class OpenPainting:
    """A painting with the photo and the pictures that belong to it, all checked.

    ``others`` are the photos besides its own.
    """

    painting: Painting
    photo: Path
    pictures: Mapping[str, bytes]
    others: tuple[Path, ...] = ()


def is_painting(folder: Path) -> bool:
    """Say whether the folder holds a painting, whole or damaged."""
    try:
        return (Path(folder) / NAME).is_file()
    except OSError:  # a disk that is gone, or a folder that may not be looked into
        return False


def saved_photo(path: Path) -> SavedFile:
    """Return the name and the SHA-256 by which a painting knows its photo.

    Raises:
        PaintingError: the photo cannot be read.
    """
    path = Path(path)
    try:
        return SavedFile(path.name, digest_of(path))
    except OSError as error:
        raise PaintingError("photo_of_painting_unread", path=str(path)) from error


def create(
    folder: Path,
    photo: Path,
    painting: Painting,
    pictures: Mapping[str, bytes],
    others: Mapping[str, Path] = MappingProxyType({}),
) -> Painting:
    """Make a painting folder: a copy of the photo, the pictures, then the painting.

    ``pictures`` are encoded JPEG or PNG by name ("balanced", "values"). Returns
    the painting as saved, its photo and pictures named. The folder is made where
    its parent is there. ``others`` are the photos besides its own, by the file that each is copied
    to within the folder.

    Raises:
        PaintingError: the folder already holds a painting, or the photo is unreadable.
        OutputError: it cannot be written.
    """
    folder, photo = Path(folder), Path(photo)
    make_folder(folder)
    with locked(folder):
        if is_painting(folder):
            raise PaintingError("folder_taken", folder=str(folder))
        mark = saved_photo(photo)
        if not _is_same_file(photo, folder / mark.file):
            write_whole(folder / mark.file, _bytes_of(photo))
        for file, other in others.items():
            make_inner(folder / PHOTOS)
            write_new(folder / file, _bytes_of(other))
        return _save(folder, replace(painting, photo=mark), pictures)


Mark = tuple[int, int, int]


def mark_of(folder: Path) -> Mark:
    """Return what tells this state of the folder from any other, without reading it.

    Raises:
        PaintingError: there is no painting here.
    """
    _check_there(folder)
    try:
        state = (Path(folder) / NAME).stat()
    except OSError as error:
        raise PaintingError("painting_unread", path=str(Path(folder) / NAME)) from error
    return state.st_ino, state.st_mtime_ns, state.st_size


def save(
    folder: Path,
    painting: Painting,
    pictures: Mapping[str, bytes] | None = None,
    over: Mark | None = None,
) -> Painting:
    """Save a new state of a painting; ``pictures`` replaces those of the same name.

    ``over`` is the mark of the only state that may be written over; None for any.

    Raises:
        PaintingError: there is no painting here. OutputError: it cannot be written.
        StaleRevision: another program has saved this painting meanwhile.
    """
    folder = Path(folder)
    _check_there(folder)
    with locked(folder):
        if over is not None and mark_of(folder) != over:
            raise StaleRevision("painting_changed_meanwhile")
        return _save(folder, painting, pictures or {})


def open_folder(folder: Path) -> OpenPainting:
    """Open a painting folder, and check that its photo and pictures are its own.

    Raises:
        PaintingError: no painting, a damaged one (the sentence names the last good
            state), one of a newer refmatch, or a photo that is gone or has changed.

    A photo of dabs may be missing: what was read from it is in the record.
    """
    folder = Path(folder)
    _check_there(folder)
    painting = _read(folder)
    photo = folder / plain_name(painting.photo.file, folder)
    if not photo.is_file():
        raise PaintingError("photo_of_painting_gone", path=str(photo))
    if saved_photo(photo).sha256 != painting.photo.sha256:
        raise PaintingError("photo_of_painting_changed", path=str(photo))
    kept = [*(look.photo for look in painting.looks), *(c.photo for c in painting.canvases)]
    for name in kept:
        _check_name(folder, name)
    others = tuple(other_photo(folder, each) for each in painting.asked.photos)
    return OpenPainting(painting, photo, read_pictures(folder, painting), others)


def other_photo(folder: Path, photo: AskedPhoto) -> Path:
    """Return where another photo of a painting is, checked.

    Raises:
        PaintingError: it is gone or has changed, or would lie outside the folder.
    """
    path = folder / PHOTOS / plain_name(photo.file.removeprefix(f"{PHOTOS}/"), folder)
    if not path.is_file():
        raise PaintingError("photo_of_painting_gone", path=str(path))
    if saved_photo(path).sha256 != photo.sha256:
        raise PaintingError("photo_of_painting_changed", path=str(path))
    return path


def file_of_photo(path: Path, sha256: str) -> str:
    """Return how a painting's folder calls the copy of another photo: by its own content."""
    ending = path.suffix.lower()
    return f"{PHOTOS}/{sha256[:16]}{ending if ending[1:].isalnum() else ''}"


def keep_photo(folder: Path, photo: Path, file: str) -> None:
    """Copy another photo into the folder, untouched, before a state names it.

    Raises:
        PaintingError: it cannot be read. OutputError: no place for it.
    """
    data = _bytes_of(photo)
    with locked(folder):
        make_inner(folder / PHOTOS)
        write_new(folder / file, data)


def read_painting(folder: Path) -> Painting:
    """Read a painting alone, with no look at its photo: quick, for a list of many.

    Raises:
        PaintingError: no painting, a damaged one, or one of a newer refmatch.
    """
    folder = Path(folder)
    _check_there(folder)
    return _read(folder)


def read_pictures(folder: Path, painting: Painting) -> dict[str, bytes]:
    """Read the pictures that a painting names.

    Raises:
        PaintingError: one of them is gone or damaged.
    """
    named = (painting.pictures or {}).items()
    return {name: _picture(Path(folder), mark) for name, mark in named}


def read_picture(folder: Path, name: str) -> bytes:
    """Read one of a painting's pictures, with no look at its photo.

    Raises:
        PaintingError: no painting, a damaged one, or no whole picture of that name.
    """
    folder = Path(folder)
    mark = (read_painting(folder).pictures or {}).get(name)
    if mark is None:
        raise PaintingError("no_such_picture", picture=name)
    return _picture(folder, mark)


def keep_check(folder: Path, photo: Path) -> SavedFile:
    """Copy a photo of dabs into the folder, untouched, and return how the record knows it.

    A photo that is there already is not copied twice. It belongs to the painting only once a
    saved state names it, and is never removed.

    Raises:
        PaintingError: no painting here, or the photo cannot be read. OutputError: no place for it.
    """
    folder, photo = Path(folder), Path(photo)
    _check_there(folder)
    data = _bytes_of(photo)
    digest, ending = hashlib.sha256(data).hexdigest(), photo.suffix.lower()
    name = f"{digest[:16]}{ending if ending[1:].isalnum() else ''}"
    with locked(folder):
        make_inner(folder / CHECKS)
        write_new(folder / CHECKS / name, data)
    return SavedFile(f"{CHECKS}/{name}", digest)


def check_photo(folder: Path, mark: SavedFile) -> Path:
    """Return where a photo of dabs is, as `keep_check` left it.

    Raises:
        PaintingError: it is gone or has changed, or would lie outside the folder.
    """
    path = Path(folder) / CHECKS / _check_name(Path(folder), mark)
    if not path.is_file():
        raise PaintingError("photo_of_dabs_gone", path=str(path))
    if digest_of(path) != mark.sha256:
        raise PaintingError("photo_of_dabs_changed", path=str(path))
    return path


def _save(folder: Path, painting: Painting, pictures: Mapping[str, bytes]) -> Painting:
    with contextlib.suppress(OSError):
        sweep(folder, NAME)
    marks = {name: _write_picture(folder, data) for name, data in pictures.items()}
    painting = replace(painting, pictures={**(painting.pictures or {}), **marks})
    data = to_bytes(painting)
    state = keep(folder, data)
    try:
        write_whole(folder / NAME, data)
    except OutputError:
        forget(state)  # or what was refused could be taken for the newest whole state
        raise
    with contextlib.suppress(OSError):  # it is saved: what cannot be tidied harms nothing
        prune(folder)
    return painting


def _write_picture(folder: Path, data: bytes) -> SavedFile:
    suffix = next((end for start, end in PICTURE_SUFFIXES.items() if data.startswith(start)), None)
    if suffix is None:
        raise PaintingError("picture_neither_jpeg_nor_png")
    digest = hashlib.sha256(data).hexdigest()
    path = folder / PICTURES / f"{digest[:16]}{suffix}"
    make_inner(path.parent)
    write_new(path, data)
    return SavedFile(f"{PICTURES}/{path.name}", digest)


def write_new(path: Path, data: bytes) -> None:
    """Write a file that is called by its content, where it is not there already.

    Raises:
        OutputError: it cannot be written.
    """
    with contextlib.suppress(OSError):
        if not path.is_symlink() and path.read_bytes() == data:
            return
    write_whole(path, data)


def _check_name(folder: Path, mark: SavedFile) -> str:
    return plain_name(mark.file.removeprefix(f"{CHECKS}/"), folder)


def _read(folder: Path) -> Painting:
    try:
        return from_bytes((folder / NAME).read_bytes())
    except OSError as error:
        raise PaintingError("painting_unread", path=str(folder / NAME)) from error
    except PaintingError as error:
        if error.name == "newer_schema":
            raise
        good = last_good(folder)
        raise PaintingError(
            "painting_damaged",
            why=flag_of(error),
            path=str(folder / NAME),
            good=None if good is None else str(good),
        ) from error


def _picture(folder: Path, mark: SavedFile) -> bytes:
    name = plain_name(mark.file.removeprefix(f"{PICTURES}/"), folder)
    path = folder / PICTURES / name
    try:
        data = path.read_bytes()
    except OSError as error:
        raise PaintingError("picture_gone", path=str(path)) from error
    if hashlib.sha256(data).hexdigest() != mark.sha256:
        raise PaintingError("picture_damaged", path=str(path))
    return data


def _bytes_of(photo: Path) -> bytes:
    try:
        return photo.read_bytes()
    except OSError as error:
        raise PaintingError("photo_of_painting_unread", path=str(photo)) from error


def _is_same_file(photo: Path, copy: Path) -> bool:
    return copy.exists() and photo.samefile(copy)


def _check_there(folder: Path) -> None:
    if not is_painting(folder):
        raise PaintingError("no_painting_here", folder=str(folder))
