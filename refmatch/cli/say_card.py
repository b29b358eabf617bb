"""What is printed of a calibration card."""

from __future__ import annotations

from pathlib import Path

from refmatch.card.layout import Card


def card(made: Card, out: Path, layout: Path) -> str:
    """Return which dabs to paint, tube by tube, and what was written."""
    width = max(len(tube.name) for tube in made.tubes)
    pages = "1 page" if made.pages == 1 else f"{made.pages} pages"
    lines = [f"{made.box_name}: {len(made.windows)} dabs on {pages}, parts by {made.parts_by}", ""]
    for tube in made.tubes:
        windows = [window for window in made.windows if window.tube == tube.name]
        parts = ", ".join(window.parts_in_words for window in windows)
        lines.append(f"{tube.name:{width}}  {parts}")
    lines += ["", f"Written to {out}; keep {layout}, which is needed to read the photo."]
    return "\n".join(lines)
