"""All that the page shows of checking: the photo on the table, the dab card, each puddle."""

from __future__ import annotations

import shutil
import tempfile
import weakref
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs import dab_card
from refmatch.dabs.additions import PUDDLE, ingredients_of
from refmatch.dabs.belief import box_as_believed
from refmatch.dabs.dab_card import SAME_DELTA_E_00
from refmatch.errors import CardError, PaintingError, UnknownTube
from refmatch.flag import Flag, flag_of
from refmatch.paint.box import Box
from refmatch.painting.check import dab_card_layout, dab_card_of
from refmatch.painting.model import Look, Painting, Round
from refmatch.painting.own_box import box_of
from refmatch.painting.record import (
    LEFT_OVER,
    PileNow,
    belief_now,
    left_over,
    pile_now,
    place_of,
    rounds_of,
)
from refmatch.painting.store import saved_photo
from refmatch.photo.light.balance import as_shot
from refmatch.photo.load import load
from refmatch.photo.photo import Photo, seen_at
from refmatch.photo.picture import as_wide_jpeg, to_p3
from refmatch.recipe.doubt import generic_flags
from refmatch.recipe.nudge import Lesson, teach
from refmatch.sheet.card_files import dab_card_pdf, make_dab_card
from refmatch.web.desk import Desk, Sitting


@dataclass(frozen=True, eq=False)
class PhotoLaid:
    """A photo of dabs that is looked at now; ``key`` is the beginning of its SHA-256.

    ``flags`` are what was said of it when a dab in it was last judged, ``learnt`` the sentences of
    what the painting's box has learnt from it then. ``outlines`` (4, 2) are the windows of the dab
    card in it, in pixels, by the target's label.
    """

    key: str
    name: str
    width_px: int
    height_px: int
    flags: tuple[Flag, ...] = ()
    learnt: tuple[str, ...] = ()
    outlines: Mapping[str, Array] = field(default_factory=dict)


@dataclass(frozen=True)
class CardLaid:
    """The dab card as it was last laid out; ``flags`` tell what of it no longer holds.

    ``holds`` is False where none of its targets is one any more.
    """

    paper: str
    grey_lstar: float
    pages: int
    holds: bool
    flags: tuple[Flag, ...]


@dataclass(frozen=True, eq=False)
class PuddleSeen:
    """The puddle of a target: its rounds, oldest first, and what is in it now.

    ``hole`` is the key by which the page knows the target. ``has_other_target`` is whether the
    target has another colour now than when its dab was last looked at. ``now`` is None where it has
    no recipe. ``at_hand`` is all that can be worked into it, by name, each with its kind as
    `swatch.pile.Ingredient` has it; ``flags`` are those of its dab in the photo judged last.
    ``now_lab`` (3,) is what the puddle is now believed to be, and how far off its target that is;
    None where no photo tells.
    """

    hole: str
    label: str
    rounds: tuple[Round, ...]
    has_other_target: bool
    now: PileNow | None
    at_hand: Mapping[str, str]
    flags: tuple[Flag, ...] = ()
    now_lab: Array | None = None
    now_delta_e_00: float | None = None


@dataclass(frozen=True, eq=False)
class CheckTable:
    """A painting's checks as they stand.

    ``looks`` are the photos of the record by SHA-256. ``has_same_light`` is whether the box knows
    a camera, so that a photo may be in the same light as its own. ``paints`` are the names of the
    box's "white" and "black", where it has them: as squeezed they can lie beside a dab.
    ``judged`` are the holes whose dabs were judged just now.
    """

    key: str
    revision: int
    photo: PhotoLaid | None
    card: CardLaid | None
    puddles: tuple[PuddleSeen, ...]
    looks: Mapping[str, Look]
    has_same_light: bool
    paints: Mapping[str, str]
    parts_by: str
    judged: tuple[str, ...] = ()


# The painting's dab card on the page: laid out, printed, and what of it still holds.


def lay_out(desk: Desk, paper: str, grey_lstar: float) -> None:
    """Lay out the dab card of a painting as it stands; an older one can no longer be read.

    Raises:
        CardError: the painting has no targets. UsageError: no such paper, no L* of a grey.
        OutputError: it cannot be written.
    """
    desk.sitting()
    make_dab_card(desk.folder, dab_card_pdf(desk.folder), paper, grey_lstar)


def printed(desk: Desk) -> tuple[str, bytes]:
    """Return the painting's title, and its dab card as it was laid out, PDF.

    Raises:
        CardError: none is laid out, or it is damaged.
    """
    from refmatch.sheet import dab_card_pages  # ReportLab is slow to import

    card = dab_card.read_card_file(dab_card_layout(desk.folder))
    return card.title, dab_card_pages.write(card)


def card_laid(folder: Path) -> CardLaid | None:
    """Return the dab card with what no longer holds of it, None where there is none to be read."""
    try:
        card = dab_card.read_card_file(dab_card_layout(folder))
    except CardError:
        return None
    holds = True
    try:
        flags = dab_card_of(folder).flags
    except CardError as error:
        holds, flags = False, (flag_of(error),)
    return CardLaid(card.paper, card.neutral_value, card.pages, holds, flags)


# The photo of dabs that lies on the table: outside the painting until a dab in it is judged.

LONGEST_SIDE_PX = 1600
KEY_LETTERS = 16
"""So many letters of the SHA-256 name a photo; the record's files are named so, too."""


