"""What every change takes and gives, and what changes have in common."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass, replace

from refmatch.errors import UsageError
from refmatch.painting.asked import Asked, AskedHole
from refmatch.painting.reckon import Reckoner
from refmatch.photo.place import DEFAULT_DIAMETER_PERCENT, LEAST_DIAMETER_PX
from refmatch.verbs.studio.fields import Fields


@dataclass(frozen=True, eq=False)
class Table:
    """What a change may look at: the photo's reckoner, and boxes (TOML text) by their id."""

    reckoner: Reckoner
    box_text: Callable[[str], str]


@dataclass(frozen=True)
class Changed:
    """What is asked now, what was done in words, and the key of a hole that is new."""

    asked: Asked
    said: str
    made: str | None = None


Change = Callable[[Asked, Fields, Table], Changed]


def usual_diameter(reckoner: Reckoner, asked: Asked) -> float:
    """Return the usual width of a hole on this photo, in pixels."""
    view = reckoner.view(asked.frame)
    shorter = min(view.width_px, view.height_px)
    return tenth(max(DEFAULT_DIAMETER_PERCENT / 100.0 * shorter, LEAST_DIAMETER_PX))


def place(asked: Asked, fields: Fields, table: Table) -> tuple[float, float]:
    """Read a place in the frame's pixels, and return it in the whole photo's."""
    view = table.reckoner.view(asked.frame)
    x_px = fields.number("x_px", 0.0, view.width_px)
    y_px = fields.number("y_px", 0.0, view.height_px)
    return tenth(x_px) + view.left_px, tenth(y_px) + view.top_px


def diameter(fields: Fields) -> float:
    """Read how wide a hole is to be, in pixels."""
    return tenth(fields.number("diameter_px", 1.0, 1e5))


def tenth(length_px: float) -> float:
    """Return a length in tenths of a pixel: so a hole reads what was read before it was punched."""
    return round(length_px, 1)


def hole_of(asked: Asked, fields: Fields) -> AskedHole:
    """Return the hole that a change speaks of.

    Raises:
        UsageError: it is no longer there.
    """
    key = fields.text("hole")
    for hole in asked.holes:
        if hole.key == key:
            return hole
    raise UsageError("hole_taken_away")


def with_hole(asked: Asked, hole: AskedHole, said: str) -> Changed:
    """Put a hole in place of the one of its key."""
    holes = tuple(hole if other.key == hole.key else other for other in asked.holes)
    return Changed(replace(asked, holes=holes), said)


def called(asked: Asked, hole: AskedHole) -> str:
    """Return what a hole is called in words: its name, or its number."""
    return hole.label or f"hole {number_of(asked.holes, hole)}"


def number_of(holes: tuple[AskedHole, ...], hole: AskedHole) -> int:
    """Return a hole's place in the row, from 1."""
    return [other.key for other in holes].index(hole.key) + 1


def new_key() -> str:
    """Return a key that no other hole has."""
    return f"h{secrets.token_hex(4)}"
