"""Rescuing a damaged painting: back to its newest whole state, the damaged file kept beside it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from refmatch.disk import locked, write_whole
from refmatch.errors import PaintingError
from refmatch.painting import history
from refmatch.painting.history import read_history
from refmatch.painting.model import Painting
from refmatch.painting.states import NAME, last_good
from refmatch.painting.store import is_painting, read_painting


@dataclass(frozen=True)
class Rescued:
    """What came of it: the painting, when that state was saved, and the files put beside.

    ``saved_at`` is None where the painting was whole and only its history was not.
    """

    painting: Painting
    saved_at: str | None
    kept_beside: tuple[Path, ...]


def saved_at(state: Path) -> str:
    """Return when a kept state was saved, as an ISO 8601 moment."""
    return datetime.fromtimestamp(state.stat().st_mtime).isoformat("T", "seconds")


def rescue(folder: Path) -> Rescued:
    """Go back to the newest whole state of a painting, and put a damaged history aside.

    Nothing is lost by it: each damaged file is kept beside, under another name.

    Raises:
        PaintingError: there is nothing to rescue, no whole state is left, or a newer refmatch
            saved this painting. OutputError: the folder cannot be written.
    """
    folder = Path(folder)
    good = last_good(folder)
    if not is_painting(folder) and good is None:
        raise PaintingError("no_painting_here", folder=str(folder))
    with locked(folder):
        beside, moment = [], None
        if not _is_whole(folder):
            if good is None:
                raise PaintingError("no_state_left", folder=str(folder))
            if is_painting(folder):
                beside.append(_keep_beside(folder / NAME))
            write_whole(folder / NAME, good.read_bytes())
            moment = saved_at(good)
        aside = set_history_aside(folder)
        if aside is not None:
            beside.append(aside)
        if moment is None and not beside:
            raise PaintingError("nothing_to_rescue", folder=str(folder))
    return Rescued(read_painting(folder), moment, tuple(beside))


def set_history_aside(folder: Path) -> Path | None:
    """Put a damaged history aside, so that another begins; return its new name, None if whole.

    Raises:
        OutputError: the folder cannot be written.
    """
    try:
        read_history(folder)
    except PaintingError:
        with locked(folder):
            path = folder / history.NAME
            aside = _keep_beside(path)
            write_whole(path, b"")
            return aside
    return None


def _is_whole(folder: Path) -> bool:
    try:
        read_painting(folder)
    except PaintingError as error:
        if error.name == "newer_schema":
            raise
        return False
    return True


def _keep_beside(path: Path) -> Path:
    """Copy a damaged file beside itself, under a name that is free."""
    numbers = (f"-{number}" if number > 1 else "" for number in range(1, 10_000))
    names = (path.with_name(f"{path.stem}.damaged{number}{path.suffix}") for number in numbers)
    aside = next(name for name in names if not name.exists())
    write_whole(aside, path.read_bytes())
    return aside
