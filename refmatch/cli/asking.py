"""From the words of a command to what is asked of a painting.

A command names a photo, or the folder of a painting; then what is not said stays as the folder
has it, and a photo is asked for as usual. Nothing is reckoned here but what a word needs: a place
in percent hangs on the photo's size, and without a hole one is punched in each mass.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from refmatch.cli.options import LightSaid, MixingSaid, PhotoSaid
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BalanceError, HoleError, UsageError
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml, box_to_toml, built_in_box, read_box
from refmatch.painting.asked import (
    PHOTO_NAME,
    Asked,
    AskedHole,
    AskedPlan,
    coat_of,
    key_for,
    labels_of,
    options_of,
    photo_named,
    place_of,
)
from refmatch.painting.model import Painting
from refmatch.painting.own_box import with_another_box
from refmatch.painting.reckon import Progress, Reckoner, silent
from refmatch.painting.record import last_dry, with_record_of
from refmatch.painting.store import Mark, is_painting, mark_of, open_folder
from refmatch.photo.hole import Hole
from refmatch.photo.light.balance import AskedLight
from refmatch.photo.load import Frame, frame_for, load
from refmatch.photo.photo import Photo
from refmatch.photo.picture import GROUNDS
from refmatch.photo.place import parse_place
from refmatch.plan.advise import all_to_buy
from refmatch.plan.amounts import canvas_of
from refmatch.plan.layers import FINISH, LAYERS
from refmatch.recipe.habits import check_insisted
from refmatch.target import parse_colour


@dataclass(frozen=True, eq=False)
class Opened:
    """What a command begins with: the photo, and what was asked of it before.

    ``painting`` is the ``folder``'s, with its ``pictures``; ``mark`` tells its state from any
    later one. All four are None where a photo is named that no folder knows. ``others`` are the
    files of the photos besides its own, by their SHA-256.
    """

    path: Path
    reckoner: Reckoner
    asked: Asked
    painting: Painting | None = None
    pictures: Mapping[str, bytes] | None = None
    mark: Mark | None = None
    folder: Path | None = None
    others: Mapping[str, Path] = field(default_factory=dict)

    def reckon(self, asked: Asked, progress: Progress = silent) -> Painting:
        """Return the painting that is asked for: as it is saved where just that was asked."""
        if self.painting is not None and asked == self.painting.asked:
            return self.painting
        made = self.reckoner.reckon(asked, date.today().isoformat(), progress)
        if self.painting is None:
            return made
        kept = with_record_of(made, self.painting)
        return replace(kept, step=self.painting.step, revision=self.painting.revision)

    def drawn(self, painting: Painting) -> Mapping[str, bytes]:
        """Return the pictures that go with a painting."""
        if self.pictures is not None and painting is self.painting:
            return self.pictures
        return self.reckoner.pictures(painting.asked)


def open_asked(photo: PhotoSaid, folder: Path | None = None) -> Opened:
    """Open a photo, or a painting's folder, with what is said of its frame and its light.

    ``folder`` is where the painting is kept; where one of the same photo lies there already, that
    is what is gone on with.

    Raises:
        RefmatchError: whatever is wrong with photo, folder, crop or light.
    """
    _check_light(photo.light)
    opened = _opened(photo.path, folder)
    frame = _frame(opened, photo)
    asked = _in_frame(opened.asked, frame)
    view = opened.reckoner.view(frame)
    return replace(opened, asked=replace(asked, light=light_said(asked.light, photo.light, view)))


def with_holes(
    opened: Opened, texts: Sequence[str] | None, masses: int | None, *, punch: bool = True
) -> Opened:
    """Return what is asked, with the holes said: else those there are, else one in each mass.

    With ``masses`` one is punched in each of so many, besides those that are said.

    Raises:
        UsageError, HoleError: a place is malformed, two have one name, or so many masses are not
            offered.
    """
    asked = opened.asked if masses is None else replace(opened.asked, masses=masses)
    if texts or masses is not None:
        asked = replace(asked, holes=_holes(opened, asked, texts or ()))
    if punch and (masses is not None or not asked.holes):
        fresh = opened.reckoner.mass_holes(asked, asked.masses)
        asked = replace(asked, holes=(*asked.holes, *fresh))
    return replace(opened, asked=asked)


def of_its_own_photo(opened: Opened) -> Opened:
    """Return what is asked, without the holes of other photos than the painting's own."""
    holes = tuple(hole for hole in opened.asked.holes if not hole.photo)
    return replace(opened, asked=replace(opened.asked, holes=holes))


