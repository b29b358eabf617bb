"""The calibration card as a JSON file, written beside its PDF."""

from __future__ import annotations

from pathlib import Path

from refmatch.card import frame_form as form
from refmatch.card.layout import Card

FORMAT = "refmatch-card"


def card_to_json(card: Card) -> str:
    """Write a card as JSON text; `card_from_json` reads the same card back."""
    content = {
        "format": FORMAT,
        "version": form.VERSION,
        "box": {
            "name": card.box_name,
            "digest": card.box_digest,
            "parts_by": card.parts_by,
            "white": card.white,
        },
        **form.paper_rows(card),
        "tubes": [form.tube_row(tube) for tube in card.tubes],
        "windows": [form.paint_row(window) for window in card.windows],
        **form.place_rows(card),
    }
    return form.as_text(content)


def read_card_file(path: Path) -> Card:
    """Read a card's JSON file.

    Raises:
        CardError: it is not there, not JSON, or not a card.
    """
    return card_from_json(form.read_text(path), str(path))


def card_from_json(text: str, where: str = "the card") -> Card:
    """Read a card from JSON text; ``where`` names it in a complaint.

    Raises:
        CardError: not JSON, not a card, or from a newer refmatch.
    """
    return form.read_card(text, where, FORMAT, _card)


def _card(raw: form.Json) -> Card:
    box = raw["box"]
    return Card(
        paper=str(raw["paper"]),
        width_mm=form.number(raw["width_mm"]),
        height_mm=form.number(raw["height_mm"]),
        pages=int(raw["pages"]),
        neutral_value=form.number(raw["neutral_value"]),
        windows=form.rows(raw, "windows", form.paint_window),
        markers=form.markers_of(raw),
        greys=form.greys_of(raw),
        papers=form.papers_of(raw),
        box_name=str(box["name"]),
        box_digest=str(box["digest"]),
        parts_by=str(box["parts_by"]),
        white=str(box["white"]),
        tubes=form.tubes_of(raw),
    )
