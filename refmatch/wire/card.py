"""The printed cards: what is painted where."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from refmatch.wire.envelope import Json, envelope, number

if TYPE_CHECKING:
    from refmatch.card.chart.read import ChartUse
    from refmatch.card.dab_card.layout import DabCard, TargetWindow
    from refmatch.card.layout import Card, PaintWindow, Window


def wire_card(card: Card, out: Path, layout: Path) -> Json:
    """Return which dabs a card has windows for, and where PDF and layout were written."""
    return envelope(
        {
            "card": str(out),
            "card_file": str(layout),
            "box": card.box_name,
            "parts_by": card.parts_by,
            "paper": card.paper,
            "pages": card.pages,
            "neutral_value": number(card.neutral_value),
            "windows": [wire_window(window) for window in card.windows],
        }
    )


def wire_dab_card(card: DabCard, out: Path, layout: Path) -> Json:
    """Return which targets a dab card has windows for, and where PDF and layout were written."""
    return envelope(
        {
            "card": str(out),
            "card_file": str(layout),
            "painting": card.title,
            "parts_by": card.parts_by,
            "paper": card.paper,
            "pages": card.pages,
            "neutral_value": number(card.neutral_value),
            "targets": [_target(window) for window in card.targets],
            "windows": [wire_window(window) for window in card.paints],
        }
    )


def wire_window(window: PaintWindow) -> Json:
    """Return one window: what to paint in it, and where it lies on its page."""
    return {
        "page": window.page,
        "tube": window.tube,
        "parts": window.parts,
        "white_parts": window.white_parts,
        **_place(window),
    }


def _target(window: TargetWindow) -> Json:
    return {
        "page": window.page,
        "number": window.number,
        "label": window.target,
        "lab": [number(value) for value in window.lab],
        "words": window.words,
        "recipe": window.recipe or None,
        **_place(window),
    }


def _place(window: Window) -> Json:
    return {
        "x_mm": number(window.place.x_mm),
        "y_mm": number(window.place.y_mm),
        "width_mm": number(window.place.width_mm),
        "height_mm": number(window.place.height_mm),
    }


def wire_charts(charts: Sequence[ChartUse]) -> Json:
    """Return whether 24-patch charts were found and used; photo by photo where there are several.

    The residual is that of the photo whose chart fits worst.
    """
    misses = [chart.residual for chart in charts if chart.residual is not None]
    content: Json = {
        "found": any(chart.found for chart in charts),
        "patches_used": sum(chart.patches_used for chart in charts),
        "residual_delta_e_00": number(max(misses)) if misses else None,
    }
    if len(charts) > 1:
        content["photos"] = [{"photo": each.photo} | wire_charts([each]) for each in charts]
    return content