def with_layers(
    opened: Opened, layers: Sequence[str] | None, worked_in: Sequence[str] | None
) -> Opened:
    """Return what is asked, with the layers and mediums said of its holes.

    A layer is said of a hole by its label, "pear=glaze"; a medium of a hole or of a whole layer,
    "finish=stand-oil,10". What is said of a hole comes before what is said of its layer.

    Raises:
        UsageError: it is malformed, no such hole, layer or medium.
    """
    holes = list(opened.asked.holes)
    for text in layers or ():
        label, layer = _pair(text)
        for place in _of_hole(holes, label):
            holes[place] = replace(holes[place], layer=layer)
            coat_of(holes[place])
    said = [(*_pair(text), text) for text in worked_in or ()]
    for what, words, text in sorted(said, key=lambda one: one[0] not in LAYERS):
        medium, _, percent = (part.strip() for part in words.partition(","))
        places = _of_layer(holes, what) if what in LAYERS else _of_hole(holes, what)
        for place in places:
            holes[place] = replace(
                holes[place], medium=medium, medium_percent=_percent(percent, text)
            )
            coat_of(holes[place])
    return replace(opened, asked=replace(opened.asked, holes=tuple(holes)))


def with_dry(opened: Opened, texts: Sequence[str] | None) -> Opened:
    """Return what is asked, of the dry passages that are said: to be met again, not the photo.

    Each is a hole's label, then the colour that its last dry dab was seen to have; or LABEL=COLOUR,
    or LABEL=photo to go back to the photo.

    Raises:
        UsageError: no such hole, or no dry dab of it was looked at. TargetError: no such colour.
    """
    holes = list(opened.asked.holes)
    for text in texts or ():
        labels = labels_of(holes)
        label, said = (text, "") if text in labels else _pair(text)
        (place,) = _of_hole(holes, label)
        if said == "photo":
            holes[place] = replace(holes[place], dry=None)
            continue
        lab = parse_colour(said) if said else _seen_dry(opened.painting, label)
        lightness, a, b = (round(float(value), 3) for value in lab)
        holes[place] = replace(holes[place], dry=(lightness, a, b))
    return replace(opened, asked=replace(opened.asked, holes=tuple(holes)))


def _seen_dry(painting: Painting | None, label: str) -> Array:
    lab = last_dry(painting, label) if painting else None
    if lab is None:
        raise UsageError("no_dry_dab", label=label)
    return lab


def _pair(text: str) -> tuple[str, str]:
    label, sign, rest = text.rpartition("=")
    if not sign or not label.strip() or not rest.strip():
        raise UsageError("not_said_of_anything", text=text)
    return label.strip(), rest.strip()


def _percent(text: str, whole: str) -> float | None:
    if not text:
        return None
    try:
        percent = float(text.removesuffix("%"))
    except ValueError:
        percent = math.nan
    if not math.isfinite(percent):
        raise UsageError("not_said_of_anything", text=whole)
    return percent


def _of_hole(holes: Sequence[AskedHole], label: str) -> tuple[int, ...]:
    labels = labels_of(holes)
    if label not in labels:
        raise UsageError("no_hole_called", label=label, known=labels)
    return (labels.index(label),)


def _of_layer(holes: Sequence[AskedHole], layer: str) -> tuple[int, ...]:
    """Return the holes of a layer; those of no layer in particular are of the finish."""
    return tuple(place for place, hole in enumerate(holes) if (hole.layer or FINISH) == layer)


def with_box(opened: Opened, path: Path | None) -> Opened:
    """Return what is asked, from another box where one is said.

    Raises:
        BoxError: it cannot be read.
    """
    if path is None:
        return opened
    return replace(opened, asked=with_another_box(opened.asked, box_to_toml(read_box(path))))


def with_mixing(opened: Opened, said: MixingSaid) -> Opened:
    """Return what is asked, with the limits and habits that are said.

    Raises:
        UnknownTube: a tube is not in the box. UsageError: a limit is not offered, or a tube is
            both insisted on and held out.
    """
    asked, box = opened.asked, _box(opened.asked)
    limits = {
        key: value
        for key, value in (
            ("tubes", said.tubes),
            ("total", said.total),
            ("easy_on_black", said.easy_on_black),
            ("no_white_in_darks", said.no_white_in_darks),
            ("no_stray_green", said.no_stray_green),
        )
        if value is not None
    }
    insist = asked.mixing.insist if said.insist is None else tubes_named(box, said.insist)
    away = asked.away if said.without is None else tubes_named(box, said.without)
    mixing = replace(asked.mixing, insist=insist, **limits)  # type: ignore[arg-type]
    asked = replace(asked, mixing=mixing, away=away)
    if said.insist is not None or said.without is not None:
        habits = options_of(asked).habits
        check_insisted(box, replace(habits, insist=insist))
    options_of(asked)  # says so where a limit is not offered
    return replace(opened, asked=asked)