@dataclass(frozen=True, eq=False)
class Laid:
    """A photo in a folder of its own, gone when it is put away or the studio ends."""

    path: Path
    key: str
    width_px: int
    height_px: int
    picture: bytes

    def put_away(self) -> None:
        """Remove the photo."""
        shutil.rmtree(self.path.parent, ignore_errors=True)


def lay(path: Path) -> Laid:
    """Copy a photo onto the table.

    Raises:
        PhotoError: it is no photo.
    """
    photo = load(path)
    copy = Path(tempfile.mkdtemp(prefix="refmatch-")) / path.name
    shutil.copyfile(path, copy)
    laid = Laid(
        path=copy,
        key=key_of(saved_photo(copy).sha256),
        width_px=photo.width_px,
        height_px=photo.height_px,
        picture=picture_of(photo),
    )
    weakref.finalize(laid, shutil.rmtree, copy.parent, ignore_errors=True)
    return laid


def picture_of(photo: Photo) -> bytes:
    """Return a photo as shot, as the page shows it, JPEG."""
    xyz = seen_at(photo, LONGEST_SIDE_PX).xyz
    return as_wide_jpeg(to_p3(xyz @ as_shot().matrix.T.astype(xyz.dtype)))


def key_of(sha256: str) -> str:
    """Return by which word the page knows a photo."""
    return sha256[:KEY_LETTERS]


# What moves a puddle of the painting each way, by the tubes that are on the table.


@dataclass(frozen=True, eq=False)
class PuddleNudged:
    """A lesson on the puddle of a target, as it is now believed to be."""

    label: str
    now: PileNow
    lesson: Lesson
    flags: tuple[Flag, ...]


def nudges_of(desk: Desk, hole: str) -> PuddleNudged:
    """Return the lesson on a target's puddle; ``hole`` is its hole's key, else its label.

    Raises:
        PaintingError: there is no such target, or it has no recipe.
    """
    sitting = desk.sitting()
    painting = sitting.painting
    keys = [one.key for one in sitting.holes]
    place = keys.index(hole) if hole in keys else place_of(painting, hole)
    label = painting.targets[place].label
    now, box = pile_now(painting, label), box_of(painting)
    belief = belief_now(painting, label, box)
    held = box if belief is None else box_as_believed(box, now.parts, belief.pile)
    on_table = [tube for tube in box.tubes if tube.name not in painting.asked.away]
    puddle = [(held.tube(name), share) for name, share in now.parts]
    lesson = teach(box, puddle, on_table)
    known = {None, *(tube.name for tube in on_table)}
    instead = tuple(nudge for nudge in lesson.instead if nudge.tube in known)
    return PuddleNudged(label, now, replace(lesson, instead=instead), generic_flags(box.tubes))


# The puddles of a painting as the page shows them, each with all that can go into it.


def puddles_seen(
    sitting: Sitting, box: Box, flags: Mapping[str, tuple[Flag, ...]]
) -> tuple[PuddleSeen, ...]:
    """Return each target's puddle; ``flags`` are those of its dab by its label."""
    painting = sitting.painting
    return tuple(
        _puddle(painting, box, place, hole.key, flags.get(painting.targets[place].label, ()))
        for place, hole in enumerate(sitting.holes)
    )


def paints_of(box: Box) -> dict[str, str]:
    """Return the names of the box's white and black, where it has them."""
    white = next((tube.name for tube in box.tubes if tube.is_white), None)
    black = box.black.name if box.black else None
    return {key: name for key, name in (("white", white), ("black", black)) if name}


def _puddle(
    painting: Painting, box: Box, place: int, hole: str, flags: tuple[Flag, ...]
) -> PuddleSeen:
    target = painting.targets[place]
    rounds, now = rounds_of(painting, target.label), _now(painting, target.label)
    believed = _believed(painting, target.label, box)
    return PuddleSeen(
        hole=hole,
        label=target.label,
        rounds=rounds,
        has_other_target=bool(rounds) and _is_other(rounds[-1].target_lab, target.lab),
        now=now,
        at_hand=_at_hand(painting, box, target.label, now),
        flags=flags,
        now_lab=believed,
        now_delta_e_00=None if believed is None else float(delta_e_00(believed, target.lab)),
    )


def _believed(painting: Painting, label: str, box: Box) -> Array | None:
    """Return the colour that a puddle is believed to have; None of tubes the box has no more."""
    try:
        belief = belief_now(painting, label, box)
    except UnknownTube:
        return None
    return None if belief is None else belief.lab


def _is_other(before: Array, now: Array) -> bool:
    return float(delta_e_00(before, now)) >= SAME_DELTA_E_00


def _now(painting: Painting, label: str) -> PileNow | None:
    try:
        return pile_now(painting, label)
    except PaintingError:
        return None


def _at_hand(painting: Painting, box: Box, label: str, now: PileNow | None) -> dict[str, str]:
    """Return tubes, let-downs, the core, other puddles that were looked at, and leftovers."""
    held = {tube.name for tube in box.tubes}
    parts = tuple(each for each in now.parts if each[0] in held) if now else ()
    own = {each.name: each.kind for each in ingredients_of(box, parts)}
    others = []
    for other in (target.label for target in painting.targets):
        if other != label and rounds_of(painting, other):
            others.append(other)
        if left_over(painting, other):
            others.append(f"{other}{LEFT_OVER}")
    return dict.fromkeys(others, PUDDLE) | own
