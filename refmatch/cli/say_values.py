"""A value finder, and what a photo tells of one, at the prompt."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from refmatch.dabs.value_finder import MeasuredFinder, ValueFinder, value_label
from refmatch.encode import Json


def finder(found: MeasuredFinder | None, files: Mapping[str, Path]) -> Iterator[str]:
    """Yield what a photo tells of a value finder, and where one was written."""
    if found is not None:
        yield "Its steps, as this printer prints them:"
        for step in found.steps:
            yield f"   {value_label(step.value):>4} prints as {step.true:.1f}"
        yield f"It prints values from {found.darkest:.1f} to {found.lightest:.1f}, its paper."
    if files:
        made = "A finder for this printer" if found else "The value finder"
        yield f"{made}: {files['card']}; its layout, for a photo of it: {files['card_file']}"


def finder_in_json(card: ValueFinder, found: MeasuredFinder | None) -> Json:
    """Return the steps of a finder that is printed, and what a photo told of the one before."""
    measured = None
    if found is not None:
        measured = {
            "steps": [
                {"value": step.value, "sent": step.sent, "true": step.true} for step in found.steps
            ],
            "darkest": found.darkest,
            "lightest": found.lightest,
            "by_chart": found.by_chart,
        }
    return {
        "paper": card.paper,
        "neutral_value": card.neutral_value,
        "steps": [{"value": window.value, "sent": window.sent} for window in card.strip],
        "measured": measured,
    }
