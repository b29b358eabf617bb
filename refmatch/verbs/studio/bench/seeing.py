"""A box in the making as the page shows it, put together from notes and readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.card.bench import Bench, BoxMade, DabAfter, DabSeen, PhotoSeen, TubeMade
from refmatch.card.dabs import is_empty
from refmatch.card.layout import Card, PaintWindow
from refmatch.card.mend import Mend, as_painted
from refmatch.card.read import CardRead, DabRead
from refmatch.colorimetry.adaptation import adaptation
from refmatch.colorimetry.lab import lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.strength import strength_beside
from refmatch.painting.table import tubes_on_table
from refmatch.verbs.studio.bench.folder import Folder
from refmatch.verbs.studio.bench.making import PageMended, card_digest
from refmatch.verbs.studio.bench.notes import MadeNote, Notes
from refmatch.verbs.studio.bench.readings import PageReading
from refmatch.verbs.studio.names import key_of


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
                tilt_deg=reading.read.found.tilt_deg,
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
