"""The picture: its title, its light, what part of the photo is painted, and on what canvas."""

from __future__ import annotations

from dataclasses import replace

from refmatch.errors import UsageError
from refmatch.painting.asked import Asked, AskedLight
from refmatch.photo.balance import METHODS
from refmatch.photo.crop import Frame
from refmatch.recipe.amounts import Canvas
from refmatch.verbs.studio.changes.common import Changed, Table, usual_diameter
from refmatch.verbs.studio.fields import Fields

LEAST_SIDE_PX = 30


def title(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Call the painting something else."""
    told = fields.text("title")
    if not told:
        raise UsageError("painting_without_title")
    return Changed(replace(asked, title=told), "change the title")


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
    """Say how large the canvas is, and how wide the squares on it; with nothing, forget it."""
    if not any(name in fields for name in ("width_cm", "height_cm", "grid_cm")):
        return Changed(replace(asked, canvas=None), "forget the canvas")
    wanted = Canvas(
        fields.number("width_cm", 1.0, 2000.0),
        fields.number("height_cm", 1.0, 2000.0),
        fields.number_or_none("grid_cm", 0.5, 500.0),
    )
    return Changed(replace(asked, canvas=wanted), "change the canvas")
