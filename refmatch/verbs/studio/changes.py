"""What a painter can change on the page: one function a change, one line each in `CHANGES`.

A change takes what was asked and gives what is asked now, with a few words of what
was done, for undoing it. It reckons nothing and touches no file.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass, replace

from refmatch.errors import UsageError
from refmatch.painting.asked import Asked, AskedHole, AskedLight, Canvas
from refmatch.photo.balance import METHODS
from refmatch.photo.crop import Frame
from refmatch.photo.place import DEFAULT_DIAMETER_PERCENT, LEAST_DIAMETER_PX
from refmatch.verbs.studio.fields import Fields
from refmatch.verbs.studio.reckoner import Reckoner

MOST_HOLES = 200
LEAST_SIDE_PX = 30
FINISHES = ("gloss", "satin", "matt")
LAMPS = ("D50", "A", "LED-B3")


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


def punch(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Punch a hole; without a diameter it is as wide as the last one, or the usual."""
    _check_room(asked, 1)
    x_px, y_px = _place(asked, fields, table)
    usual = asked.holes[-1].diameter_px if asked.holes else usual_diameter(table.reckoner, asked)
    diameter = fields.number("diameter_px", 1.0, 1e5) if "diameter_px" in fields else usual
    hole = AskedHole(_new_key(), x_px, y_px, diameter)
    holes = (*asked.holes, hole)
    return Changed(replace(asked, holes=holes), f"punch hole {_number(holes, hole)}", hole.key)


