"""The checks of one painting: a photo laid on the table, dabs judged, what was done then.

The record is the painting's own: what the command line checks is seen here, and the other way
round. Only the photo on the table, and what was said of it last, are kept in memory.
"""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from refmatch.card.check_table import CheckTable, PhotoLaid
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import PaintingError, StaleRevision, UsageError
from refmatch.flag import Flag
from refmatch.painting.done import did, take_back
from refmatch.painting.own_box import box_of
from refmatch.painting.record import rounds_of
from refmatch.painting.sitting import Sitting
from refmatch.painting.store import check_photo
from refmatch.photo.load import load
from refmatch.swatch.checked import Checks
from refmatch.verbs.check import check
from refmatch.verbs.studio.check.asked import CARD, POINTED, check_asked, did_asked
from refmatch.verbs.studio.check.card import card_laid
from refmatch.verbs.studio.check.laid import Laid, key_of, lay, picture_of
from refmatch.verbs.studio.check.puddles import paints_of, puddles_seen
from refmatch.verbs.studio.desk import Desk
from refmatch.verbs.studio.fields import Fields

Given = Mapping[str, Any]


@dataclass(frozen=True, eq=False)
class Said:
    """What was said of a photo when dabs in it were last judged: of all of it, and of each dab.

    ``learnt`` is what the box has learnt from it, ``outlines`` where each dab's window is.
    """

    photo: str
    flags: tuple[Flag, ...]
    of: Mapping[str, tuple[Flag, ...]]
    learnt: tuple[str, ...]
    outlines: Mapping[str, Array]


class Checking:
    """One painting's checks. Safe to ask from several threads; one photo is read at a time."""

    def __init__(self) -> None:
        self._lock = threading.RLock()
        self._laid: Laid | None = None
        self._said: Said | None = None

    def table(self, desk: Desk, judged: tuple[str, ...] = ()) -> CheckTable:
        """Return all of it as it stands; ``judged`` are labels of dabs that were judged just now.

        Raises:
            PaintingError, BoxError: something of the painting is damaged.
        """
        sitting, laid, said = desk.sitting(), self._laid, self._said
        box = box_of(sitting.painting)
        puddles = puddles_seen(sitting, box, said.of if said else {})
        return CheckTable(
            key=desk.key,
            revision=sitting.painting.revision,
            photo=None if laid is None else _photo(laid, said),
            card=card_laid(desk.folder),
            puddles=puddles,
            looks={look.photo.sha256: look for look in sitting.painting.looks},
            has_same_light=box.camera is not None,
            paints=paints_of(box),
            parts_by=box.parts,
            judged=tuple(each.hole for each in puddles if each.label in judged),
        )

    def lay(self, desk: Desk, path: Path) -> CheckTable:
        """Lay a photo on the table, in place of the one that lies there.

        Raises:
            PhotoError: it is no photo; the other one stays.
        """
        laid = lay(path)
        with self._lock:
            if self._laid is not None:
                self._laid.put_away()
            self._laid, self._said = laid, None
        return self.table(desk)

    def judge(self, desk: Desk, given: Given, window: str = "") -> CheckTable:
        """Judge the dabs in the photo on the table, and put them into the painting's record.

        Raises:
            UsageError: a field is missing or wrong, or nothing known lies beside the dab.
            CardError, HoleError, BoxError, PaintingError: as `verbs.check.check` says.
        """
        with self._lock:
            laid = self._on_table(given)
            found = _checked(desk, given, laid)
            self._said = _said(laid.key, found)
            desk.take_on(window)
        return self.table(desk, tuple(each.job.label for each in found.found))

    def did(self, desk: Desk, given: Given, window: str = "") -> CheckTable:
        """Record what was done after the last round of a target.

        Raises:
            StaleRevision: that round is not the last any more. UsageError, PaintingError,
            UnknownTube: as `painting.done.did` says.
        """
        label = _spoken_of(desk.sitting(), given)
        did(desk.folder, label, did_asked(given))
        desk.take_on(window)
        return self.table(desk)

    def take_back(self, desk: Desk, given: Given, window: str = "") -> CheckTable:
        """Take back what was said to be done after the last round of a target.

        Raises:
            StaleRevision: that round is not the last any more.
        """
        label = _spoken_of(desk.sitting(), given)
        take_back(desk.folder, label)
        desk.take_on(window)
        return self.table(desk)

    def picture(self, desk: Desk, key: str) -> bytes:
        """Return the photo on the table, or one of the record, JPEG.

        Raises:
            PaintingError: there is none of that key.
        """
        laid = self._laid
        if laid is not None and laid.key == key:
            return laid.picture
        for look in desk.sitting().painting.looks:
            if key_of(look.photo.sha256) == key:
                return picture_of(load(check_photo(desk.folder, look.photo)))
        raise PaintingError("photo_put_away")

    def put_away(self) -> None:
        """Remove the photo on the table, without waiting for one that is being read."""
        laid, self._laid, self._said = self._laid, None, None
        if laid is not None:
            laid.put_away()

    def _on_table(self, given: Given) -> Laid:
        key = Fields(given).text("photo")
        if self._laid is None or self._laid.key != key:
            raise UsageError("photo_not_on_table")
        return self._laid


def _checked(desk: Desk, given: Given, laid: Laid) -> Checks:
    """Check; once more where the painting was changed while the photo was read."""
    for last in (False, True):
        label = None
        if given.get("way") == POINTED:
            label = _named(desk.sitting(), given)
        if given.get("way") == CARD and card_laid(desk.folder) is None:
            raise UsageError("no_card_to_check_by")
        asked = check_asked(given, laid.path, desk.folder, label)
        try:
            return check(asked)
        except StaleRevision:
            if last:
                raise
    raise AssertionError


def _named(sitting: Sitting, given: Given) -> str:
    """Return the label of the target that a hole's key names.

    Raises:
        UsageError: the hole is no longer there.
    """
    key = Fields(given).text("hole")
    for hole, target in zip(sitting.holes, sitting.painting.targets, strict=True):
        if hole.key == key:
            return target.label
    raise UsageError("hole_gone")


def _spoken_of(sitting: Sitting, given: Given) -> str:
    """Return the label of the target that is spoken of, where the round named is its last."""
    label, fields = _named(sitting, given), Fields(given)
    rounds = rounds_of(sitting.painting, label)
    if not rounds:
        raise UsageError("not_looked_at", target=label)
    told = (fields.number("pile", 1, 1e6), fields.number("number", 1, 1e6))
    if told != (rounds[-1].pile, rounds[-1].number):
        raise StaleRevision("looked_at_meanwhile", target=label)
    return label


def _photo(laid: Laid, said: Said | None) -> PhotoLaid:
    photo = PhotoLaid(laid.key, laid.path.name, laid.width_px, laid.height_px)
    if said is None or said.photo != laid.key:
        return photo
    return replace(photo, flags=said.flags, learnt=said.learnt, outlines=said.outlines)


def _said(photo: str, found: Checks) -> Said:
    of = {checked.job.label: checked.flags for checked in found.found}
    return Said(photo, found.flags, of, found.learnt, found.outlines)
