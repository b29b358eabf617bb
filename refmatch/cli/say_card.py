"""What is printed of a card."""

from __future__ import annotations

from pathlib import Path

from refmatch.card.dab_card.layout import DabCard
from refmatch.card.layout import Card


def card(made: Card, out: Path, layout: Path) -> str:
    """Return which dabs to paint, tube by tube, and what was written."""
    width = max(len(tube.name) for tube in made.tubes)
    lines = [
        f"{made.box_name}: {len(made.windows)} dabs on {_pages(made.pages)}, "
        f"parts by {made.parts_by}",
        "",
    ]
    for tube in made.tubes:
        windows = [window for window in made.windows if window.tube == tube.name]
        parts = ", ".join(window.parts_in_words for window in windows)
        lines.append(f"{tube.name:{width}}  {parts}")
    lines += ["", f"Written to {out}; keep {layout}, which is needed to read the photo."]
    return "\n".join(lines)


def dab_card(made: DabCard, out: Path, painting: Path) -> str:
    """Return which dabs to paint in which window, and what to do with the card."""
    count = len(made.targets)
    rows = [(f"{each.number}", each.target, each.recipe or "no recipe") for each in made.targets]
    first = [each for each in made.paints if each.page == 1]
    rows += [("", each.tube, each.parts_in_words) for each in first]
    wide, label = (max(len(row[column]) for row in rows) for column in (0, 1))
    lines = [
        f"{made.title}: {count} dab{'s' if count > 1 else ''} on {_pages(made.pages)}, "
        f"parts by {made.parts_by}",
        "",
        *(f"{number:>{wide}}  {name:{label}}  {parts}" for number, name, parts in rows),
        "",
        f"Written to {out}. Paint the dabs, photograph each page, and say",
        f"refmatch check PHOTO --painting {painting}",
    ]
    return "\n".join(lines)


def _pages(pages: int) -> str:
    return "1 page" if pages == 1 else f"{pages} pages"
