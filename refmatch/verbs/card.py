"""The calibration card: printed for a box, its layout written beside the PDF."""

from __future__ import annotations

import json
from pathlib import Path

from refmatch.card.compose import compose
from refmatch.card.form import FORMAT, card_to_json
from refmatch.card.layout import Card
from refmatch.card.page import GREY_CARD_LSTAR
from refmatch.disk import check_folder_of, write_whole
from refmatch.errors import OutputError, UsageError
from refmatch.verbs.mix import open_box


def make_card(
    box: Path | None, out: Path, paper: str = "a4", neutral_value: float = GREY_CARD_LSTAR
) -> Card:
    """Write a box's calibration card as ``out`` and its layout as the .json beside it.

    Raises:
        BoxError: no such box, or it has no white. UsageError: not a .pdf, no such paper, no L*
            of a grey. OutputError: it cannot be written, or that .json is something else.
    """
    if out.suffix.lower() != ".pdf":
        raise UsageError(f"The card is a PDF; name it '{out.with_suffix('.pdf').name}'.")
    check_folder_of(out)
    card = compose(open_box(box), paper, neutral_value)
    from refmatch.card import pdf  # ReportLab is slow to import

    printed = pdf.write(card)
    layout = layout_beside(out)
    _refuse_to_overwrite(layout)
    write_whole(layout, card_to_json(card).encode("utf-8"))
    write_whole(out, printed)
    return card


def layout_beside(out: Path) -> Path:
    """Return where the layout of a card is written: beside its PDF."""
    return out.with_suffix(".json")


def _refuse_to_overwrite(layout: Path) -> None:
    """Write over an older card, never over a JSON file of anybody else's."""
    if not layout.exists():
        return
    try:
        found = json.loads(layout.read_text("utf-8"))
    except (OSError, ValueError):
        found = None
    if not isinstance(found, dict) or found.get("format") != FORMAT:
        raise OutputError(
            f"The card's layout would be written over '{layout}', which is no card; choose "
            "another name."
        )
