"""What a painter can change on the page: one function a change, one line each in `CHANGES`.

A change takes what was asked and gives what is asked now, with a few words of what
was done, for undoing it. It reckons nothing and touches no file.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass, replace

from refmatch.errors import UsageError
from refmatch.painting.asked import Asked, AskedHole, AskedPlan, coat_of, photo_named
from refmatch.painting.own_box import with_another_box
from refmatch.painting.reckon import Reckoner
from refmatch.photo.hole import DEFAULT_DIAMETER_PERCENT, LEAST_DIAMETER_PX
from refmatch.photo.light import METHODS
from refmatch.photo.light.balance import AskedLight
from refmatch.photo.load import Frame
from refmatch.photo.picture import GROUNDS
from refmatch.plan.amounts import Canvas, canvas_of
from refmatch.web.fields import Fields


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
    # it may lie in another mass now, so a name that the mass gave is no longer its own
    label = "" if is_named_by_mass(asked, hole, table.reckoner) else hole.label
    moved = replace(hole, x_px=x_px, y_px=y_px, share=None, label=label)
    return with_hole(asked, moved, f"move {called(asked, hole)}")


def is_named_by_mass(asked: Asked, hole: AskedHole, reckoner: Reckoner) -> bool:
    """Say whether a hole is called as the mass is that it was punched for."""
    if hole.share is None:
        return False
    masses = reckoner.mass_holes(replace(asked, holes=()), asked.masses)
    return hole.label in {mass.label for mass in masses}


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


FINISHES = ("gloss", "satin", "matt")
LAMPS = ("D50", "A", "LED-B3")
MOST_TUBES = 60


def box(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Take another box; what was said of tubes that it lacks is forgotten."""
    text = table.box_text(fields.text("box"))
    return Changed(with_another_box(asked, text), "take another box")


