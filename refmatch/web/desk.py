"""A desk: one painting open on it, changed step by step, every step safe on the disk."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

from refmatch.disk import locked
from refmatch.errors import OutputError, PaintingError, StaleRevision, UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.painting.asked import Asked, AskedPhoto, AskedPlan
from refmatch.painting.history import History, read_history
from refmatch.painting.model import Painting, TubeOnTable
from refmatch.painting.reckon import GUESSES, Reckoner
from refmatch.painting.record import relabelled, with_record_of
from refmatch.painting.rescue import set_history_aside
from refmatch.painting.store import (
    Mark,
    file_of_photo,
    is_painting,
    keep_photo,
    mark_of,
    open_folder,
    other_photo,
    read_pictures,
    save,
)
from refmatch.photo.hole import Sample
from refmatch.photo.light.balance import Balance
from refmatch.photo.load import load
from refmatch.photo.photo import Photo
from refmatch.recipe.model import Answer
from refmatch.recipe.outline import Outline
from refmatch.target import Target
from refmatch.web.changes import CHANGES, Table, tenth
from refmatch.web.fields import Fields
from refmatch.web.photos import Photos
from refmatch.web.pictures import Pictures
from refmatch.web.several import (
    as_own,
    changed_in,
    free_name,
    reckoner_of,
    shown_name,
    with_own_holes,
)
from refmatch.web.sitting import Sitting

MENDED, SET_ASIDE = Flag("history_mended"), Flag("history_set_aside")
"""What may be found on opening: a step cut short on the disk; a history that cannot be read."""

UNRECORDED = Flag("sheet_not_recorded")

Listener = Callable[[int, str], None]
"""Told the new revision, and which window made it."""


class Desk:
    """One painting's folder, open. Safe to ask from several threads."""

    def __init__(
        self, key: str, folder: Path, box_text: Callable[[str], str], photos: Photos | None = None
    ) -> None:
        """Open the folder; its photo is one of ``photos``, shared with other paintings of it.

        Raises:
            PaintingError, PhotoError: it cannot be opened, or its photo cannot be read.
        """
        self.key, self.folder = key, Path(folder)
        self._found: Flag | None = None
        self._is_unrecorded = False  # a sheet was handed out, and the folder could not be written
        self.changed_by = ""  # the window that made the last revision, where one did
        self._box_text, self._photos = box_text, photos or Photos()
        self._lock = threading.RLock()
        self._listeners: list[Listener] = []
        self._others: dict[str, tuple[Reckoner, Pictures]] = {}
        self._painting: Painting
        self._mark: Mark
        self.reckoner: Reckoner
        self._open(None)

    def sitting(self, shown: str = "") -> Sitting:
        """Return the painting as it stands, as last saved by anyone.

        ``shown`` names the photo that is looked at, "" the painting's own.
        """
        with self._lock:
            self._look_again()
            return self._sitting(shown)

    def change(
        self, revision: int, do: str, fields: Mapping[str, Any], window: str = ""
    ) -> tuple[Sitting, str | None]:
        """Make one change, save it, and return the painting and the key of a new hole.

        Raises:
            StaleRevision: the painting has changed since ``revision``; nothing is done.
            UsageError: no such change, or a field is missing or wrong.
            RefmatchError: what is asked cannot be done; nothing is changed.
        """
        if do not in CHANGES:
            raise UsageError("no_such_change", change=do)
        with self._lock:
            self._check(revision)
            asked = self._painting.asked
            table, said = Table(self.reckoner, self._box_text), Fields(fields)
            changed = changed_in(CHANGES[do], asked, said, table)
            shown = said.text("photo") if "photo" in said else ""
            if changed.asked != asked:
                made = self._made(changed.asked)
                self._check(revision)  # again, since that may have taken a while
                pictures, here = self._drawn(made), self._painting.step
                with self._history.recorded(changed.asked, changed.said, here) as step:
                    self._save(made, step, pictures, window)
            return self._sitting(shown), changed.made

    def add_photo(self, path: Path, window: str = "") -> Sitting:
        """Add another photo to paint from, and show it; it is kept in the folder, untouched.

        Raises:
            PhotoError: it is no photo. OutputError: the folder cannot be written.
        """
        photo = load(path)
        file = file_of_photo(path, photo.sha256)
        keep_photo(self.folder, path, file)
        with self._lock:
            self._look_again()
            asked = self._painting.asked
            self.reckoner.others.setdefault(photo.sha256, Reckoner(photo))
            name = free_name(path, asked)
            wanted = replace(asked, photos=(*asked.photos, AskedPhoto(name, file, photo.sha256)))
            made = self.reckoner.reckon(wanted, self._painting.date)
            pictures, here = self._drawn(made), self._painting.step
            with self._history.recorded(wanted, f"add the photo {name}", here) as step:
                self._save(made, step, pictures, window)
            return self._sitting(name)

    def pictures_of(self, name: str) -> Pictures:
        """Return the pictures of the photo of a name, "" of the painting's own."""
        with self._lock:
            name = shown_name(self.asked, name)
            reader = reckoner_of(self.reckoner, self.asked, name)
            if not name:
                return self.pictures
            if name not in self._others or self._others[name][0] is not reader:
                kept = Pictures(reader, lambda: with_own_holes(self._painting.asked, name))
                self._others[name] = reader, kept
            return self._others[name][1]

    def undo(self, revision: int, window: str = "") -> Sitting:
        """Go back to what was asked a step before.

        Raises:
            StaleRevision; UsageError: there is nothing to undo.
        """
        return self._go(revision, window, "undo")

    def redo(self, revision: int, window: str = "") -> Sitting:
        """Go on again to the step that was last undone.

        Raises:
            StaleRevision; UsageError: there is nothing to redo.
        """
        return self._go(revision, window, "redo")

    def reading(
        self,
        x_px: float,
        y_px: float,
        diameter_px: float,
        with_recipe: bool = False,
        shown: str = "",
    ) -> tuple[Sample, Answer | None]:
        """Return the colour at a place of a photo's frame, and where wanted the recipes for it.

        Raises:
            HoleError: the place lies outside the photo.
        """
        painting, reckoner = self._painting, self.reckoner
        asked, name = painting.asked, shown_name(painting.asked, shown)
        reader, seen = reckoner_of(reckoner, asked, name), as_own(asked, name)
        view = reader.view(seen.frame)
        place = (tenth(x_px) + view.left_px, tenth(y_px) + view.top_px, tenth(diameter_px))
        sample = reader.sample(seen.frame, seen.light, place)
        target = Target("", sample.lab, flags=sample.flags)
        if painting.plan is not None:
            palette = painting.plan.advice.chosen.tubes
            rest = (tube.name for tube in self._box().tubes if tube.name not in palette)
            asked = replace(asked, away=tuple(dict.fromkeys((*asked.away, *rest))))
        if not with_recipe:
            return sample, None
        with self._photos.in_turn:
            return sample, reckoner.answers(asked, [None], [target])[0]

    def guesses(self, shown: str = "") -> dict[str, Balance | None]:
        """Return the light as each automatic estimate has it, None where it can tell nothing."""
        reader, _ = self.of_photo(shown)
        return {method: reader.guess(method) for method in GUESSES}

    def of_photo(self, shown: str) -> tuple[Reckoner, Asked]:
        """Return who reads a photo, and what is asked as if that were the painting's own."""
        asked, name = self.asked, shown_name(self.asked, shown)
        return reckoner_of(self.reckoner, asked, name), as_own(asked, name)

    def reach(self) -> Outline:
        """Return the outline of what the tubes on the table can mix.

        Raises:
            BoxError: too few tubes are on the table.
        """
        with self._photos.in_turn:
            return self.reckoner.reach(self._painting.asked)

    def listen(self, listener: Listener) -> Callable[[], None]:
        """Call ``listener`` after each change, from any thread; returns how to stop that."""
        self._listeners.append(listener)

        def stop() -> None:
            if listener in self._listeners:
                self._listeners.remove(listener)

        return stop

    @property
    def is_watched(self) -> bool:
        """Whether anybody listens."""
        return bool(self._listeners)

    def note_sheet(self, file: str, paper: str) -> None:
        """Put a sheet that was handed out into the painting's record.

        It is no step and no new revision: the page shows nothing else for it. Where the record
        cannot be written, every window is told.

        Raises:
            OutputError: so it is.
        """
        with self._lock:
            try:
                self._note(file, paper)
                self._is_unrecorded = False
            except OutputError:
                if not self._is_unrecorded:
                    newer = self._painting.revision + 1
                    self._painting, self._is_unrecorded = (
                        replace(self._painting, revision=newer),
                        True,
                    )
                    self._tell("")
                raise

    def _note(self, file: str, paper: str) -> None:
        with locked(self.folder):
            self._look_again()
            row = {"file": file, "paper": paper, "date": date.today().isoformat()}
            if row not in self._painting.sheets:
                painting = replace(self._painting, sheets=(*self._painting.sheets, row))
                self._painting = save(self.folder, painting, {}, over=self._mark)
                self._mark = mark_of(self.folder)

    def take_on(self, window: str = "") -> None:
        """Take on what was put into the painting's record past the desk, and tell every window."""
        with self._lock:
            self._look_again()
            self._tell(window)

    @property
    def asked(self) -> Asked:
        """What is asked for now."""
        return self._painting.asked

    @property
    def box(self) -> Box:
        """The painting's whole box, as its paint is looked at."""
        return self._box()

    @property
    def table(self) -> tuple[TubeOnTable, ...]:
        """The tubes as they lie on the painter's table."""
        return self._painting.table

    def planned(self, plan: AskedPlan) -> Painting:
        """Return the painting as it would be by a plan; nothing is changed.

        Raises:
            UsageError: no hole, or not so many tubes. BoxError: no white, or no colour.
        """
        painting = self.sitting().painting
        if painting.asked.plan == plan:
            return painting
        made = self._made(replace(painting.asked, plan=plan))
        return self._with_record(made, painting)

    def to_print(self) -> tuple[Painting, dict[str, bytes]]:
        """Return the painting as it stands with its pictures, both of one moment."""
        with self._lock:
            self._look_again()
            return self._painting, read_pictures(self.folder, self._painting)

    def _open(self, known: Photo | None) -> None:
        """Read the folder; its photo only where it is not the one that is known.

        A painting thrown away may have made place for another of the same name.
        """
        mark = mark_of(self.folder)
        opened = open_folder(self.folder)
        others = {photo.sha256 for photo in opened.painting.asked.photos}
        is_known = known is not None and known.sha256 == opened.painting.photo.sha256
        if not is_known or not others <= self.reckoner.others.keys():
            self.reckoner = self._photos.reckoner(opened.photo, opened.painting.photo.sha256)
            found = (load(path) for path in opened.others)
            self.reckoner.others.update((photo.sha256, Reckoner(photo)) for photo in found)
            self.pictures = Pictures(
                self.reckoner, lambda: with_own_holes(self._painting.asked, "")
            )
        self._painting, self._mark = opened.painting, mark
        self._take_on()

    def _take_on(self) -> None:
        """Read the history, and go on from where the folder stands.

        A command begins no history, and an older one left no step.
        """
        try:
            self._history: History = read_history(self.folder, self._painting.step)
        except PaintingError:  # undoing is not worth the whole painting
            self._found = SET_ASIDE
            with contextlib.suppress(OutputError):
                set_history_aside(self.folder)
            self._history = History.anew(self.folder)
        if self._history.is_mended:
            self._found = MENDED
        if self._painting.step not in self._history.steps:
            self._begin(self._painting.asked, "open the folder")
        self.reckoner.remember(self._painting)

    def _begin(self, asked: Asked, said: str) -> None:
        """Stand at the newest step where it left just this, else take a step to it."""
        step = max(self._history.steps, default=None)
        if step is None or self._history.asked(step) != asked:
            step = self._history.begin(asked, said)
        self._painting = replace(self._painting, step=step)

    def _look_again(self) -> None:
        """Take on what another program has saved meanwhile."""
        if not is_painting(self.folder):
            raise PaintingError("folder_moved_away")
        if mark_of(self.folder) != self._mark or self._history.is_behind:
            revision = self._painting.revision
            self._open(self.reckoner.whole)
            newer = max(revision + 1, self._painting.revision)
            self._painting, self.changed_by = replace(self._painting, revision=newer), ""

    def _check(self, revision: int) -> None:
        self._look_again()
        if revision != self._painting.revision:
            raise StaleRevision("changed_in_another_window")

    def _go(self, revision: int, window: str, way: str) -> Sitting:
        with self._lock:
            self._check(revision)
            here = self._painting.step
            step = self._history.before(here) if way == "undo" else self._history.next(here)
            if step is None:
                raise UsageError("nothing_to_undo", way=way)
            asked = self._history.asked(step.number)
            for photo in asked.photos:  # one that was taken away is still in the folder
                if photo.sha256 not in self.reckoner.others:
                    found = load(other_photo(self.folder, photo))
                    self.reckoner.others[photo.sha256] = Reckoner(found)
            made = self._made(asked)
            self._save(made, step.number, self._drawn(made), window)
            return self._sitting()

    def _made(self, asked: Asked) -> Painting:
        with self._photos.in_turn:
            return self.reckoner.reckon(asked, self._painting.date)

    def _drawn(self, made: Painting) -> Mapping[str, bytes]:
        """Return the pictures of a painting made anew, none where the photo looks as before."""
        look = self.reckoner.look
        same_look = look(self._painting.asked) == look(made.asked)
        return {} if same_look else self.reckoner.pictures(made.asked)

    def _save(self, made: Painting, step: int, pictures: Mapping[str, bytes], window: str) -> None:
        self._put(replace(self._with_record(made, self._painting), step=step), pictures, window)

    def _with_record(self, made: Painting, old: Painting) -> Painting:
        """Return a painting made anew with what the folder has of it besides."""
        labels = self.reckoner.labels
        return replace(
            with_record_of(made, old),
            photo=old.photo,
            pictures=old.pictures,
            rounds=relabelled(old.rounds, labels(old.asked), labels(made.asked)),
            pencilled=relabelled(old.pencilled, labels(old.asked), labels(made.asked)),
            sheets=old.sheets,
            step=old.step,
            revision=old.revision,
        )

    def _put(self, painting: Painting, pictures: Mapping[str, bytes], window: str) -> None:
        painting = replace(painting, revision=self._painting.revision + 1)
        with locked(self.folder):  # or another program's state could be taken for this one
            self._painting = save(self.folder, painting, pictures, over=self._mark)
            self._mark, self.changed_by = mark_of(self.folder), window
        self._tell(window)

    def _tell(self, window: str) -> None:
        for listener in tuple(self._listeners):
            listener(self._painting.revision, window)

    def _sitting(self, shown: str = "") -> Sitting:
        painting, step = self._painting, self._painting.step
        name = shown_name(painting.asked, shown)
        reader, seen = self.of_photo(name)
        whole = reader.whole
        following = self._history.next(step)
        return Sitting(
            key=self.key,
            painting=painting,
            photo=reader.view(seen.frame),
            whole_px=(whole.width_px, whole.height_px),
            look=reader.look(with_own_holes(painting.asked, name)),
            light=seen.light,
            balance=reader.balance(seen.light),
            holes=self.reckoner.punched(painting.asked),
            box=painting.plan.box if painting.plan else self._box(),
            saved_at=datetime.fromtimestamp(self._mark[1] / 1e9).isoformat("T", "seconds"),
            undo=self._history.said(step),
            redo=following.said if following else None,
            flags=(
                *painting.flags,
                *((self._found,) if self._found else ()),
                *((UNRECORDED,) if self._is_unrecorded else ()),
            ),
            shown=name,
        )

    def _box(self) -> Box:
        asked = self._painting.asked
        return self.reckoner.box(asked.box, asked.mixing.finish)
