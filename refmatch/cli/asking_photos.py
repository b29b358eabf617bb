"""From the words of a command to the photos that a painting is painted from besides its own."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

from refmatch.cli.asking import Opened, light_said
from refmatch.cli.options import LightSaid, PhotosSaid
from refmatch.errors import UsageError
from refmatch.painting.asked import PHOTO_NAME, Asked, AskedPhoto, photo_named
from refmatch.painting.reckon import Reckoner
from refmatch.painting.store import file_of_photo
from refmatch.photo.light.balance import AskedLight
from refmatch.photo.load import Frame, frame_for, load
from refmatch.photo.photo import Photo

KELVIN = re.compile(r"(\d+(?:\.\d+)?)\s*K", re.IGNORECASE)


def with_photos(opened: Opened, said: PhotosSaid) -> Opened:
    """Return what is asked, with the other photos that are said, their lights and their parts.

    A photo of a name that is there already takes its place, and "none" takes it away with its
    holes; what is not said stays as it was.

    Raises:
        UsageError: it is malformed, or no photo has that name. PhotoError: one cannot be read.
    """
    for text in said.files:
        name, file = _pair(text)
        if not PHOTO_NAME.fullmatch(name):
            raise UsageError("not_a_photo_name", name=name)
        if file == "none":
            opened = replace(opened, asked=_without(opened.asked, name))
        else:
            opened = _with_photo(opened, name, Path(file))
    asked = opened.asked
    for text in said.lights:
        name, how = _pair(text)
        photo = photo_named(asked, name)
        view = _view(opened.reckoner, photo)
        asked = _put(asked, replace(photo, light=_light(photo.light, how, view)))
    for text in said.crops:
        name, part = _pair(text)
        photo = photo_named(asked, name)
        asked = _put(asked, replace(photo, frame=_frame(opened.reckoner, photo, part)))
    return replace(opened, asked=asked)


def _with_photo(opened: Opened, name: str, path: Path) -> Opened:
    photo = load(path)
    opened.reckoner.others[photo.sha256] = Reckoner(photo)
    fresh = AskedPhoto(name, file_of_photo(path, photo.sha256), photo.sha256)
    before = next((each for each in opened.asked.photos if each.name == name), None)
    if before is not None and before.sha256 == photo.sha256:
        fresh = before
    others = {**opened.others, photo.sha256: path}
    return replace(opened, asked=_put(opened.asked, fresh), others=others)


def _without(asked: Asked, name: str) -> Asked:
    gone = photo_named(asked, name)
    return replace(
        asked,
        photos=tuple(photo for photo in asked.photos if photo != gone),
        holes=tuple(hole for hole in asked.holes if hole.photo != name),
    )


def _put(asked: Asked, photo: AskedPhoto) -> Asked:
    """Put a photo in place of the one of its name, or behind all others."""
    if photo.name not in {each.name for each in asked.photos}:
        return replace(asked, photos=(*asked.photos, photo))
    same = (photo if each.name == photo.name else each for each in asked.photos)
    return replace(asked, photos=tuple(same))


def _pair(text: str) -> tuple[str, str]:
    name, sign, rest = (part.strip() for part in text.partition("="))
    if not sign or not name or not rest:
        raise UsageError("not_said_of_a_photo", text=text)
    return name, rest


def _view(reckoner: Reckoner, photo: AskedPhoto) -> Photo:
    return reckoner.others[photo.sha256].view(photo.frame)


def _light(before: AskedLight, how: str, view: Photo) -> AskedLight:
    """Return a light of words such as "neutral:10%,20%" or "5200K"."""
    way, _, spot = (part.strip() for part in how.partition(":"))
    kelvin = KELVIN.fullmatch(how)
    if kelvin:
        said = LightSaid(kelvin=float(kelvin[1]))
    elif way == "neutral" and spot:
        said = LightSaid(neutral=spot)
    elif way == "white" and spot:
        said = LightSaid(white=spot)
    else:
        said = LightSaid(method=how)
    return light_said(before, said, view)


def _frame(reckoner: Reckoner, photo: AskedPhoto, part: str) -> Frame | None:
    whole = reckoner.others[photo.sha256].whole
    if part == "all":
        return None
    return frame_for(whole.width_px, whole.height_px, part, None)
