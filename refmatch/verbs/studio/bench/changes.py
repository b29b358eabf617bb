"""What a painter can say of a box in the making: one function a change, a line each in `CHANGES`.

A change takes the notes and gives new ones. It reads no photo but to see that a spot holds paint.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from refmatch.card.layout import Card, PaintWindow
from refmatch.card.mend import MOST_PARTS, Mend, Paint, check_paint
from refmatch.card.patch import Spot
from refmatch.errors import UsageError
from refmatch.swatch.camera import lamp, light_said
from refmatch.verbs.studio.bench.notes import Notes
from refmatch.verbs.studio.fields import Fields

MOST_PX = 1e5
LIGHTS = ("A", "LED")


@dataclass(frozen=True, eq=False)
class Table:
    """What a change may look at: the card, and a way to try a spot of a page's photo."""

    card: Card
    try_spot: Callable[[int, Spot], object]


Change = Callable[[Notes, Fields, Table], Notes]


def leave_out(notes: Notes, fields: Fields, table: Table) -> Notes:
    """Let a dab not count: {dab, left_out}."""
    number, mend, _ = _dab(notes, fields, table)
    return notes.with_mend(number, replace(mend, left_out=fields.truth("left_out")))


def painted(notes: Notes, fields: Fields, table: Table) -> Notes:
    """Say what paint a dab really is: {dab, tube, parts, white_parts}."""
    number, mend, window = _dab(notes, fields, table)
    paint = Paint(
        tube=fields.text("tube"),
        parts=round(fields.number("parts", 1, MOST_PARTS)),
        white_parts=round(fields.number("white_parts", 0, MOST_PARTS)),
    )
    check_paint(paint, table.card)
    as_printed = paint == Paint(window.tube, window.parts, window.white_parts)
    return notes.with_mend(number, replace(mend, paint=None if as_printed else paint))


def point(notes: Notes, fields: Fields, table: Table) -> Notes:
    """Point to where a dab's paint is, in pixels of its photo: {dab, x_px, y_px, diameter_px}."""
    number, mend, window = _dab(notes, fields, table)
    spot = Spot(
        x_px=round(fields.number("x_px", 0.0, MOST_PX), 1),
        y_px=round(fields.number("y_px", 0.0, MOST_PX), 1),
        diameter_px=round(fields.number("diameter_px", 4.0, MOST_PX), 1),
    )
    table.try_spot(window.page, spot)
    return notes.with_mend(number, replace(mend, spot=spot))


def put_back(notes: Notes, fields: Fields, table: Table) -> Notes:
    """Take all back that was said of a dab: {dab}."""
    number, _, _ = _dab(notes, fields, table)
    return notes.with_mend(number, Mend())


def away(notes: Notes, fields: Fields, table: Table) -> Notes:
    """Take a photo away: {photo}. What was said of its dabs stays, but for where they lie."""
    key = fields.text("photo")
    gone = [photo for photo in notes.photos if photo.key == key]
    if not gone:
        raise UsageError("photo_gone")
    kept = tuple(photo for photo in notes.photos if photo.key != key)
    return without_spots(replace(notes, photos=kept), table.card, gone[0].page)


def light(notes: Notes, fields: Fields, _: Table) -> Notes:
    """Say in which light the photos were taken: {light: "5500", "A", "LED"}, or {} for unknown."""
    said = fields.text("light") if "light" in fields else None
    if said is not None:
        lamp(light_said(said))  # refused there where there is none such
    return replace(notes, light=said)


CHANGES: dict[str, Change] = {
    "leave_out": leave_out,
    "painted": painted,
    "point": point,
    "put_back": put_back,
    "away": away,
    "light": light,
}


def without_spots(notes: Notes, card: Card, page: int) -> Notes:
    """Forget where the dabs of a page lie: another photo shows them elsewhere."""
    for number, mend in notes.mends.items():
        if card.windows[number].page == page:
            notes = notes.with_mend(number, replace(mend, spot=None))
    return notes


def _dab(notes: Notes, fields: Fields, table: Table) -> tuple[int, Mend, PaintWindow]:
    number = round(fields.number("dab", 0, len(table.card.windows) - 1))
    return number, notes.mends.get(number, Mend()), table.card.windows[number]
