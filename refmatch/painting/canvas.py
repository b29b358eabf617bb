"""A photo of the canvas held against the painting's reference, and the record of its sittings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

import numpy as np

from refmatch.canvas.compare import (
    STEP,
    Fall,
    Reference,
    Region,
    Wanted,
    fall_of,
    levels_of,
    look_at,
    part_shown,
    regions_of,
    xyz_of,
)
from refmatch.canvas.corners import Corners, Squared, find_corners, pointed_corners, squared
from refmatch.canvas.verdicts import (
    Change,
    Judged,
    Setting,
    changes,
    dimensions_of,
    judge,
)
from refmatch.colorimetry.display import SRGB_TO_XYZ
from refmatch.colorimetry.hues import lstar_from_value
from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.dabs.beside import Beside, known_of, way_of
from refmatch.dabs.camera import SAME, Camera, Light, believed_camera, light_said
from refmatch.dabs.find import detect
from refmatch.dabs.spot import STATES, WET, Known
from refmatch.dabs.spots import Places, Surroundings, on_dab_card, surroundings
from refmatch.errors import CardError, UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.painting.check import dab_card_layout, dab_card_of
from refmatch.painting.model import CanvasLook, Painting, SeenRegion
from refmatch.painting.own_box import box_of
from refmatch.painting.reckon import Reckoner
from refmatch.painting.store import Mark, keep_check, mark_of, open_folder, save
from refmatch.photo.load import load
from refmatch.photo.photo import Photo, Working, overview, reduced
from refmatch.photo.picture import as_jpeg, as_png, to_srgb8
from refmatch.photo.place import Place
from refmatch.photo.studies import flat
from refmatch.photo.values import Bytes, study
from refmatch.plan.amounts import Canvas
from refmatch.plan.key import AS_IT_IS
from refmatch.recipe.mixture import Palette

STUDIES = (3, 5)
"""The value studies that canvas and reference are compared by."""

REFERENCE, CANVAS = "canvas-reference", "canvas"
"""The pictures of a sitting in the painting's folder; with "-3" and "-5", in so many values."""

SHOWN_PX = 960
"""Longest side of these pictures."""

UNEVEN_PERCENT = 12.0
"""From how much less light in one corner than in another it is said."""

OTHER_PROPORTION = 0.12
"""How far the sides' ratio may be from the canvas' before it is said: a tilt changes it, too."""

BESIDE = 0.6
"""How far beside the canvas, in its sides, the fall of the light is carried on."""


@dataclass(frozen=True, eq=False)
class CanvasAsked:
    """A photo of the canvas, the painting it is of, and what is known of the photo.

    ``corners`` are the four of the canvas where they are pointed to; ``places`` what lies beside
    it, a chart being found by itself. ``light`` is kelvins, a lamp's name or "same".
    """

    photo: Path
    painting: Path
    corners: tuple[Place, ...] = ()
    places: Places = field(default_factory=Places)
    light: str | None = None
    state: str = WET


@dataclass(frozen=True, eq=False)
class Steps:
    """The canvas and its reference in the same few values, each (rows, columns) of levels from 0.

    ``values`` are the reference's own, as keyed, dark to light.
    """

    reference: Bytes
    canvas: Bytes
    values: tuple[float, ...]


@dataclass(frozen=True, eq=False)
class CanvasChecked:
    """The canvas judged against its reference.

    ``wanted`` and ``seen`` (rows, columns, 3) are both as XYZ, white Y = 1: the reference as keyed,
    the canvas as it would look in an even light by the camera found. ``way`` is by what it was
    judged, "" where nothing was known; ``since`` the date of the sitting that ``changes`` are told
    from, "" where there is none.
    """

    painting: Painting
    photo: str
    date: str
    corners: Corners
    fall: Fall
    way: str
    state: str
    light: str | None
    regions: tuple[Judged, ...]
    steps: tuple[Steps, ...]
    wanted: Array
    seen: Array
    since: str
    changes: tuple[Change, ...]
    sitting: int
    flags: tuple[Flag, ...]

    @property
    def all_flags(self) -> tuple[Flag, ...]:
        """The photo's flags, and those of each region."""
        return (*self.flags, *(flag for one in self.regions for flag in one.flags))


