"""Several photos at one desk: each is looked at, and changed, as if it were the painting's own."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

from refmatch.errors import UsageError
from refmatch.painting.asked import PHOTO_NAME, Asked, photo_named
from refmatch.painting.reckon import Reckoner
from refmatch.web.changes import Change, Changed, Table
from refmatch.web.fields import Fields


def shown_name(asked: Asked, name: str) -> str:
    """Return the name of a photo that there is, "" for the painting's own."""
    return name if name in {photo.name for photo in asked.photos} else ""


def reckoner_of(reckoner: Reckoner, asked: Asked, name: str) -> Reckoner:
    """Return who reads a photo by its name.

    Raises:
        UsageError: there is none of that name.
    """
    return reckoner.others[photo_named(asked, name).sha256] if name else reckoner


def as_own(asked: Asked, name: str) -> Asked:
    """Return what is asked as if the photo of a name were the painting's own, in light and crop."""
    if not name:
        return asked
    photo = photo_named(asked, name)
    return replace(asked, light=photo.light, frame=photo.frame, masses=None)


def with_own_holes(asked: Asked, name: str) -> Asked:
    """Return the same with the holes of that photo alone."""
    holes = tuple(replace(hole, photo="") for hole in asked.holes if hole.photo == name)
    return replace(as_own(asked, name), holes=holes, photos=())


def changed_in(change: Change, asked: Asked, fields: Fields, table: Table) -> Changed:
    """Make a change that was asked for while a photo was shown: its ``photo`` is in the fields.

    Places, light and crop are that photo's; all else is the painting's.

    Raises:
        UsageError: what the change says, or a hole of another photo is moved.
    """
    name = shown_name(asked, fields.text("photo")) if "photo" in fields else ""
    if "x_px" in fields and "hole" in fields:
        of_others = {hole.key for hole in asked.holes if hole.photo != name}
        if fields.text("hole") in of_others:
            raise UsageError("hole_in_another_photo")
    seen = replace(table, reckoner=reckoner_of(table.reckoner, asked, name))
    made = change(as_own(asked, name), fields, seen)
    return replace(made, asked=_put_back(asked, made.asked, name))


def _put_back(before: Asked, after: Asked, name: str) -> Asked:
    """Return what is asked now, its light and crop those of the photo that was shown."""
    known = {hole.key: hole for hole in before.holes}
    holes = []
    for hole in after.holes:
        old = known.get(hole.key)
        if old is None:
            holes.append(replace(hole, photo=name, share=None if name else hole.share))
        else:  # another photo's crop changes no share of the picture
            holes.append(hole if old.photo == name else replace(hole, share=old.share))
    if not name:
        return replace(after, holes=tuple(holes))
    photos = tuple(
        replace(photo, light=after.light, frame=after.frame) if photo.name == name else photo
        for photo in after.photos
    )
    own = {"light": before.light, "frame": before.frame, "masses": before.masses}
    return replace(after, holes=tuple(holes), photos=photos, **own)  # type: ignore[arg-type]


def free_name(path: Path, asked: Asked) -> str:
    """Return a name for another photo: its file's, in letters, and with a number where taken."""
    words = re.sub(r"[^\w]+", " ", path.stem.replace("_", " ")).strip()[:24].strip()
    words = words if PHOTO_NAME.fullmatch(words) else f"photo {words}".strip()
    taken = {photo.name for photo in asked.photos}
    names = (words, *(f"{words} {number}" for number in range(2, len(taken) + 3)))
    return next(name for name in names if name not in taken)
