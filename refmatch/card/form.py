"""The card as a JSON file: written beside the PDF, and read again with every doubt spoken."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any, TypeVar

from refmatch.card.layout import Card, CardTube, GreyPlace, Marker, PlainPaper, Window
from refmatch.card.markers import DICTIONARY, NUMBERS
from refmatch.card.place import Place
from refmatch.errors import CardError

FORMAT = "refmatch-card"
VERSION = 1

Json = dict[str, Any]
Row = TypeVar("Row")


def card_to_json(card: Card) -> str:
    """Write a card as JSON text; `card_from_json` reads the same card back."""
    content = {
        "format": FORMAT,
        "version": VERSION,
        "box": {
            "name": card.box_name,
            "digest": card.box_digest,
            "parts_by": card.parts_by,
            "white": card.white,
        },
        "paper": card.paper,
        "width_mm": card.width_mm,
        "height_mm": card.height_mm,
        "pages": card.pages,
        "neutral_value": card.neutral_value,
        "tubes": [{"name": tube.name, "pigments": list(tube.pigments)} for tube in card.tubes],
        "windows": [_window_row(window) for window in card.windows],
        "dictionary": DICTIONARY,
        "markers": [{"number": m.number, "page": m.page, **asdict(m.place)} for m in card.markers],
        "greys": [{"page": grey.page, **asdict(grey.place)} for grey in card.greys],
        "plain_paper": [{"page": each.page, **asdict(each.place)} for each in card.papers],
    }
    return json.dumps(content, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def read_card_file(path: Path) -> Card:
    """Read a card's JSON file.

    Raises:
        CardError: it is not there, not JSON, or not a card.
    """
    try:
        text = Path(path).read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise CardError(
            f"The card file '{path}' cannot be read; 'refmatch card' writes it beside the PDF."
        ) from error
    return card_from_json(text, str(path))


def card_from_json(text: str, where: str = "the card") -> Card:
    """Read a card from JSON text; ``where`` names it in a complaint.

    Raises:
        CardError: not JSON, not a card, or from a newer refmatch.
    """
    try:
        raw = json.loads(text)
    except ValueError as error:
        raise CardError(
            f"'{where}' is not a card file: {error}; give the .json that 'refmatch card' wrote."
        ) from error
    if not isinstance(raw, dict) or raw.get("format") != FORMAT:
        raise CardError(
            f"'{where}' is not a card file; give the .json that 'refmatch card' wrote with the PDF."
        )
    if not isinstance(raw.get("version"), int) or raw["version"] > VERSION:
        raise CardError(f"'{where}' was written by a newer refmatch; update refmatch to read it.")
    try:
        card = _card(raw)
        _check(card, raw)
    except (KeyError, TypeError, ValueError) as error:
        raise CardError(
            f"The card file '{where}' is damaged ({_reason(error)}); make the card again."
        ) from error
    return card


def _card(raw: Json) -> Card:
    box = raw["box"]
    return Card(
        box_name=str(box["name"]),
        box_digest=str(box["digest"]),
        parts_by=str(box["parts_by"]),
        paper=str(raw["paper"]),
        width_mm=_number(raw["width_mm"]),
        height_mm=_number(raw["height_mm"]),
        pages=int(raw["pages"]),
        neutral_value=_number(raw["neutral_value"]),
        white=str(box["white"]),
        tubes=_rows(raw, "tubes", lambda row: CardTube(row["name"], tuple(row["pigments"]))),
        windows=_rows(raw, "windows", _window),
        markers=_rows(
            raw, "markers", lambda row: Marker(int(row["number"]), int(row["page"]), _place(row))
        ),
        greys=_rows(raw, "greys", lambda row: GreyPlace(int(row["page"]), _place(row))),
        papers=_rows(raw, "plain_paper", lambda row: PlainPaper(int(row["page"]), _place(row))),
    )


def _check(card: Card, raw: Json) -> None:
    if raw["dictionary"] != DICTIONARY:
        raise ValueError("unknown markers")
    pages = set(range(1, card.pages + 1))
    for rows in (card.windows, card.markers, card.greys, card.papers):
        if {row.page for row in rows} != pages:
            raise ValueError("a page is incomplete")
    numbers = [marker.number for marker in card.markers]
    if len(set(numbers)) != len(numbers) or not set(numbers) <= set(range(NUMBERS)):
        raise ValueError("the markers' numbers are wrong")
    if {window.tube for window in card.windows} != {tube.name for tube in card.tubes}:
        raise ValueError("the windows are not those of the tubes")


def _rows(raw: Json, key: str, make: Callable[[Json], Row]) -> tuple[Row, ...]:
    rows: Sequence[Json] = raw[key]
    return tuple(make(row) for row in rows)


def _window_row(window: Window) -> Json:
    return {
        "page": window.page,
        **asdict(window.place),
        "bar_mm": window.bar.height_mm,
        "tube": window.tube,
        "parts": window.parts,
        "white_parts": window.white_parts,
    }


def _window(row: Json) -> Window:
    place = _place(row)
    bar = Place(place.x_mm, place.bottom_mm, place.width_mm, _number(row["bar_mm"]))
    parts, white_parts = int(row["parts"]), int(row["white_parts"])
    if parts < 1 or white_parts < 0:
        raise ValueError("a window has no parts")
    return Window(int(row["page"]), place, bar, str(row["tube"]), parts, white_parts)


def _place(row: Json) -> Place:
    place = Place(*(_number(row[key]) for key in ("x_mm", "y_mm", "width_mm", "height_mm")))
    if min(place.width_mm, place.height_mm) <= 0.0:
        raise ValueError("a place has no size")
    return place


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError(f"{value!r} is not a number")
    return float(value)


def _reason(error: Exception) -> str:
    return f"it lacks {error}" if isinstance(error, KeyError) else str(error)