def away(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Say which tubes are not on the table today."""
    names = tubes_named(asked, fields.names("tubes"), table)
    return Changed(replace(asked, away=names), "change what is on the table")


def habits(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Hold tubes out of one hole's mix, or insist on them."""
    hole = hole_of(asked, fields)
    wanted = replace(
        hole,
        without=tubes_named(asked, fields.names("without"), table),
        insist=tubes_named(asked, fields.names("insist"), table),
    )
    return with_hole(asked, wanted, f"change the tubes of {called(asked, hole)}")


def join(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Have the puddle of an earlier hole of the same colour serve a hole, or mix it by itself."""
    hole = hole_of(asked, fields)
    if not fields.truth("joined"):
        return with_hole(asked, replace(hole, alone=True), f"mix {called(asked, hole)} by itself")
    joined = replace(hole, alone=False, without=(), insist=(), choice="")
    return with_hole(asked, joined, f"mix {called(asked, hole)} with its like")


def choose(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Choose another of a hole's recipes, by what sets it apart."""
    hole = hole_of(asked, fields)
    return with_hole(
        asked, replace(hole, choice=fields.text("why")), f"choose a mix for {called(asked, hole)}"
    )


def layer(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Say which layer a hole's puddle is for, and what is worked into it, how much in per cent."""
    hole = hole_of(asked, fields)
    wanted = replace(
        hole,
        layer=fields.text("layer"),
        medium=fields.text("medium"),
        medium_percent=fields.number_or_none("percent", 0.0, 90.0),
    )
    if not wanted.medium:
        wanted = replace(wanted, medium_percent=None)
    coat_of(wanted)
    return with_hole(asked, wanted, f"change the layer of {called(asked, hole)}")


def dry(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Meet the dry passage again, of the L*, a*, b* given; with none, the photo."""
    hole = hole_of(asked, fields)
    if "lightness" not in fields:
        photo = replace(hole, dry=None)
        return with_hole(asked, photo, f"mix {called(asked, hole)} as the photo has it")
    lab = (
        round(fields.number("lightness", 0.0, 100.0), 3),
        round(fields.number("a", -150.0, 150.0), 3),
        round(fields.number("b", -150.0, 150.0), 3),
    )
    met = replace(hole, dry=lab)
    return with_hole(asked, met, f"meet the dry passage of {called(asked, hole)}")


def ground(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Say which ground the canvas has; "" forgets it."""
    wanted = fields.text("ground")
    if wanted and wanted not in GROUNDS:
        raise UsageError("unknown_canvas_ground", ground=wanted, known=tuple(GROUNDS))
    return Changed(replace(asked, ground=wanted), "change the ground")


def options(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Change what goes for every recipe; what is not said stays as it is."""
    said: dict[str, object] = {}
    for key, least, most in (("tubes", 2, 5), ("total", 2, 64)):
        if key in fields:
            said[key] = int(fields.number(key, least, most))
    for key in ("easy_on_black", "no_white_in_darks", "no_stray_green"):
        if key in fields:
            said[key] = fields.truth(key)
    if "insist" in fields:
        said["insist"] = tubes_named(asked, fields.names("insist"), table)
    for key, known in (("finish", FINISHES), ("lamp", LAMPS)):
        if key in fields:
            said[key] = fields.text(key)
            if said[key] not in known:
                raise UsageError("no_such_choice", of=key, choice=said[key], known=known)
    mixing = replace(asked.mixing, **said)  # type: ignore[arg-type]
    return Changed(replace(asked, mixing=mixing), "change how mixes are made")


def plan(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Mix the painting by a plan, keyed or not; with nothing said, each colour alone again."""
    if "keyed" not in fields:
        return Changed(replace(asked, plan=None), "mix each colour alone")
    tubes = int(fields.number("tubes", 2, MOST_TUBES)) if "tubes" in fields else None
    keep = asked.plan.keep if asked.plan else ()
    wanted = AskedPlan(keyed=fields.truth("keyed"), tubes=tubes, keep=keep)
    return Changed(replace(asked, plan=wanted), "mix by the plan")


def tubes_named(asked: Asked, names: tuple[str, ...], table: Table) -> tuple[str, ...]:
    """Return the names as the box has them, so that one tube has one name everywhere."""
    box = table.reckoner.box(asked.box, asked.mixing.finish)
    return tuple(dict.fromkeys(box.tube(name).name for name in names))


def remove_photo(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Paint from another photo no more; its holes go with it, and its file stays."""
    gone = photo_named(asked, fields.text("name"))
    photos = tuple(photo for photo in asked.photos if photo != gone)
    holes = tuple(hole for hole in asked.holes if hole.photo != gone.name)
    return Changed(replace(asked, photos=photos, holes=holes), f"remove the photo {gone.name}")


LEAST_SIDE_PX = 30


def title(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Call the painting something else."""
    name = fields.text("title")
    if not name:
        raise UsageError("painting_without_title")
    return Changed(replace(asked, title=name), "change the title")


def light(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Take the light out another way, or keep more of it. The spot may lie outside the crop."""
    view = table.reckoner.view(asked.frame)
    method = fields.text("method") if "method" in fields else asked.light.method
    if method not in METHODS and method != asked.light.method:
        raise UsageError("no_such_way_to_the_light", way=method)
    whole = table.reckoner.whole
    x_px = fields.number_or_none("x_px", -view.left_px, whole.width_px - view.left_px)
    y_px = fields.number_or_none("y_px", -view.top_px, whole.height_px - view.top_px)
    if method in ("neutral", "white") and (x_px is None or y_px is None):
        raise UsageError("no_neutral_spot")
    usual = usual_diameter(table.reckoner, asked)
    lstar = fields.number_or_none("lstar", 5.0, 100.0)
    is_known = method != "neutral" or lstar is not None  # how light the spot is
    wanted = AskedLight(
        method=method,
        x_px=None if x_px is None else tenth(x_px) + view.left_px,
        y_px=None if y_px is None else tenth(y_px) + view.top_px,
        diameter_px=fields.number_or_none("diameter_px", 1.0, 1e5) or usual,
        lstar=lstar,
        kelvin=fields.number_or_none("kelvin", 1000.0, 40000.0),
        duv=fields.number_or_none("duv", -0.05, 0.05),
        keep_light=fields.number_or_none("keep_light_percent", 0.0, 100.0) or 0.0,
        set_exposure=fields.truth("set_exposure") if "set_exposure" in fields else is_known,
        saved=asked.light.saved if method == asked.light.method else None,
    )
    return Changed(replace(asked, light=wanted), _said(asked.light, wanted))


FOUND = {
    "neutral": "read the light from a grey spot",
    "white": "read the light from a white spot",
    "temperature": "state the light's temperature",
    "grey-world": "guess the light from the average",
    "grey-edge": "guess the light from the edges",
    "as-shot": "leave the photo as shot",
}


def _said(before: AskedLight, wanted: AskedLight) -> str:
    """Say what is another in the light now."""
    if wanted == replace(before, keep_light=wanted.keep_light):
        return f"keep {wanted.keep_light:g} % of the light"
    if wanted == replace(before, set_exposure=wanted.set_exposure):
        return "set the exposure" if wanted.set_exposure else "keep the photo's exposure"
    return FOUND.get(wanted.method or "as-shot", "change the light")


def crop(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Cut the photo to what is painted, in pixels of the whole photo; with nothing, uncut it."""
    if "width_px" not in fields:
        return Changed(_in_frame(asked, None), "show the whole photo")
    whole = table.reckoner.whole
    width = round(fields.number("width_px", LEAST_SIDE_PX, whole.width_px))
    height = round(fields.number("height_px", LEAST_SIDE_PX, whole.height_px))
    left = round(fields.number("left_px", 0, whole.width_px - width))
    top = round(fields.number("top_px", 0, whole.height_px - height))
    return Changed(_in_frame(asked, Frame(left, top, width, height)), "crop the photo")


def _in_frame(asked: Asked, frame: Frame | None) -> Asked:
    """Return what is asked of another part of the photo: how much of it a mass is, changes."""
    if frame == asked.frame:
        return asked
    holes = tuple(replace(hole, share=None) for hole in asked.holes)
    return replace(asked, frame=frame, holes=holes)


def canvas(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Say how large the canvas is, and how wide the squares on it; with nothing, forget it.

    Its ``size`` may be written, "40x30" or "16x20in", in place of both sides in centimetres.
    """
    if "size" in fields:
        grid_cm = fields.number_or_none("grid_cm", 0.5, 500.0)
        wanted = canvas_of(fields.text("size"), grid_cm)
        return Changed(replace(asked, canvas=wanted), "change the canvas")
    if not any(name in fields for name in ("width_cm", "height_cm", "grid_cm")):
        return Changed(replace(asked, canvas=None), "forget the canvas")
    wanted = Canvas(
        fields.number("width_cm", 1.0, 2000.0),
        fields.number("height_cm", 1.0, 2000.0),
        fields.number_or_none("grid_cm", 0.5, 500.0),
    )
    return Changed(replace(asked, canvas=wanted), "change the canvas")


__all__ = ["CHANGES", "Change", "Changed", "Table"]

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
    "join": join,
    "choose": choose,
    "layer": layer,
    "dry": dry,
    "ground": ground,
    "remove_photo": remove_photo,
    "options": options,
    "plan": plan,
}
"""Every change by the word the page has for it."""
