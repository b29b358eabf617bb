"""What only the prompt says in JSON, and how all of it is printed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from refmatch.cli.remedies import REMEDIES
from refmatch.encode import Json, dump, envelope, looked_at
from refmatch.flag import Flag
from refmatch.say.sentence import sentence_of

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.dabs.card import Card
    from refmatch.dabs.chart import ChartUse
    from refmatch.dabs.dab_card import DabCard
    from refmatch.painting.model import Learnt, NotTaken, Painting

__all__ = ["looked_at", "print_json"]


def print_json(content: Json, flags: Iterable[Flag] = ()) -> None:
    """Print one JSON object: the content encoded, and what every answer states."""
    print(dumped(content, flags))


def dumped(content: Json, flags: Iterable[Flag] = ()) -> str:
    """Return what `print_json` prints."""
    return dump(envelope(content, flags, REMEDIES))


def card_of_box(card: Card, out: Path, layout: Path) -> Json:
    """Return which dabs a card has windows for, and where PDF and layout were written."""
    return {
        "card": out,
        "card_file": layout,
        "box": card.box_name,
        "parts_by": card.parts_by,
        **_frame(card),
        "windows": card.windows,
    }


def card_of_painting(card: DabCard, out: Path, layout: Path) -> Json:
    """Return which targets a dab card has windows for, and where PDF and layout were written."""
    return {
        "card": out,
        "card_file": layout,
        "painting": card.title,
        "parts_by": card.parts_by,
        **_frame(card),
        "targets": card.targets,
        "windows": card.paints,
    }


def _frame(card: Card | DabCard) -> Json:
    return {"paper": card.paper, "pages": card.pages, "neutral_value": card.neutral_value}


def charts(uses: Sequence[ChartUse]) -> Json:
    """Return whether 24-patch charts were seen and used; photo by photo where there are several.

    The residual is that of the photo whose chart fits worst.
    """
    misses = [use.residual for use in uses if use.residual is not None]
    content: Json = {
        "found": any(use.found for use in uses),
        "patches_used": sum(use.patches_used for use in uses),
        "residual_delta_e_00": max(misses, default=None),
    }
    if len(uses) > 1:
        content["photos"] = [{"photo": use.photo} | charts([use]) for use in uses]
    return content


def look(painting: Painting, digest: str) -> Json:
    """Return a photo of dabs, named by its SHA-256: its file in the folder, and whose dabs."""
    kept = next((look for look in painting.looks if look.photo.sha256 == digest), None)
    return {
        "photo": kept.photo.file if kept else None,
        "date": kept.date if kept else None,
        "targets": [row.target for row in painting.rounds if row.look == digest],
    }


def not_taken(painting: Painting, left_out: Iterable[NotTaken]) -> list[Json]:
    """Return photos that were left out, each with its reason."""
    return [
        {
            **look(painting, photo.look),
            "name": photo.why,
            "reason": sentence_of(photo.flag, REMEDIES),
        }
        for photo in left_out
    ]


def updates(painting: Painting) -> list[Json]:
    """Return every update that was ever made, oldest first; those taken back do not stand."""
    from refmatch.painting.learning import standing

    stand = list(standing(painting.box, painting.learnings))
    return [update(painting, made, stands=made in stand) for made in painting.learnings]


def update(painting: Painting, made: Learnt, *, stands: bool) -> Json:
    """Return one update with its reasons; ``stands`` says whether the box rests on it now."""
    return {
        "date": made.date,
        "stands": stands,
        "box_before": made.before.file,
        "box_after": made.after.file,
        "taken_in": [look(painting, digest) for digest in made.taken],
        "left_out": not_taken(painting, made.left_out),
        "changes": made.changes,
    }
