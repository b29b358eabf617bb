"""What a painter asks of a painting's box: to learn, to forget again, to learn by itself."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from refmatch.disk import check_folder_of, write_whole
from refmatch.errors import OutputError, UsageError
from refmatch.painting.model import Painting
from refmatch.verbs.learning import Learned, TakenBack, learn_box, switch, take_back


@dataclass(frozen=True)
class LearnAsked:
    """What is asked of a painting's box.

    ``automatic`` switches learning after every look on or off, None leaves it; ``undo`` takes the
    last update back; ``out`` is where to write the box as it then is.
    """

    folder: Path
    undo: bool = False
    automatic: bool | None = None
    out: Path | None = None


@dataclass(frozen=True, eq=False)
class Answered:
    """The painting as it then is, and what was learnt or taken back."""

    painting: Painting
    learned: Learned | None
    taken_back: TakenBack | None


def switch_said(text: str | None) -> bool | None:
    """Read "on" or "off"; None where nothing was said.

    Raises:
        UsageError: it is neither.
    """
    if text is None:
        return None
    if text.strip().lower() not in ("on", "off"):
        raise UsageError(f"--automatic is on or off, not '{text}'.")
    return text.strip().lower() == "on"


def learn_as_asked(asked: LearnAsked) -> Answered:
    """Learn, or take back what was learnt, and write the box where that is asked.

    Switching off learns nothing; switching on learns from what was looked at, if anything was.

    Raises:
        UsageError: undoing and switching at once. RefmatchError: as `learn_box` and `take_back`.
    """
    if asked.undo and asked.automatic is not None:
        raise UsageError("Take back what was learnt first, --undo, and switch --automatic then.")
    if asked.out is not None:
        _check_free(asked.out)
    learned, gone = None, None
    if asked.automatic is not None:
        painting = switch(asked.folder, on=asked.automatic)
    if asked.undo:
        gone = take_back(asked.folder)
        painting = gone.painting
    elif asked.automatic is None or (asked.automatic and painting.rounds):
        learned = learn_box(asked.folder)
        painting = learned.painting
    if asked.out is not None:
        write_learnt_box(painting, asked.out)
    return Answered(painting, learned, gone)


def write_learnt_box(painting: Painting, out: Path) -> None:
    """Write a painting's box, as it now is, for other paintings.

    Raises:
        OutputError: a file of that name is there, or it cannot be written.
    """
    _check_free(out)
    write_whole(out, painting.box.encode("utf-8"))


def _check_free(out: Path) -> None:
    if out.exists():
        raise OutputError(f"'{out}' is already there; choose another name.")
    check_folder_of(out)