def with_canvas(opened: Opened, text: str | None) -> Opened:
    """Return what is asked, on a canvas written "40x30" or "16x20in" where one is said.

    Raises:
        UsageError: not two numbers, or no canvas is so large.
    """
    if text is None:
        return opened
    before = opened.asked.canvas
    canvas = canvas_of(text, before.grid_cm if before else None)
    return replace(opened, asked=replace(opened.asked, canvas=canvas))


def with_ground(opened: Opened, text: str | None) -> Opened:
    """Return what is asked, on a canvas of a ground where one is said; "none" forgets it.

    Raises:
        UsageError: there is no such ground.
    """
    if text is None:
        return opened
    if text not in (*GROUNDS, "none"):
        raise UsageError("unknown_canvas_ground", ground=text, known=tuple(GROUNDS))
    ground = "" if text == "none" else text
    return replace(opened, asked=replace(opened.asked, ground=ground))


def with_plan(
    opened: Opened,
    *,
    tubes: int | None = None,
    keep: Sequence[str] | None = None,
    without: Sequence[str] | None = None,
    no_key: bool | None = None,
    buy: bool = False,
) -> Opened:
    """Return what is asked, mixed by a plan; of what is not said, as the painting's own plan is.

    Raises:
        UnknownTube: a tube is not in the box.
    """
    asked = opened.asked
    before = asked.plan or AskedPlan()
    box = all_to_buy(_box(asked)) if buy else _box(asked)
    plan = AskedPlan(
        keyed=before.keyed if no_key is None else not no_key,
        tubes=before.tubes if tubes is None else tubes,
        keep=before.keep if keep is None else tubes_named(box, keep),
        buy=buy,
    )
    away = asked.away if without is None else tubes_named(box, without)
    return replace(opened, asked=replace(asked, plan=plan, away=away))


def with_plan_of_sheet(
    opened: Opened,
    plan: bool | None,
    palette: int | None,
    no_key: bool | None,
) -> Opened:
    """Return what is asked of a sheet: with a plan, without one, or as the painting has it.

    Raises:
        UsageError: something is said of a plan, and there is none.
    """
    if plan or (plan is None and opened.asked.plan):
        return with_plan(opened, tubes=palette, no_key=no_key)
    if palette is not None or no_key is not None:
        raise UsageError("no_plan_to_say_that_of")
    return replace(opened, asked=replace(opened.asked, plan=None))


def tubes_named(box: Box, names: Sequence[str]) -> tuple[str, ...]:
    """Return tubes as their box calls them, each once; an empty name names none.

    Raises:
        UnknownTube: one is not in the box.
    """
    return tuple(dict.fromkeys(box.tube(name).name for name in names if name.strip()))


def owned(asked: Asked) -> Box:
    """Return the box that the painter owns, as it is asked for."""
    return _box(asked)


def _box(asked: Asked) -> Box:
    return box_from_toml(asked.box, "the painting's box")


def _opened(path: Path, folder: Path | None) -> Opened:
    """Open a photo or a folder; a folder that keeps another photo's painting is refused."""
    if is_painting(path):
        return _open_folder(path)
    photo = load(path)
    if folder is None or not is_painting(folder):
        return Opened(path, Reckoner(photo), Asked(_title(path), box_to_toml(built_in_box())))
    return _open_folder(folder, photo)


def _open_folder(folder: Path, photo: Photo | None = None) -> Opened:
    mark = mark_of(folder)
    opened = open_folder(folder)
    if photo is not None and photo.sha256 != opened.painting.photo.sha256:
        raise UsageError("folder_of_another_photo", folder=str(folder))
    others = [load(path) for path in opened.others]
    reckoner, painting = Reckoner(photo or load(opened.photo), others), opened.painting
    reckoner.remember(painting)
    return Opened(
        opened.photo,
        reckoner,
        painting.asked,
        painting,
        opened.pictures,
        mark,
        folder,
        {each.sha256: path for each, path in zip(others, opened.others, strict=True)},
    )


def _title(path: Path) -> str:
    words = path.stem.replace("-", " ").replace("_", " ").strip() or "painting"
    return words[0].upper() + words[1:]


def _frame(opened: Opened, photo: PhotoSaid) -> Frame | None:
    if photo.crop is None and photo.proportion is None:
        return opened.asked.frame
    whole = opened.reckoner.whole
    frame = frame_for(whole.width_px, whole.height_px, photo.crop, photo.proportion)
    return None if frame == Frame(0, 0, whole.width_px, whole.height_px) else frame


def _in_frame(asked: Asked, frame: Frame | None) -> Asked:
    if frame == asked.frame:
        return asked
    holes = tuple(replace(hole, share=None) for hole in asked.holes)
    return replace(asked, frame=frame, holes=holes)