def check_canvas(asked: CanvasAsked) -> CanvasChecked:
    """Hold a photo of the canvas against its painting, and put the sitting on record.

    A photo that was looked at before takes the place of what was said of it then.

    Raises:
        UsageError: something is wrong with what is asked. PhotoError: no canvas is seen, or the
            photo cannot be read. HoleError, BoxError, PaintingError, CardError, OutputError: what
            they say.
    """
    if asked.state not in STATES:
        raise UsageError("no_such_state", state=asked.state, states=tuple(STATES))
    mark = mark_of(asked.painting)
    opened = open_folder(asked.painting)
    painting, box = opened.painting, box_of(opened.painting)
    photo = load(asked.photo)
    reckoner = Reckoner(load(opened.photo))
    reference, holes = reference_of(reckoner, painting)
    corners = _corners(asked, photo, reference)
    canvas = squared(photo, corners, reference.masses.shape[:2])
    fall = fall_of(canvas, reference)
    around = _around(asked, painting, photo, box)
    regions = regions_of(reference, holes)
    looks = [look_at(canvas, region, fall) for region in regions]
    guesses = _guesses(painting, box, regions)
    setting = _setting(asked, box, around, corners, fall)
    judged, camera, flags = judge(regions, looks, guesses, setting)
    earlier = _earlier(painting, photo.sha256)
    way = way_of(around.beside) if around.beside else ""
    told = (
        ()
        if earlier is None or bool(earlier.way) != bool(way)
        else changes(judged, seen_at(earlier))
    )
    checked = CanvasChecked(
        painting=painting,
        photo=asked.photo.name,
        date=date.today().isoformat(),
        corners=corners,
        fall=fall,
        way=way,
        state=asked.state,
        light=asked.light,
        regions=judged,
        steps=(),
        wanted=(wanted := _large_reference(reckoner, painting, reference)),
        seen=_as_seen(squared(photo, corners, wanted.shape[:2]), fall, camera),
        since=earlier.date if earlier else "",
        changes=told,
        sitting=_number(painting, photo.sha256),
        flags=(
            *corners.flags,
            *_shape(corners, reference),
            *_light_flags(fall),
            *around.flags,
            *flags,
        ),
    )
    checked = replace(checked, steps=_steps(reference, _as_seen(canvas, fall, camera)))
    return record(asked, checked, photo, mark)


def record(asked: CanvasAsked, checked: CanvasChecked, photo: Photo, mark: Mark) -> CanvasChecked:
    """Keep the photo and what it said, and return what was checked with the painting as saved.

    Raises:
        StaleRevision: another program has saved the painting meanwhile. OutputError: it cannot be
            written.
    """
    look = CanvasLook(
        photo=keep_check(asked.painting, asked.photo),
        date=checked.date,
        light=asked.light or "",
        state=asked.state,
        way=checked.way,
        corners_px=checked.corners.px,
        regions=tuple(
            SeenRegion(
                one.region.kind,
                one.region.label,
                one.region.target_lab,
                one.lab,
                one.covariance,
                one.region.share,
                one.region.study,
                one.region.level,
            )
            for one in checked.regions
        ),
    )
    painting = checked.painting
    others = tuple(row for row in painting.canvases if row.photo.sha256 != photo.sha256)
    place = checked.sitting - 1
    canvases = (*others[:place], look, *others[place:])
    pictures = pictures_of(checked)
    saved = save(asked.painting, replace(painting, canvases=canvases), pictures, over=mark)
    return replace(checked, painting=saved)


def pictures_of(checked: CanvasChecked) -> dict[str, bytes]:
    """Return reference and canvas, as themselves and in a few values, encoded, by name."""
    pictures = {
        REFERENCE: as_jpeg(to_srgb8(checked.wanted)),
        CANVAS: as_jpeg(to_srgb8(checked.seen)),
    }
    size = checked.seen.shape[1], checked.seen.shape[0]
    for steps in checked.steps:
        greys = np.zeros((len(steps.values), 3))
        greys[:, 0] = lstar_from_value(np.array(steps.values))
        name = f"-{len(steps.values)}"
        pictures[REFERENCE + name] = as_png(flat(steps.reference, greys, size))
        pictures[CANVAS + name] = as_png(flat(steps.canvas, greys, size))
    return pictures


def _large_reference(reckoner: Reckoner, painting: Painting, reference: Reference) -> Array:
    """Return the reference as keyed, XYZ, as large as it is shown."""
    asked = painting.asked
    view, balance = reckoner.view(asked.frame), reckoner.balance(asked.light)
    xyz = np.asarray(reduced(view, SHOWN_PX).xyz, dtype=float)
    part = _part(xyz.shape[:2], view, asked.canvas)
    lab = xyz_to_lab(np.maximum(xyz[part] @ balance.matrix.T, 0.0), PHOTO_WHITE)
    return xyz_of(reference.keyed(lab))


