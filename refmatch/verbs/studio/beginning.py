"""The folder of a new painting."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from refmatch.errors import PaintingError
from refmatch.painting.asked import Asked
from refmatch.painting.reckon import Reckoner
from refmatch.painting.store import create, is_painting
from refmatch.photo.load import load


def begin(folder: Path, photo: Path, title: str, box: str) -> None:
    """Make the folder of a new painting: its photo as shot, no hole yet.

    Raises:
        PhotoError: it is no photo. PaintingError, OutputError: the folder cannot be made.
    """
    if is_painting(folder):
        raise PaintingError("folder_taken", folder=str(folder))
    reckoner, asked = Reckoner(load(photo)), Asked(title, box)
    made = reckoner.reckon(asked, date.today().isoformat())
    create(folder, photo, made, reckoner.pictures(asked))