def _check_light(light: LightSaid) -> None:
    """See that nothing said of the light would be passed over in silence."""
    ways = [way for way in (light.neutral, light.white, light.kelvin) if way is not None]
    if light.method is None and len(ways) > 1:
        raise UsageError("light_in_two_ways")
    if light.tint_duv is not None and light.kelvin is None:
        raise UsageError("tint_without_temperature")
    if light.neutral_lstar is not None and light.neutral is None:
        raise UsageError("lightness_without_spot")


def light_said(before: AskedLight, said: LightSaid, view: Photo) -> AskedLight:
    """Return the light as it is said; of what is not said, as it was."""
    light = before
    if said.method or said.neutral or said.white or said.kelvin is not None:
        light = _way(before, said, view)
    if light.saved is not None and said.keep_light not in (None, light.keep_light):
        raise BalanceError("light_as_it_was_found")
    if said.keep_light is not None:
        light = replace(light, keep_light=said.keep_light)
    if said.set_exposure is not None:
        light = replace(light, set_exposure=said.set_exposure)
    return light


def _way(before: AskedLight, said: LightSaid, view: Photo) -> AskedLight:
    """Return the way that is said to find the light, and what that way needs.

    How light a neutral spot is, nobody knows who is not told: only then does it set the exposure.
    """
    called_for = "neutral" if said.neutral else "white" if said.white else "temperature"
    known = said.neutral or said.white or said.kelvin is not None
    method = said.method or (called_for if known else None)
    fresh = AskedLight(
        method=method, keep_light=before.keep_light, set_exposure=before.set_exposure
    )
    spot = {"neutral": said.neutral, "white": said.white}.get(method or "")
    if spot is not None:
        hole = parse_place(spot).on(view, method or "")
        return replace(
            fresh,
            x_px=hole.x_px + view.left_px,
            y_px=hole.y_px + view.top_px,
            diameter_px=hole.diameter_px,
            lstar=said.neutral_lstar if method == "neutral" else None,
            set_exposure=method == "white" or said.neutral_lstar is not None,
        )
    if method == "temperature" and said.kelvin is not None:
        return replace(fresh, kelvin=said.kelvin, duv=said.tint_duv)
    same = replace(before, keep_light=fresh.keep_light, set_exposure=fresh.set_exposure)
    return same if method == before.method else fresh


def _holes(opened: Opened, asked: Asked, texts: Sequence[str]) -> tuple[AskedHole, ...]:
    """Return holes written as [PHOTO:]X,Y[,DIAMETER][=LABEL]; an old one keeps what it asks."""
    before = opened.asked.holes
    holes: list[AskedHole] = []
    for photo, text in places_of(texts, asked):
        view = opened.reckoner.view_of(asked, photo)
        hole = parse_place(text).on(view, "")
        of_photo = [old for old in before if old.photo == photo]
        taken = {taken.key for taken in (*before, *holes)}
        holes.append(replace(_as_before(hole, view, of_photo, taken), photo=photo))
    labels = labels_of(holes)
    for label, punched in zip(labels, holes, strict=True):
        view = opened.reckoner.view_of(asked, punched.photo)
        x_px, y_px = punched.x_px - view.left_px, punched.y_px - view.top_px
        if not (0.0 <= x_px <= view.width_px and 0.0 <= y_px <= view.height_px):
            size_px = view.width_px, view.height_px
            width_px, height_px = size_px
            raise HoleError(
                "hole_beyond",
                label=label,
                x_px=x_px,
                y_px=y_px,
                width_px=width_px,
                height_px=height_px,
            )
    for label in labels:
        if labels.count(label) > 1:
            raise UsageError("two_holes_one_name", label=label)
    return tuple(holes)


def places_of(texts: Sequence[str], asked: Asked) -> list[tuple[str, str]]:
    """Return each hole's photo, "" for the painting's own, and the rest of what is said of it.

    Raises:
        UsageError: no photo has that name.
    """
    found = []
    for text in texts:
        name, sign, rest = text.partition(":")
        if sign and PHOTO_NAME.fullmatch(name.strip()):
            found.append((photo_named(asked, name.strip()).name, rest))
        else:
            found.append(("", text))
    return found


def _as_before(
    hole: Hole, view: Photo, before: Sequence[AskedHole], taken: Iterable[str]
) -> AskedHole:
    place = hole.x_px + view.left_px, hole.y_px + view.top_px, hole.diameter_px
    for old in before:
        if place_of(old) == place:
            return replace(old, label=hole.label)
    x_px, y_px, diameter_px = place
    return AskedHole(key_for(place, taken), x_px, y_px, diameter_px, hole.label)
