"""A box in the making as the page shows it, put together from notes and readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import adaptation, lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.card import Card, PaintWindow
from refmatch.dabs.photographs import Mend, as_painted, is_empty
from refmatch.dabs.read import CardRead, DabRead
from refmatch.flag import Flag
from refmatch.paint.box import Box, Strength, Tube, strength_beside
from refmatch.painting.model import TubeOnTable
from refmatch.painting.own_box import tubes_on_table
from refmatch.web.bench_folder import Folder, PageReading
from refmatch.web.bench_making import PageMended, card_digest
from refmatch.web.bench_notes import MadeNote, Notes
from refmatch.web.shelf import key_of

# A box in the making as it stands: its card, its photos, every dab, and the box once made.


@dataclass(frozen=True)
class PhotoSeen:
    """A photo of one page of the card; ``key`` names it by its content."""

    key: str
    name: str
    page: int
    width_px: int
    height_px: int
    tilt_deg: float
    flags: tuple[Flag, ...]


@dataclass(frozen=True, eq=False)
class DabAfter:
    """What the box made has for a dab: Lab as the camera saw it and as found, (3,), and dE00."""

    seen: Array
    found: Array
    miss: float


@dataclass(frozen=True, eq=False)
class DabSeen:
    """One window of the card, what was painted in it, and its colour as read.

    ``window`` is as printed, ``painted`` as the painter says. ``lab`` (3,), by the grey card
    alone, and ``outline_px`` (4, 2) are None while no photo shows the page.
    """

    number: int
    window: PaintWindow
    painted: PaintWindow
    mend: Mend
    outline_px: Array | None = None
    lab: Array | None = None
    is_empty: bool = False
    flags: tuple[Flag, ...] = ()
    after: DabAfter | None = None


@dataclass(frozen=True, eq=False)
class TubeMade:
    """A tube as its dabs showed it: on the table, and how strong beside what was assumed."""

    tube: Tube
    on_table: TubeOnTable
    strength: Strength | None


@dataclass(frozen=True, eq=False)
class BoxMade:
    """The box that was made; ``is_behind`` where something was changed since."""

    key: str
    name: str
    is_behind: bool
    tubes: tuple[TubeMade, ...]
    flags: tuple[Flag, ...]


@dataclass(frozen=True, eq=False)
class Bench:
    """All of it. ``light`` is kelvins or a name, None where nobody knows."""

    key: str
    box: Box
    table: tuple[TubeOnTable, ...]
    card: Card
    light: float | str | None
    photos: tuple[PhotoSeen, ...]
    dabs: tuple[DabSeen, ...]
    made: BoxMade | None


@dataclass(frozen=True, eq=False)
class Seen:
    """What is known without looking at a photo; ``made`` is the box that was made."""

    key: str
    folder: Folder
    notes: Notes
    card: Card
    made: Box | None


def bench_seen(
    seen: Seen, pages: Sequence[PageMended], readings: Mapping[str, PageReading]
) -> Bench:
    """Return all of it."""
    box = seen.folder.box()
    dabs = _dabs(seen, pages)
    return Bench(
        key=seen.key,
        box=box,
        table=tubes_on_table(box),
        card=seen.card,
        light=seen.notes.light,
        photos=_photos(seen.notes, readings),
        dabs=dabs,
        made=_made(seen, box, dabs),
    )


def _photos(notes: Notes, readings: Mapping[str, PageReading]) -> tuple[PhotoSeen, ...]:
    found = []
    for photo in notes.photos:
        reading = readings[photo.key]
        found.append(
            PhotoSeen(
                key=photo.key,
                name=photo.name,
                page=photo.page,
                width_px=reading.width_px,
                height_px=reading.height_px,
                tilt_deg=reading.read.position.tilt_deg,
                flags=reading.read.flags,
            )
        )
    return tuple(found)


def _dabs(seen: Seen, pages: Sequence[PageMended]) -> tuple[DabSeen, ...]:
    read = {number: (page, dab) for page in pages for number, dab in page.dabs.items()}
    after = _after(seen.notes.made) if seen.made else {}
    dabs = []
    for number, window in enumerate(seen.card.windows):
        mend = seen.notes.mends.get(number, Mend())
        painted = as_painted(window, mend)
        if number not in read:
            dabs.append(DabSeen(number, window, painted, mend))
            continue
        page, dab = read[number]
        dabs.append(
            DabSeen(
                number,
                window,
                painted,
                mend,
                outline_px=dab.outline_px,
                lab=_by_the_grey_card(dab, page.read, seen.card.neutral_value),
                is_empty=is_empty(dab),
                flags=dab.flags,
                after=after.get(number),
            )
        )
    return tuple(dabs)


def _by_the_grey_card(dab: DabRead[PaintWindow], read: CardRead, lstar: float) -> Array:
    """Return a dab's Lab as far as the grey card tells: its cast gone, its brightness right.

    The camera's own ways are still in it; they are found with the paints when the box is made.
    """
    grey = read.grey.xyz
    expected = lab_to_xyz(np.array([lstar, 0.0, 0.0]), ICC_WHITE)
    as_lit = dab.xyz * (expected[1] / grey[1])
    return np.asarray(xyz_to_lab(adaptation(grey / grey[1], ICC_WHITE / 100.0) @ as_lit, ICC_WHITE))


def _after(note: MadeNote | None) -> dict[int, DabAfter]:
    if note is None:
        return {}
    return {
        dab.window: DabAfter(np.array(dab.seen), np.array(dab.found), dab.miss) for dab in note.dabs
    }


def _made(seen: Seen, box: Box, dabs: Sequence[DabSeen]) -> BoxMade | None:
    note = seen.notes.made
    if seen.made is None or note is None:
        return None
    return BoxMade(
        key=f"own-{key_of(seen.folder.made_path)}",
        name=seen.made.name,
        is_behind=note.made_of != seen.notes.made_of(card_digest(seen.card)),
        tubes=_tubes(seen.made, box),
        flags=_of_the_whole(note.flags, seen.made, dabs),
    )


def _tubes(made: Box, box: Box) -> tuple[TubeMade, ...]:
    rows = zip(made.tubes, tubes_on_table(made), strict=True)
    return tuple(
        TubeMade(
            tube=tube,
            on_table=on_table,
            strength=None if tube.is_white else strength_beside(tube, box.tube(tube.name)),
        )
        for tube, on_table in rows
    )


def _of_the_whole(flags: Sequence[Flag], made: Box, dabs: Sequence[DabSeen]) -> tuple[Flag, ...]:
    """Return the flags that stand neither at a tube nor at a dab, each once."""
    shown = {flag for tube in made.tubes for flag in tube.flags}
    shown |= {flag for dab in dabs for flag in dab.flags}
    return tuple(flag for flag in dict.fromkeys(flags) if flag not in shown)
