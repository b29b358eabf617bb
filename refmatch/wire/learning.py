"""What a painting's box has learnt from its dabs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from refmatch.say.sentence import sentence_of
from refmatch.wire.envelope import Json, number

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.painting.learnings import Changed, Learnt, NotTaken
    from refmatch.painting.model import Painting


def wire_change(change: Changed) -> Json:
    """Return what was learnt of one tube, beside what was assumed of it."""
    return {
        "tube": change.tube,
        "strength_percent": number(change.strength_percent, 1),
        "is_other": change.is_other,
        "words": change.words,
    }


def wire_look(painting: Painting, look: str) -> Json:
    """Return a photo of dabs, named by its SHA-256: its file in the folder, and whose dabs."""
    found = next((each for each in painting.looks if each.photo.sha256 == look), None)
    return {
        "photo": found.photo.file if found else None,
        "date": found.date if found else None,
        "targets": [each.target for each in painting.rounds if each.look == look],
    }


def wire_not_taken(painting: Painting, left_out: Sequence[NotTaken]) -> list[Json]:
    """Return photos that were left out, each with its reason."""
    return [
        {**wire_look(painting, each.look), "name": each.why, "reason": sentence_of(each.flag)}
        for each in left_out
    ]


def wire_updates(painting: Painting) -> list[Json]:
    """Return every update that was ever made, oldest first; those taken back do not stand."""
    from refmatch.painting.learnings import standing

    stand = list(standing(painting.box, painting.learnings))
    return [wire_update(painting, each, stands=each in stand) for each in painting.learnings]


def wire_update(painting: Painting, update: Learnt, *, stands: bool) -> Json:
    """Return one update with its reasons; ``stands`` says whether the box rests on it now."""
    return {
        "date": update.date,
        "stands": stands,
        "box_before": update.before.file,
        "box_after": update.after.file,
        "taken_in": [wire_look(painting, each) for each in update.taken],
        "left_out": wire_not_taken(painting, update.left_out),
        "changes": [wire_change(each) for each in update.changes],
    }
