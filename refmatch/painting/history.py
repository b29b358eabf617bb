"""Every step taken on a painting, so that each can be taken back, after any crash.

``history.jsonl`` in the painting's folder grows by one line a step: its number, the
step it follows, what was done in words, and those parts of what was asked that it
changed. ``painting.json`` alone says at which step the painting stands; undoing moves
it to the step before, redoing to the newest step that follows. Nothing undone is lost.
"""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from refmatch.disk import append_line, cut_back, locked, write_whole
from refmatch.errors import OutputError, PaintingError, StaleRevision
from refmatch.painting.asked import Asked
from refmatch.painting.form import ADDED_TO_ASKED, UNREADABLE, asked_from_dict, asked_to_dict
from refmatch.painting.states import NAME as PAINTING
from refmatch.painting.states import all_states
from refmatch.painting.store import read_painting
from refmatch.saved import read_json

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
    """The steps of one painting's folder, by number.

    ``is_mended`` says that a line was cut short when it was written, by a full disk or a crash,
    and left out: its step was never answered for. ``refused`` is a step that was written whole, and
    not taken back by a disk that failed before the state it led to was saved: nothing leads to it.
    """

    folder: Path
    steps: dict[int, Step] = field(default_factory=dict)
    is_mended: bool = False
    refused: int | None = None
    _size: int = 0
    _begun: Step | None = None

    def begin(self, asked: Asked, said: str) -> int:
        """Stand at a new step, of which the disk hears only with the next that is recorded.

        So a painting may be opened, looked at and printed where nothing can be written.
        """
        after = max(self.steps, default=None)
        self._begun = Step((after or 0) + 1, after, said, asked_to_dict(asked))
        self.steps[self._begun.number] = self._begun
        return self._begun.number

    def record(self, asked: Asked, said: str, after: int | None) -> int:
        """Write a step to the disk and return its number.

        Raises:
            OutputError: it cannot be written. StaleRevision: another program has written one.
        """
        with self.recorded(asked, said, after) as number:
            return number

    @contextlib.contextmanager
    def recorded(self, asked: Asked, said: str, after: int | None) -> Iterator[int]:
        """Write a step to the disk; take it back where what is done with it does not succeed.

        The folder is locked meanwhile, so that the step and the state it leads to are saved as one.

        Raises:
            OutputError: it cannot be written. StaleRevision: another program has written one.
        """
        path = self.folder / NAME
        with locked(self.folder):
            if _size(path) != self._size:
                raise StaleRevision("painting_changed_meanwhile")
            step = Step(max(self.steps, default=0) + 1, after, said, asked_to_dict(asked))
            begun = self._begun
            lines = [] if begun is None else [_line(begun, self.steps.get(begun.after or 0))]
            lines.append(_line(step, self.steps.get(after or 0)))
            before = append_line(path, b"".join(lines))
            try:
                yield step.number
            except Exception:  # not an interrupt: the state it leads to may be saved by then
                cut_back(path, before)
                self._size = before  # else it is behind, and is read again
                raise
            self.steps[step.number] = step
            self._begun, self._size = None, _size(path)

    @classmethod
    def anew(cls, folder: Path) -> History:
        """Return a history without any step, whatever the file holds."""
        return cls(folder, _size=_size(folder / NAME))

    @property
    def is_behind(self) -> bool:
        """Whether another program has written a step since these were read."""
        return _size(self.folder / NAME) != self._size

    def before(self, number: int) -> Step | None:
        """Return the step that undoing leads to, or None at the first."""
        step = self.steps.get(number)
        return None if step is None or step.after is None else self.steps.get(step.after)

    def next(self, number: int) -> Step | None:
        """Return the step that redoing leads to: the newest that follows, or None."""
        following = [
            step.number
            for step in self.steps.values()
            if step.after == number and step.number != self.refused
        ]
        return self.steps[max(following)] if following else None

    def said(self, number: int) -> str | None:
        """Return what undoing would take back, None at the first step."""
        return self.steps[number].said if self.before(number) else None

    def asked(self, number: int) -> Asked:
        """Return all that was asked after a step."""
        return asked_from_dict(self.steps[number].asked)


