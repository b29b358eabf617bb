"""Holes: punched, moved, sized, named and taken away."""

from __future__ import annotations

from dataclasses import replace

from refmatch.errors import UsageError
from refmatch.painting.asked import Asked, AskedHole
from refmatch.verbs.studio.changes.common import (
    Changed,
    Table,
    called,
    diameter,
    hole_of,
    new_key,
    number_of,
    place,
    usual_diameter,
    with_hole,
)
from refmatch.verbs.studio.fields import Fields

MOST_HOLES = 200


def punch(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Punch a hole; without a diameter it is as wide as the last one, or the usual."""
    _check_room(asked, 1)
    x_px, y_px = place(asked, fields, table)
    usual = asked.holes[-1].diameter_px if asked.holes else usual_diameter(table.reckoner, asked)
    wide = diameter(fields) if "diameter_px" in fields else usual
    hole = AskedHole(new_key(), x_px, y_px, wide)
    holes = (*asked.holes, hole)
    return Changed(replace(asked, holes=holes), f"punch hole {number_of(holes, hole)}", hole.key)


def move(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Move a hole."""
    hole = hole_of(asked, fields)
    x_px, y_px = place(asked, fields, table)
    moved = replace(hole, x_px=x_px, y_px=y_px, share=None)  # it may lie in another mass now
    return with_hole(asked, moved, f"move {called(asked, hole)}")


def size(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Make a hole wider or narrower."""
    hole = hole_of(asked, fields)
    wide = replace(hole, diameter_px=diameter(fields))
    return with_hole(asked, wide, f"size {called(asked, hole)}")


def name(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Name a hole; an empty name gives it its number back."""
    hole = hole_of(asked, fields)
    label = fields.text("label")
    if label.isdigit():
        raise UsageError("hole_called_by_number")
    if any(label and other.label == label for other in asked.holes if other.key != hole.key):
        raise UsageError("another_hole_called", label=label)
    said = f"name {called(asked, hole)} {label}" if label else f"clear the name {hole.label}"
    return with_hole(asked, replace(hole, label=label), said)


def remove(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Take a hole away."""
    hole = hole_of(asked, fields)
    holes = tuple(other for other in asked.holes if other.key != hole.key)
    return Changed(replace(asked, holes=holes), f"remove {called(asked, hole)}")


def punch_masses(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Punch a hole in each mass of the picture that has none by its name."""
    count = int(fields.number("count", 1, 24)) if "count" in fields else None
    fresh = table.reckoner.mass_holes(asked, count)
    _check_room(asked, len(fresh))
    wanted = replace(asked, holes=asked.holes + fresh, masses=count)
    return Changed(wanted, f"punch {len(fresh)} masses")


def _check_room(asked: Asked, more: int) -> None:
    if len(asked.holes) + more > MOST_HOLES:
        raise UsageError("too_many_holes", most=MOST_HOLES)