def move(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Move a hole."""
    hole = _hole(asked, fields)
    x_px, y_px = _place(asked, fields, table)
    return _with_hole(asked, replace(hole, x_px=x_px, y_px=y_px), f"move {_called(asked, hole)}")


def size(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Make a hole wider or narrower."""
    hole = _hole(asked, fields)
    wide = replace(hole, diameter_px=fields.number("diameter_px", 1.0, 1e5))
    return _with_hole(asked, wide, f"size {_called(asked, hole)}")


def name(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Name a hole; an empty name gives it its number back."""
    hole = _hole(asked, fields)
    label = fields.text("label")
    if label.isdigit():
        raise UsageError("A hole that is called by a number would be mistaken; give it a word.")
    if any(label and other.label == label for other in asked.holes if other.key != hole.key):
        raise UsageError(f"Another hole is called '{label}'; give each its own name.")
    said = f"name {_called(asked, hole)} {label}" if label else f"unname {_called(asked, hole)}"
    return _with_hole(asked, replace(hole, label=label), said)


def remove(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Take a hole away."""
    hole = _hole(asked, fields)
    holes = tuple(other for other in asked.holes if other.key != hole.key)
    return Changed(replace(asked, holes=holes), f"take away {_called(asked, hole)}")


def punch_masses(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Punch a hole in each mass of the picture that has none by its name."""
    count = int(fields.number("count", 1, 24)) if "count" in fields else None
    view = table.reckoner.view(asked.frame)
    found = table.reckoner.masses(asked.frame, asked.light, count)
    taken = {hole.label for hole in asked.holes}
    fresh = tuple(
        AskedHole(
            _new_key(),
            each.x_px + view.left_px,
            each.y_px + view.top_px,
            each.diameter_px,
            each.label,
        )
        for each in found.items
        if each.label not in taken
    )
    _check_room(asked, len(fresh))
    wanted = replace(asked, holes=asked.holes + fresh, masses=count)
    return Changed(wanted, f"punch {len(fresh)} masses")


def title(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Call the painting something else."""
    told = fields.text("title")
    if not told:
        raise UsageError("A painting needs a title; give it a word.")
    return Changed(replace(asked, title=told), "change the title")


def light(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Take the light out another way, or keep more of it. The spot may lie outside the crop."""
    view = table.reckoner.view(asked.frame)
    method = fields.text("method") if "method" in fields else asked.light.method
    if method not in METHODS and method != asked.light.method:
        raise UsageError(f"There is no way '{method}' to find the light.")
    whole = table.reckoner.whole
    x_px = fields.number_or_none("x_px", -view.left_px, whole.width_px - view.left_px)
    y_px = fields.number_or_none("y_px", -view.top_px, whole.height_px - view.top_px)
    if method in ("neutral", "white") and (x_px is None or y_px is None):
        raise UsageError("Click the thing in the photo that is truly neutral.")
    usual = usual_diameter(table.reckoner, asked)
    wanted = AskedLight(
        method=method,
        x_px=None if x_px is None else x_px + view.left_px,
        y_px=None if y_px is None else y_px + view.top_px,
        diameter_px=fields.number_or_none("diameter_px", 1.0, 1e5) or usual,
        lstar=fields.number_or_none("lstar", 5.0, 100.0),
        kelvin=fields.number_or_none("kelvin", 1000.0, 40000.0),
        duv=fields.number_or_none("duv", -0.05, 0.05),
        keep_light=fields.number_or_none("keep_light_percent", 0.0, 100.0) or 0.0,
        set_exposure=fields.truth("set_exposure") if "set_exposure" in fields else True,
        saved=asked.light.saved if method == asked.light.method else None,
    )
    return Changed(replace(asked, light=wanted), "change the light")


def crop(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Cut the photo to what is painted, in pixels of the whole photo; with nothing, uncut it."""
    if "width_px" not in fields:
        return Changed(replace(asked, frame=None), "show the whole photo")
    whole = table.reckoner.whole
    width = round(fields.number("width_px", LEAST_SIDE_PX, whole.width_px))
    height = round(fields.number("height_px", LEAST_SIDE_PX, whole.height_px))
    left = round(fields.number("left_px", 0, whole.width_px - width))
    top = round(fields.number("top_px", 0, whole.height_px - height))
    return Changed(replace(asked, frame=Frame(left, top, width, height)), "crop the photo")


def canvas(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Say how large the canvas is, and how wide the squares on it; with nothing, forget it."""
    if "width_cm" not in fields:
        return Changed(replace(asked, canvas=None), "forget the canvas")
    wanted = Canvas(
        fields.number("width_cm", 1.0, 2000.0),
        fields.number("height_cm", 1.0, 2000.0),
        fields.number_or_none("grid_cm", 0.5, 500.0),
    )
    return Changed(replace(asked, canvas=wanted), "change the canvas")


def box(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Take another box; what was said of tubes that it lacks is forgotten."""
    text = table.box_text(fields.text("box"))
    names = {tube.name for tube in table.reckoner.box(text, asked.mixing.finish).tubes}
    holes = tuple(
        replace(
            hole,
            without=tuple(name for name in hole.without if name in names),
            insist=tuple(name for name in hole.insist if name in names),
        )
        for hole in asked.holes
    )
    away = tuple(name for name in asked.away if name in names)
    return Changed(replace(asked, box=text, holes=holes, away=away), "take another box")


def away(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Say which tubes are not on the table today."""
    names = _tubes(asked, fields.names("tubes"), table)
    return Changed(replace(asked, away=names), "change what is on the table")


def habits(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Hold tubes out of one hole's mix, or insist on them."""
    hole = _hole(asked, fields)
    wanted = replace(
        hole,
        without=_tubes(asked, fields.names("without"), table),
        insist=_tubes(asked, fields.names("insist"), table),
    )
    return _with_hole(asked, wanted, f"change the tubes of {_called(asked, hole)}")


def choose(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Choose another of a hole's recipes, by what sets it apart."""
    hole = _hole(asked, fields)
    return _with_hole(
        asked, replace(hole, choice=fields.text("why")), f"choose a mix for {_called(asked, hole)}"
    )


def options(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Change what goes for every recipe; what is not said stays as it is."""
    said: dict[str, object] = {}
    for key, least, most in (("tubes", 2, 5), ("total", 2, 64)):
        if key in fields:
            said[key] = int(fields.number(key, least, most))
    for key in ("easy_on_black", "no_white_in_darks", "no_stray_green"):
        if key in fields:
            said[key] = fields.truth(key)
    for key, known in (("finish", FINISHES), ("lamp", LAMPS)):
        if key in fields:
            said[key] = fields.text(key)
            if said[key] not in known:
                raise UsageError(f"There is no {key} '{said[key]}'; it is {', '.join(known)}.")
    mixing = replace(asked.mixing, **said)  # type: ignore[arg-type]
    return Changed(replace(asked, mixing=mixing), "change how mixes are made")


CHANGES: dict[str, Change] = {
    "punch": punch,
    "move": move,
    "size": size,
    "name": name,
    "remove": remove,
    "punch_masses": punch_masses,
    "title": title,
    "light": light,
    "crop": crop,
    "canvas": canvas,
    "box": box,
    "away": away,
    "habits": habits,
    "choose": choose,
    "options": options,
}
"""Every change by the word the page has for it."""


def usual_diameter(reckoner: Reckoner, asked: Asked) -> float:
    """Return the usual width of a hole on this photo, in pixels."""
    view = reckoner.view(asked.frame)
    shorter = min(view.width_px, view.height_px)
    return max(DEFAULT_DIAMETER_PERCENT / 100.0 * shorter, LEAST_DIAMETER_PX)


def _place(asked: Asked, fields: Fields, table: Table) -> tuple[float, float]:
    """Read a place in the frame's pixels, and return it in the whole photo's."""
    view = table.reckoner.view(asked.frame)
    x_px = fields.number("x_px", 0.0, view.width_px)
    y_px = fields.number("y_px", 0.0, view.height_px)
    return x_px + view.left_px, y_px + view.top_px


def _hole(asked: Asked, fields: Fields) -> AskedHole:
    key = fields.text("hole")
    for hole in asked.holes:
        if hole.key == key:
            return hole
    raise UsageError("That hole is no longer there; it was taken away meanwhile.")


def _with_hole(asked: Asked, hole: AskedHole, said: str) -> Changed:
    holes = tuple(hole if other.key == hole.key else other for other in asked.holes)
    return Changed(replace(asked, holes=holes), said)


def _called(asked: Asked, hole: AskedHole) -> str:
    return hole.label or f"hole {_number(asked.holes, hole)}"


def _number(holes: tuple[AskedHole, ...], hole: AskedHole) -> int:
    return [other.key for other in holes].index(hole.key) + 1


def _tubes(asked: Asked, names: tuple[str, ...], table: Table) -> tuple[str, ...]:
    """Return the names as the box has them, so that one tube has one name everywhere."""
    box = table.reckoner.box(asked.box, asked.mixing.finish)
    return tuple(dict.fromkeys(box.tube(name).name for name in names))


def _check_room(asked: Asked, more: int) -> None:
    if len(asked.holes) + more > MOST_HOLES:
        raise UsageError(f"{MOST_HOLES} holes are the most; take some away first.")


def _new_key() -> str:
    return f"h{secrets.token_hex(4)}"
