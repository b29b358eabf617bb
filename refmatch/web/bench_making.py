"""From the notes to the box: every dab as read and mended, and what the fit makes of them."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from refmatch.dabs.calibrate import Calibrated
from refmatch.dabs.camera import light_said
from refmatch.dabs.card import Card, PaintWindow
from refmatch.dabs.photographs import Mend, as_painted, calibrated, dabs_by_card, flags_of, is_empty
from refmatch.dabs.read import CardRead, DabRead
from refmatch.errors import BoxError
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_to_toml
from refmatch.web.bench_notes import MadeDab, MadeNote, Notes

FEWEST_DABS = 4


@dataclass(frozen=True, eq=False)
class PageMended:
    """One page: the reader's word on it with the painter's mends, by the number of the window."""

    read: CardRead
    dabs: Mapping[int, DabRead[PaintWindow]]


@dataclass(frozen=True, eq=False)
class Made:
    """A box and what is to be noted of it."""

    box: Box
    note: MadeNote


def make(pages: Sequence[PageMended], notes: Notes, card: Card, box: Box, name: str) -> Made:
    """Fit camera and paints to all dabs that count.

    Raises:
        BoxError: there are too few. UsageError: no such light.
    """
    reads = [replace(page.read, dabs=tuple(page.dabs.values())) for page in pages]
    left_out = _left_out(notes.mends, card)
    counting = [
        number
        for page in pages
        for number, dab in page.dabs.items()
        if dab.window not in left_out and not is_empty(dab)
    ]
    if len(counting) < FEWEST_DABS:
        raise BoxError("too_few_dabs", count=len(counting), fewest=FEWEST_DABS)
    found = dabs_by_card(reads, card, box, left_out=left_out)
    light = light_said(notes.light) if notes.light else None
    result = calibrated(box, found, light, name)
    note = MadeNote(
        made_of=notes.made_of(card_digest(card)),
        box_digest=digest_of_text(box_to_toml(result.box)),
        dabs=_made_dabs(counting, result),
        flags=(*found.flags, *flags_of(result)),
    )
    return Made(result.box, note)


def card_digest(card: Card) -> str:
    """Return what tells a card from another, the L* of its grey card too."""
    return f"{card.box_digest} {card.paper} {card.neutral_value:g}"


def digest_of_text(text: str) -> str:
    """Return the SHA-256 of a text."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _left_out(mends: Mapping[int, Mend], card: Card) -> frozenset[PaintWindow]:
    return frozenset(
        as_painted(card.windows[number], mend) for number, mend in mends.items() if mend.left_out
    )


def _made_dabs(counting: Sequence[int], result: Calibrated) -> tuple[MadeDab, ...]:
    rows = zip(counting, result.camera_lab, result.fit_lab, result.misses, strict=True)
    return tuple(
        MadeDab(
            number,
            tuple(round(float(each), 4) for each in seen),
            tuple(round(float(each), 4) for each in found),
            round(miss, 4),
        )
        for number, seen, found, miss in rows
    )