def _part(shape: tuple[int, ...], view: Photo, canvas: Canvas | None) -> tuple[slice, slice]:
    """Return the rows and columns of a picture of the photo that the canvas shows."""
    left, top, width, height = part_shown(view.width_px / view.height_px, canvas)
    rows, columns = shape[:2]
    return (
        slice(round(top * rows), max(round((top + height) * rows), 1)),
        slice(round(left * columns), max(round((left + width) * columns), 1)),
    )


def reference_of(reckoner: Reckoner, painting: Painting) -> tuple[Reference, tuple[Wanted, ...]]:
    """Return what a painting's canvas is held against, and its holes on it."""
    asked = painting.asked
    view, balance = reckoner.view(asked.frame), reckoner.balance(asked.light)
    masses = reckoner.masses(asked.frame, asked.light, asked.masses)
    left, top, width, height = part_shown(view.width_px / view.height_px, asked.canvas)
    working = overview(view)
    part = _part(masses.labels.shape, view, asked.canvas)
    shown = Working(working.xyz[part], working.scale, working.clipped[part], working.covered[part])
    key = painting.plan.key if painting.plan else None
    reference = Reference(
        xyz=np.einsum("...j,ij->...i", np.asarray(shown.xyz, dtype=float), balance.matrix),
        masses=masses.labels[part],
        labels=tuple(mass.label for mass in masses.items),
        studies=tuple(study(shown, balance, levels) for levels in STUDIES),
        curve=key.curve if key else AS_IT_IS,
        reach=key.box_range if key else None,
    )
    own = {mass.label for mass in masses.items}
    holes = tuple(
        Wanted(
            target.label,
            target.lab,
            (target.x_px / view.width_px - left) / width,
            (target.y_px / view.height_px - top) / height,
        )
        for target in painting.targets
        if not target.photo  # one of another photo has no place in this one
        and target.label not in own
        and target.x_px is not None
        and target.y_px is not None
    )
    return reference, holes


def _corners(asked: CanvasAsked, photo: Photo, reference: Reference) -> Corners:
    if not asked.corners:
        return find_corners(photo, reference.lab)
    holes = [place.on(photo, "corner") for place in asked.corners]
    return pointed_corners(photo, [(hole.x_px, hole.y_px) for hole in holes], reference.lab)


def _around(asked: CanvasAsked, painting: Painting, photo: Photo, box: Box) -> Surroundings:
    """Return what is known in the photo; the painting's dab card, where it lies there, as well."""
    around = surroundings(photo, asked.places, box)
    if around.beside or not dab_card_layout(asked.painting).is_file() or not detect(photo):
        return around
    try:
        read = on_dab_card(photo, dab_card_of(asked.painting))
    except CardError as error:
        return replace(around, flags=(*around.flags, Flag("dab_card_not_used", why=error)))
    middle = np.stack([outline.mean(axis=0) for outline in read.outlines.values()]).mean(axis=0)
    return Surroundings(read.beside, np.tile(middle, (len(read.beside), 1)), read.flags)


def _setting(
    asked: CanvasAsked, box: Box, around: Surroundings, corners: Corners, fall: Fall
) -> Setting:
    places = np.clip(corners.on_canvas(around.px), -BESIDE, 1.0 + BESIDE)
    shade = fall.at(places) if len(places) else np.ones(0)
    beside = [
        _in_middle_light(surface, float(light))
        for surface, light in zip(around.beside, shade, strict=True)
    ]
    known: Sequence[Known] = known_of(beside, box, ((box.white.name, 1.0),), asked.state)
    camera = believed_camera(box, _light(asked.light, box))
    return Setting(tuple(known), places, camera, asked.state, box.surface, fall)


def _in_middle_light(surface: Beside, shade: float) -> Beside:
    """Return a surface as it would be in the light of the canvas' middle."""
    spot = surface.spot
    lit = replace(
        spot, xyz=spot.xyz / shade, sigma=spot.sigma / shade, shading=spot.shading * shade
    )
    return replace(surface, spot=lit)


def _light(said: str | None, box: Box) -> Light | None:
    if said is None:
        return None
    if said.strip().lower() != SAME:
        return light_said(said)
    if box.camera is None:
        raise UsageError("no_own_light", box=box.name)
    return SAME


