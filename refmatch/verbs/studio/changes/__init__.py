"""What a painter can change on the page: one function a change, one line each in `CHANGES`.

A change takes what was asked and gives what is asked now, with a few words of what
was done, for undoing it. It reckons nothing and touches no file.
"""

from __future__ import annotations

from refmatch.verbs.studio.changes import holes, mixing, picture
from refmatch.verbs.studio.changes.common import Change, Changed, Table

__all__ = ["CHANGES", "Change", "Changed", "Table"]

CHANGES: dict[str, Change] = {
    "punch": holes.punch,
    "move": holes.move,
    "size": holes.size,
    "name": holes.name,
    "remove": holes.remove,
    "punch_masses": holes.punch_masses,
    "title": picture.title,
    "light": picture.light,
    "crop": picture.crop,
    "canvas": picture.canvas,
    "box": mixing.box,
    "away": mixing.away,
    "habits": mixing.habits,
    "choose": mixing.choose,
    "options": mixing.options,
    "plan": mixing.plan,
}
"""Every change by the word the page has for it."""
