"""What the studio opens with: where paintings are kept, and which one is laid out first."""

from __future__ import annotations

from pathlib import Path

from refmatch.painting.store import is_painting
from refmatch.verbs.studio.shelf import Shelf


def usual_folder() -> Path:
    """Return where paintings are kept when nothing else is said."""
    return Path.home() / "refmatch"


def lay_out(shelf: Shelf, path: Path) -> str:
    """Return the key of the painting in a folder, or of a photo's: the last, else a new one.

    Raises:
        RefmatchError: it is neither a painting nor a photo, or the shelf cannot be written.
    """
    if path.is_dir() or is_painting(path):
        return shelf.open_folder(path)
    return shelf.same_photo(path) or shelf.new_from_photo(path)