def _guesses(painting: Painting, box: Box, regions: Sequence[Region]) -> Array:
    """Return for each region, (n, 31), what paint reflects that is nearest to its target.

    That is of the recipes chosen, and of each tube by itself and in white.
    """
    names = [tube.name for tube in box.tubes]
    rows = [*np.eye(len(names))]
    white = names.index(box.white.name)
    rows += [row + 4.0 * np.eye(len(names))[white] for row in np.eye(len(names))]
    for answer, place in zip(painting.recipes, painting.chosen, strict=True):
        if not answer.recipes:
            continue
        row = np.zeros(len(names))
        for portion in answer.recipes[place].portions:
            if portion.tube in names:
                row[names.index(portion.tube)] += portion.parts
        if row.any():
            rows.append(row)
    reflectance = Palette.of(box.tubes, box.surface).reflectance(np.stack(rows))
    labs = reflectance_to_lab(reflectance)
    nearest = [int(np.argmin(delta_e_00(labs, region.target_lab))) for region in regions]
    return np.asarray(reflectance[nearest])


def _as_seen(canvas: Squared, fall: Fall, camera: Camera) -> Array:
    """Return the canvas as XYZ, camera and uneven light undone."""
    rows, columns = canvas.xyz.shape[:2]
    down, across = np.mgrid[0:rows, 0:columns]
    points = np.column_stack([((across + 0.5) / columns).ravel(), ((down + 0.5) / rows).ravel()])
    shade = fall.at(points).reshape(rows, columns, 1)
    linear = camera.undone(canvas.xyz) / shade
    return np.maximum(linear @ SRGB_TO_XYZ.T / 100.0, 0.0)


def _steps(reference: Reference, seen: Array) -> tuple[Steps, ...]:
    return tuple(Steps(*levels_of(reference, study_of, seen)) for study_of in reference.studies)


def _shape(corners: Corners, reference: Reference) -> tuple[Flag, ...]:
    """Say where the canvas in the photo is of plainly another proportion than its reference."""
    sides = np.linalg.norm(np.roll(corners.px, -1, axis=0) - corners.px, axis=1)
    found = (sides[0] + sides[2]) / max(sides[1] + sides[3], 1e-9)
    rows, columns = reference.masses.shape
    off = abs(np.log(found / (columns / rows)))
    return (Flag("canvas_other_proportion"),) if off > OTHER_PROPORTION else ()


def _light_flags(fall: Fall) -> tuple[Flag, ...]:
    if fall.percent < UNEVEN_PERCENT:
        return ()
    return (Flag("canvas_light_falls_off", percent=fall.percent),)


def _earlier(painting: Painting, digest: str) -> CanvasLook | None:
    """Return the sitting before the one that a photo shows, None where there is none."""
    number = _number(painting, digest)
    others = [look for look in painting.canvases if look.photo.sha256 != digest]
    return others[number - 2] if number > 1 else None


def _number(painting: Painting, digest: str) -> int:
    """Return which sitting a photo shows, counted from 1: the next, or the one it was of."""
    for number, look in enumerate(painting.canvases, start=1):
        if look.photo.sha256 == digest:
            return number
    return len(painting.canvases) + 1


def seen_at(look: CanvasLook) -> tuple[Judged, ...]:
    """Return what was seen at a sitting, judged as it was then."""
    return tuple(recalled(row) for row in look.regions)


def recalled(row: SeenRegion) -> Judged:
    """Return a region of the record, judged; where it lay in the picture is forgotten."""
    nowhere = np.zeros((0, 0), dtype=bool)
    still = np.zeros((3, 3))  # what a shape off its place does is in the covariance
    place = row.share, 0.5, 0.5, still, False, row.study, row.level
    region = Region(row.kind, row.label, nowhere, row.target_lab, *place)
    dimensions = dimensions_of(row.lab, row.covariance, row.target_lab)
    if row.kind == STEP:
        dimensions = dimensions[:1]
    return Judged(region, row.lab, row.covariance, dimensions, 0.0)


def changes_at(painting: Painting, sitting: int) -> tuple[str, tuple[Change, ...]]:
    """Return the date of the sitting before one, counted from 1, and what changed since.

    No date where there is none before, or where only one of the two knew its light.
    """
    looks = painting.canvases
    if sitting < 2 or bool(looks[sitting - 1].way) != bool(looks[sitting - 2].way):
        return "", ()
    before, now = looks[sitting - 2], looks[sitting - 1]
    return before.date, changes(seen_at(now), seen_at(before))
