"""What the files of all cards have in common: written plainly, read with every doubt spoken."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any, TypeVar

from refmatch.dabs.card import (
    DICTIONARY,
    NUMBERS,
    CardTube,
    Frame,
    Marker,
    PaintWindow,
    Rectangle,
    Stretch,
    Window,
)
from refmatch.errors import CardError
from refmatch.saved import read_json

VERSION = 1

Json = dict[str, Any]
Row = TypeVar("Row")
Read = TypeVar("Read", bound=Frame[Window])


def as_text(content: Json) -> str:
    """Return a card's file."""
    return json.dumps(content, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def paper_rows(card: Frame[Window]) -> Json:
    """Return what paper a card is printed on, and the grey that lies on it."""
    return {
        "paper": card.paper,
        "width_mm": card.width_mm,
        "height_mm": card.height_mm,
        "pages": card.pages,
        "neutral_value": card.neutral_value,
    }


def place_rows(card: Frame[Window]) -> Json:
    """Return where markers, grey card and plain paper lie."""
    return {
        "dictionary": DICTIONARY,
        "markers": [{"number": m.number, "page": m.page, **asdict(m.place)} for m in card.markers],
        "greys": [{"page": grey.page, **asdict(grey.place)} for grey in card.greys],
        "plain_paper": [{"page": stretch.page, **asdict(stretch.place)} for stretch in card.papers],
    }


def tube_row(tube: CardTube) -> Json:
    """Return a tube."""
    return {"name": tube.name, "pigments": list(tube.pigments)}


def window_row(window: Window) -> Json:
    """Return where a window and its bar lie."""
    return {"page": window.page, **asdict(window.place), "bar_mm": window.bar.height_mm}


def paint_row(window: PaintWindow) -> Json:
    """Return a window for paint of known parts."""
    return {
        **window_row(window),
        "tube": window.tube,
        "parts": window.parts,
        "white_parts": window.white_parts,
        **({"other": window.other, "other_parts": window.other_parts} if window.other else {}),
    }


def read_text(path: Path) -> str:
    """Read a card's file.

    Raises:
        CardError: it cannot.
    """
    try:
        return Path(path).read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise CardError("card_file_unreadable", file=str(path)) from error


def read_card(text: str, where: str, form: str, made: Callable[[Json], Read]) -> Read:
    """Read a card from JSON text of this form; ``where`` names it in a complaint.

    Raises:
        CardError: not JSON, not such a card, damaged, or from a newer refmatch.
    """
    try:
        raw = read_json(text.encode())
    except ValueError as error:
        raise CardError("no_card_file", file=where, why=str(error)) from error
    if not isinstance(raw, dict) or raw.get("format") != form:
        raise CardError("no_card_file", file=where, why="")
    if not isinstance(raw.get("version"), int) or raw["version"] > VERSION:
        raise CardError("card_file_newer", file=where)
    try:
        card = made(raw)
        _check(card, raw)
    except (AttributeError, KeyError, OverflowError, TypeError, ValueError) as error:
        raise CardError("card_file_damaged", file=where, why=_reason(error)) from error
    return card


def rows(raw: Json, key: str, make: Callable[[Json], Row]) -> tuple[Row, ...]:
    """Return what each row of a list says."""
    listed: Sequence[Json] = raw[key]
    return tuple(make(row) for row in listed)


def tubes_of(raw: Json) -> tuple[CardTube, ...]:
    """Return a card's tubes."""
    return rows(raw, "tubes", lambda row: CardTube(row["name"], tuple(row["pigments"])))


def markers_of(raw: Json) -> tuple[Marker, ...]:
    """Return a card's markers."""
    return rows(
        raw, "markers", lambda row: Marker(int(row["number"]), int(row["page"]), place(row))
    )


def greys_of(raw: Json) -> tuple[Stretch, ...]:
    """Return where the grey card lies on each page."""
    return rows(raw, "greys", lambda row: Stretch(int(row["page"]), place(row)))


def papers_of(raw: Json) -> tuple[Stretch, ...]:
    """Return a card's stretches of plain paper."""
    return rows(raw, "plain_paper", lambda row: Stretch(int(row["page"]), place(row)))


def paint_window(row: Json) -> PaintWindow:
    """Return a window for paint of known parts."""
    parts, white_parts = int(row["parts"]), int(row["white_parts"])
    other, other_parts = str(row.get("other", "")), int(row.get("other_parts", 0))
    if parts < 1 or white_parts < 0 or bool(other) != (other_parts > 0):
        raise ValueError("a window has no parts")
    at = place(row)
    where = (int(row["page"]), at, bar(row, at))
    return PaintWindow(*where, str(row["tube"]), parts, white_parts, other, other_parts)


def place(row: Json) -> Rectangle:
    """Return a rectangle."""
    rectangle = Rectangle(*(number(row[key]) for key in ("x_mm", "y_mm", "width_mm", "height_mm")))
    if min(rectangle.width_mm, rectangle.height_mm) <= 0.0:
        raise ValueError("a place has no size")
    return rectangle


def bar(row: Json, window: Rectangle) -> Rectangle:
    """Return the bar under a window."""
    return Rectangle(window.x_mm, window.bottom_mm, window.width_mm, number(row["bar_mm"]))


def number(value: object) -> float:
    """Return a finite number."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError(f"{value!r} is not a number")
    return float(value)


def _check(card: Frame[Window], raw: Json) -> None:
    if raw["dictionary"] != DICTIONARY:
        raise ValueError("unknown markers")
    pages = set(range(1, card.pages + 1))
    for each in (card.windows, card.markers, card.greys, card.papers):
        if {row.page for row in each} != pages:
            raise ValueError("a page is incomplete")
    numbers = [marker.number for marker in card.markers]
    if len(set(numbers)) != len(numbers) or not set(numbers) <= set(range(NUMBERS)):
        raise ValueError("the markers' numbers are wrong")
    windows = [each for each in card.windows if isinstance(each, PaintWindow)]
    paints = {each.tube for each in windows} | {each.other for each in windows if each.other}
    if paints != {tube.name for tube in tubes_of(raw)}:
        raise ValueError("the windows are not those of the tubes")


def _reason(error: Exception) -> str:
    return f"it lacks {error}" if isinstance(error, KeyError) else str(error)
