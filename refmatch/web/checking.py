"""The checks of one painting: a photo laid on the table, dabs judged, what was done then.

The record is the painting's own: what the command line checks is seen here, and the other way
round. Only the photo on the table, and what was said of it last, are kept in memory.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.card import GREY_CARD_LSTAR
from refmatch.dabs.checked import Checks
from refmatch.dabs.spot import WET
from refmatch.dabs.spots import Places, Reference
from refmatch.encode import Json
from refmatch.errors import PaintingError, StaleRevision, UsageError
from refmatch.paint.portions import amount_of, listed
from refmatch.painting.check import CheckAsked, check
from refmatch.painting.done import DidAsked, did, take_back
from refmatch.painting.record import rounds_of
from refmatch.painting.store import check_photo
from refmatch.photo.load import load
from refmatch.photo.place import Length, Place
from refmatch.target import check_lab, parse_colour
from refmatch.web.check_table import Laid, checks_shown, has_card, key_of, lay, picture_of
from refmatch.web.desk import Desk
from refmatch.web.fields import Fields
from refmatch.web.sitting import Sitting

CARD, POINTED = "card", "pointed"
"""The ways to say where dabs are."""

FARTHEST_PX = 1e5
MOST_ADDED = 6
MOST_PARTS = 1000.0
LONGEST_LIST = 600
"""Letters of a list of parts: a dozen tubes with their names."""

LookGiven = Mapping[str, Any]


def check_asked(given: LookGiven, photo: Path, folder: Path, label: str | None) -> CheckAsked:
    """Return what is asked of a photo; ``label`` is the target's that is pointed to.

    Raises:
        UsageError: a field is missing or wrong.
    """
    fields = Fields(given)
    state = fields.text("state") if "state" in fields else WET
    light = fields.text("light") if "light" in fields else ""
    way = fields.text("way")
    if way not in (CARD, POINTED):
        raise UsageError("'way' must be 'card' or 'pointed'.")
    places, reference = None, None
    if way == POINTED:
        places = _places(given)
        reference = Reference(_reference_lab(given)) if places.reference else None
    return CheckAsked(
        photo=photo,
        places=places,
        light=light or None,
        state=state,
        reference=reference,
        painting=folder,
        target_label=label if way == POINTED else None,
    )


def did_asked(given: LookGiven) -> DidAsked:
    """Return what the painter says was done.

    Raises:
        UsageError: a field is missing or wrong.
    """
    fields = Fields(given)
    correction = fields.number_or_none("correction", 1, 99)
    return DidAsked(
        correction=None if correction is None else int(correction),
        added=tuple(_added(row) for row in _added_list(given)),
        divided="divided" in fields and fields.truth("divided"),
        anew="anew" in fields and fields.truth("anew"),
    )


def _added_list(given: LookGiven) -> list[Any]:
    added = given.get("added") or []
    if not isinstance(added, list) or not all(isinstance(row, dict) for row in added):
        raise UsageError("'added' must be a list of what was added, each a name and parts.")
    if len(added) > MOST_ADDED:
        raise UsageError(f"{MOST_ADDED} additions at a time are the most.")
    return added


def _added(row: LookGiven) -> tuple[str, float]:
    fields = Fields(row)
    written = row.get("parts")
    parts = (
        amount_of(written) if isinstance(written, str) else fields.number("parts", 0.0, MOST_PARTS)
    )
    name = fields.text("name", 2 * 80)
    if not name.strip() or not 0.0 < parts <= MOST_PARTS:
        raise UsageError("addition_of_nothing")
    return name.strip(), parts


def _places(given: LookGiven) -> Places:
    places = given.get("places")
    if not isinstance(places, dict):
        raise UsageError("'places' must say where things lie on the photo.")
    if not isinstance(places.get("dab"), dict):
        raise UsageError("Click the dab in the photo first.")
    lstar = Fields(given).number_or_none("grey_lstar", 1.0, 100.0)
    return Places(
        dab=place_of(places["dab"]),
        neutral=place_or_none(places.get("grey")),
        neutral_lstar=GREY_CARD_LSTAR if lstar is None else lstar,
        white=place_or_none(places.get("white")),
        black=place_or_none(places.get("black")),
        reference=place_or_none(places.get("reference")),
    )


def place_or_none(place: Any) -> Place | None:
    """Return a place of the photo as the page sends it, or None where there is none.

    Raises:
        UsageError: a field is missing or wrong.
    """
    return None if place is None else place_of(place)


def place_of(place: Any) -> Place:
    """Return a place of the photo as the page sends it.

    Raises:
        UsageError: a field is missing or wrong.
    """
    if not isinstance(place, dict):
        raise UsageError("A place on the photo has x_px, y_px and diameter_px.")
    fields = Fields(place)
    x, y = (fields.number(name, 0.0, FARTHEST_PX) for name in ("x_px", "y_px"))
    across = fields.number("diameter_px", 1.0, FARTHEST_PX)
    at_x, at_y, width = (Length(px, percent=False) for px in (x, y, across))
    return Place(at_x, at_y, width)


def _reference_lab(given: LookGiven) -> Array:
    written = given.get("reference_colour")
    if isinstance(written, str) and written.strip():
        return parse_colour(written)
    lab = given.get("reference_lab")
    if not isinstance(lab, list) or len(lab) != 3:
        raise UsageError(
            "Give the known colour: L*, a* and b* such as 62, 14, 38, #6a5f3c, or 10YR 5/4."
        )
    fields = Fields(dict(zip(("L*", "a*", "b*"), lab, strict=True)))
    lightness = fields.number("L*", 0.0, 100.0)
    a, b = (fields.number(name, -200.0, 200.0) for name in ("a*", "b*"))
    return check_lab(np.array([lightness, a, b]), "The reference")


Given = Mapping[str, Any]


class Checking:
    """One painting's checks. Safe to ask from several threads; one photo is read at a time."""

    def __init__(self) -> None:
        self._lock = threading.RLock()
        self._laid: Laid | None = None
        self._found: Checks | None = None

    def table(self, desk: Desk, judged: tuple[str, ...] = ()) -> Json:
        """Return all of it as it stands; ``judged`` are labels of dabs that were judged just now.

        Raises:
            PaintingError, BoxError: something of the painting is damaged.
        """
        return checks_shown(desk, self._laid, self._found, judged)

    def lay(self, desk: Desk, path: Path) -> Json:
        """Lay a photo on the table, in place of the one that lies there.

        Raises:
            PhotoError: it is no photo; the other one stays.
        """
        laid = lay(path)
        with self._lock:
            if self._laid is not None:
                self._laid.put_away()
            self._laid, self._found = laid, None
        return self.table(desk)

    def judge(self, desk: Desk, given: Given, window: str = "") -> Json:
        """Judge the dabs in the photo on the table, and put them into the painting's record.

        Raises:
            UsageError: a field is missing or wrong, or nothing known lies beside the dab.
            CardError, HoleError, BoxError, PaintingError: as `painting.check.check` says.
        """
        with self._lock:
            laid = self._on_table(given)
            checks = _checked(desk, given, laid)
            self._found = checks
            desk.take_on(window)
        return self.table(desk, tuple(dab.job.label for dab in checks.found))

    def did(self, desk: Desk, given: Given, window: str = "") -> Json:
        """Record what was done after the last round of a target.

        Raises:
            StaleRevision: that round is not the last any more. UsageError, PaintingError,
            UnknownTube: as `painting.done.did` says.
        """
        label = _spoken_of(desk.sitting(), given)
        did(desk.folder, label, did_asked(given))
        desk.take_on(window)
        return self.table(desk)

    def mixed(self, desk: Desk, given: Given, window: str = "") -> Json:
        """Record what a puddle was really mixed of: its first, or one mixed anew after a look.

        Nothing said takes back what was said of a first one.

        Raises:
            StaleRevision: the round named is not the last any more. UsageError, PaintingError,
            BoxError: as `painting.done.did` says.
        """
        label, text = _named(desk.sitting(), given), Fields(given).text("parts", LONGEST_LIST)
        if rounds_of(desk.sitting().painting, label):
            label = _spoken_of(desk.sitting(), given)
        if text.strip():
            did(desk.folder, label, DidAsked(added=listed(text), anew=True))
        else:
            take_back(desk.folder, label)
        desk.take_on(window)
        return self.table(desk)

    def take_back(self, desk: Desk, given: Given, window: str = "") -> Json:
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
        laid, self._laid, self._found = self._laid, None, None
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
        if given.get("way") == CARD and not has_card(desk.folder):
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
    named = (fields.number("pile", 1, 1e6), fields.number("number", 1, 1e6))
    if named != (rounds[-1].pile, rounds[-1].number):
        raise StaleRevision("looked_at_meanwhile", target=label)
    return label


MOST_KEPT = 6
"""So many paintings keep a photo of dabs on the table; the one longest not asked for goes first."""


class Checkings:
    """Safe to ask from several threads."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, Checking] = OrderedDict()
        self._lock = threading.Lock()

    def of(self, key: str) -> Checking:
        """Return the checks of a painting; the same for everybody who asks."""
        with self._lock:
            checking = self._kept.setdefault(key, Checking())
            self._kept.move_to_end(key)
            gone = [self._kept.popitem(last=False)[1] for _ in range(len(self._kept) - MOST_KEPT)]
        for old in gone:
            old.put_away()
        return checking

    def put_away(self) -> None:
        """Remove every photo that lies on a table."""
        with self._lock:
            gone = tuple(self._kept.values())
            self._kept.clear()
        for old in gone:
            old.put_away()
