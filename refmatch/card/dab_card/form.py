"""The dab card as a JSON file, kept in its painting's folder."""

from __future__ import annotations

from pathlib import Path

from refmatch.card import frame_form as form
from refmatch.card.dab_card.layout import DabCard, TargetWindow
from refmatch.card.layout import PaintWindow
from refmatch.errors import CardError

FORMAT = "refmatch-dab-card"


def card_to_json(card: DabCard) -> str:
    """Write a card as JSON text; `card_from_json` reads the same card back."""
    content = {
        "format": FORMAT,
        "version": form.VERSION,
        "painting": {"title": card.title, "parts_by": card.parts_by, "white": card.white},
        **form.paper_rows(card),
        "tubes": [form.tube_row(tube) for tube in card.tubes],
        "targets": [_target_row(window) for window in card.targets],
        "windows": [form.paint_row(window) for window in card.paints],
        **form.place_rows(card),
    }
    return form.as_text(content)


def read_card_file(path: Path) -> DabCard:
    """Read the file of a dab card.

    Raises:
        CardError: it is not there, not JSON, or not a dab card.
    """
    if not path.exists():
        raise CardError("no_dab_card", folder=str(path.parent))
    return card_from_json(form.read_text(path), str(path))


def card_from_json(text: str, where: str = "the card") -> DabCard:
    """Read a dab card from JSON text; ``where`` names it in a complaint.

    Raises:
        CardError: not JSON, not a dab card, or from a newer refmatch.
    """
    return form.read_card(text, where, FORMAT, _card)


def _card(raw: form.Json) -> DabCard:
    painting = raw["painting"]
    targets = form.rows(raw, "targets", _target)
    if len({each.target for each in targets}) != len(targets):
        raise ValueError("two targets have one name")
    paints: tuple[PaintWindow, ...] = form.rows(raw, "windows", form.paint_window)
    return DabCard(
        paper=str(raw["paper"]),
        width_mm=form.number(raw["width_mm"]),
        height_mm=form.number(raw["height_mm"]),
        pages=int(raw["pages"]),
        neutral_value=form.number(raw["neutral_value"]),
        windows=(*targets, *paints),
        markers=form.markers_of(raw),
        greys=form.greys_of(raw),
        papers=form.papers_of(raw),
        title=str(painting["title"]),
        parts_by=str(painting["parts_by"]),
        white=None if painting["white"] is None else str(painting["white"]),
        tubes=form.tubes_of(raw),
    )


def _target_row(window: TargetWindow) -> form.Json:
    return {
        **form.window_row(window),
        "number": window.number,
        "target": window.target,
        "lab": list(window.lab),
        "words": window.words,
        "recipe": window.recipe,
    }


def _target(row: form.Json) -> TargetWindow:
    place = form.place(row)
    lightness, a, b = (form.number(value) for value in row["lab"])
    return TargetWindow(
        page=int(row["page"]),
        place=place,
        bar=form.bar(row, place),
        number=int(row["number"]),
        target=str(row["target"]),
        lab=(lightness, a, b),
        words=str(row["words"]),
        recipe=str(row["recipe"]),
    )