def read_history(folder: Path, here: int = 0) -> History:
    """Read the steps of a painting's folder; none where there is no history yet.

    A line cut short was never answered for: it is left out, and the file mended where it can be
    written. Where the steps have grown too many, those that did not lead to ``here`` and the
    oldest go.

    Raises:
        PaintingError: the file cannot be read, or a line within is damaged.
    """
    history = _read(Path(folder))
    if history.is_mended or len(history.steps) > MOST_STEPS:
        with contextlib.suppress(OutputError), locked(history.folder):
            is_mended, history = history.is_mended, _read(history.folder)
            road = history.steps
            if len(road) > MOST_STEPS:
                with contextlib.suppress(PaintingError):  # another program may have gone on
                    here = read_painting(history.folder).step
                road = _shortened(history, here)
            if history.is_mended or road is not history.steps:
                lines = [_line(step, road.get(step.after or 0)) for step in road.values()]
                write_whole(history.folder / NAME, b"".join(lines))
                history.steps, history._size = road, _size(history.folder / NAME)
            history.is_mended = is_mended
    history.refused = _refused(history, here)
    return history


def _refused(history: History, here: int) -> int | None:
    """Return the newest step where no state was ever saved after it: a disk failed in between.

    It was written later than the painting itself, follows where the painting stands, and no kept
    state stands at it; one that was undone has one.
    """
    newest = max(history.steps, default=None)
    if newest is None or history.steps[newest].after != here:
        return None
    try:
        written = (history.folder / NAME).stat().st_mtime_ns
        if written <= (history.folder / PAINTING).stat().st_mtime_ns:
            return None
    except OSError:
        return None
    return None if newest in _steps_of_states(history.folder) else newest


def _steps_of_states(folder: Path) -> set[object]:
    steps = set[object]()
    for path in all_states(folder):
        with contextlib.suppress(OSError, ValueError, TypeError, AttributeError):
            steps.add(read_json(path.read_bytes()).get("step"))
    return steps


def _read(folder: Path) -> History:
    path, history = folder / NAME, History(folder)
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        return history
    except OSError as error:
        raise PaintingError("painting_unread", path=str(path)) from error
    lines, _, cut = data.rpartition(b"\n")
    history._size, history.is_mended = len(data), bool(cut)
    for row, line in enumerate(lines.splitlines()):
        _take(history, line, f"'{path}', line {row + 1}")
    return history


def _take(history: History, line: bytes, where: str) -> None:
    try:
        row = _row(history, line)
        base = history.steps[row["after"]].asked if row["after"] in history.steps else {}
        step = Step(int(row["step"]), row["after"], str(row["said"]), {**base, **row["set"]})
        asked_from_dict(step.asked)
    except UNREADABLE as error:
        raise PaintingError("history_damaged", where=where) from error
    history.steps[step.number] = step


def _row(history: History, line: bytes) -> dict[str, Any]:
    """Read a line; of one that is glued to the rest of a line cut short, what is whole.

    Older versions wrote on behind a line that a full disk had cut.
    """
    try:
        row: dict[str, Any] = read_json(line)
    except ValueError:
        place = line.rfind(_BEGIN)
        if place <= 0 or not line.startswith(_BEGIN):
            raise
        row, history.is_mended = read_json(line[place:]), True
    return row


_BEGIN = b'{"step": '


def _line(step: Step, base: Step | None) -> bytes:
    """Return a step as its line: of what was asked, only what differs from the step before."""
    before = base.asked if base else {}
    changed = {key: value for key, value in step.asked.items() if before.get(key, ...) != value}
    changed |= {  # what goes back to saying nothing is left out of its form
        key: value
        for key, value in ADDED_TO_ASKED.items()
        if key in before and key not in step.asked
    }
    row = {"step": step.number, "after": step.after, "said": step.said, "set": changed}
    return json.dumps(row, ensure_ascii=False, allow_nan=False).encode() + b"\n"


def _size(path: Path) -> int:
    try:
        return path.stat().st_size
    except OSError:
        return 0


def _shortened(history: History, here: int) -> dict[int, Step]:
    """Return the newer half of the steps that led here; the first of them follows none."""
    road = [here] if here in history.steps else [max(history.steps)]
    while (step := history.before(road[-1])) is not None:
        road.append(step.number)
    kept = [history.steps[number] for number in reversed(road[: MOST_STEPS // 2])]
    kept[0] = replace(kept[0], after=None)
    return {step.number: step for step in kept}
