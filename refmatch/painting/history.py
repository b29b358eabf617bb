"""Every step taken on a painting, so that each can be taken back, after any crash.

``history.jsonl`` in the painting's folder grows by one line a step: its number, the
step it follows, what was done in words, and those parts of what was asked that it
changed. ``painting.json`` alone says at which step the painting stands; undoing moves
it to the step before, redoing to the newest step that follows. Nothing undone is lost.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from refmatch.disk import write_whole
from refmatch.errors import OutputError, PaintingError
from refmatch.painting.asked import Asked
from refmatch.painting.form import asked_from_dict, asked_to_dict

NAME = "history.jsonl"
MOST_STEPS = 2000
"""A longer history is shortened, when it is opened, to the steps that led here."""


@dataclass(frozen=True)
class Step:
    """One step: its number, the one it follows (None for the first), what was done, what it left.

    ``asked`` is all that was asked after it, in its saved form.
    """

    number: int
    after: int | None
    said: str
    asked: Mapping[str, Any]


@dataclass
class History:
    """The steps of one painting's folder, by number."""

    folder: Path
    steps: dict[int, Step] = field(default_factory=dict)

    def record(self, asked: Asked, said: str, after: int | None) -> int:
        """Write a step to the disk and return its number.

        Raises:
            OutputError: it cannot be written.
        """
        step = Step(max(self.steps, default=0) + 1, after, said, asked_to_dict(asked))
        _append(self.folder / NAME, _line(step, self.steps.get(after or 0)))
        self.steps[step.number] = step
        return step.number

    def before(self, number: int) -> Step | None:
        """Return the step that undoing leads to, or None at the first."""
        step = self.steps.get(number)
        return None if step is None or step.after is None else self.steps.get(step.after)

    def next(self, number: int) -> Step | None:
        """Return the step that redoing leads to: the newest that follows, or None."""
        following = [step.number for step in self.steps.values() if step.after == number]
        return self.steps[max(following)] if following else None

    def said(self, number: int) -> str | None:
        """Return what undoing would take back, None at the first step."""
        return self.steps[number].said if self.before(number) else None

    def asked(self, number: int) -> Asked:
        """Return all that was asked after a step."""
        return asked_from_dict(self.steps[number].asked)


def read_history(folder: Path, here: int = 0) -> History:
    """Read the steps of a painting's folder; none where there is no history yet.

    A last line cut short by a crash was never answered for, and is dropped. Where the
    steps have grown too many, those that did not lead to ``here`` and the oldest go.

    Raises:
        PaintingError: a line within is damaged.
    """
    path = Path(folder) / NAME
    history = History(Path(folder))
    with contextlib.suppress(FileNotFoundError):
        data = path.read_bytes()
        whole, _, cut = data.rpartition(b"\n")
        for row, line in enumerate(whole.splitlines()):
            _take(history, line, f"'{path}', line {row + 1}")
        if cut:
            write_whole(path, whole + b"\n" if whole else b"")
    if len(history.steps) > MOST_STEPS:
        _shorten(history, here)
    return history


def _take(history: History, line: bytes, where: str) -> None:
    try:
        row = json.loads(line)
        base = history.steps[row["after"]].asked if row["after"] in history.steps else {}
        step = Step(int(row["step"]), row["after"], str(row["said"]), {**base, **row["set"]})
        asked_from_dict(step.asked)
    except (ValueError, KeyError, TypeError, PaintingError) as error:
        raise PaintingError("history_damaged", where=where) from error
    history.steps[step.number] = step


def _line(step: Step, base: Step | None) -> bytes:
    """Return a step as its line: of what was asked, only what differs from the step before."""
    before = base.asked if base else {}
    changed = {key: value for key, value in step.asked.items() if before.get(key, ...) != value}
    row = {"step": step.number, "after": step.after, "said": step.said, "set": changed}
    return json.dumps(row, ensure_ascii=False, allow_nan=False).encode() + b"\n"


def _append(path: Path, line: bytes) -> None:
    try:
        with path.open("ab") as stream:
            stream.write(line)
            stream.flush()
            os.fsync(stream.fileno())
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        raise OutputError("history_not_written", path=str(path), reason=reason) from error


def _shorten(history: History, here: int) -> None:
    """Keep the newer half of the steps that led here, and begin the file anew with them."""
    road = [here] if here in history.steps else [max(history.steps)]
    while (step := history.before(road[-1])) is not None:
        road.append(step.number)
    kept = [history.steps[number] for number in reversed(road[: MOST_STEPS // 2])]
    kept[0] = Step(kept[0].number, None, kept[0].said, kept[0].asked)
    lines = [_line(step, kept[i - 1] if i else None) for i, step in enumerate(kept)]
    write_whole(history.folder / NAME, b"".join(lines))
    history.steps = {step.number: step for step in kept}
