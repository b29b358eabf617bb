"""What the studio begins with, as the page gets it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from refmatch.encode import Json, encode
from refmatch.paint.box import Box
from refmatch.paint.library import pigments
from refmatch.web.shown import page

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.painting.model import TubeOnTable
    from refmatch.web.desk import Card


def start_shown(
    cards: Iterable[Card],
    samples: Iterable[str],
    boxes: Mapping[str, Box],
    table: Iterable[TubeOnTable],
) -> Json:
    """Return paintings, sample photos, boxes and pigments to begin with.

    ``table`` holds each built-in pigment as a tube, named by the pigment's key.
    """
    content = {
        "paintings": [_card(card) for card in cards],
        "samples": [{"name": name, "title": _title(name)} for name in samples],
        "boxes": [
            {"id": key, "name": box.name, "tubes": [tube.name for tube in box.tubes]}
            for key, box in boxes.items()
        ],
        "pigments": [
            {**encode(pigments()[tube.name]), "masstone": tube.masstone, "tint": tube.tint}
            for tube in table
        ],
    }
    return page(content)


def _card(card: Card) -> Json:
    return {
        "id": card.key,
        "title": card.title,
        "date": card.date,
        "saved_at": card.saved_at,
        "holes": card.holes,
        "colours": list(card.colours),
    }


def _title(name: str) -> str:
    words = name.replace("-", " ")
    return words[:1].upper() + words[1:]
