"""Looking at a photo: its light, the colours in its holes, its masses and values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from refmatch.colorimetry.comparison import compare_neighbours
from refmatch.colorimetry.display import lab_to_srgb8
from refmatch.disk import write_whole
from refmatch.errors import OutputError, UsageError
from refmatch.flag import Flag
from refmatch.painting.store import OpenPainting, is_painting, open_folder
from refmatch.photo.balance import BalanceRequest, estimate
from refmatch.photo.card_view import punched_card
from refmatch.photo.crop import Frame
from refmatch.photo.families import Families, find
from refmatch.photo.light import Balance
from refmatch.photo.load import load
from refmatch.photo.mask import Hole, Sample
from refmatch.photo.mask import sample as sample_hole
from refmatch.photo.photo import Photo
from refmatch.photo.picture import Picture, as_png, to_srgb8
from refmatch.photo.place import parse_spot
from refmatch.photo.values import ValueStudy, grey_picture, squint, study


@dataclass(frozen=True)
class LightAsked:
    """What the painter says of the light, as written; None where nothing is said."""

    method: str | None = None
    neutral: str | None = None
    neutral_lstar: float | None = None
    white: str | None = None
    kelvin: float | None = None
    tint_duv: float | None = None
    keep_light: float = 0.0
    set_exposure: bool = True


@dataclass(frozen=True)
class PhotoAsked:
    """Which photo, which part of it, and what is known of its light."""

    path: Path
    crop: str | None = None
    proportion: str | None = None
    light: LightAsked = LightAsked()


@dataclass(frozen=True)
class Views:
    """Where to write pictures of a photo's values and masses; None where not wanted."""

    values: Path | None = None
    squint: Path | None = None
    masses: Path | None = None


@dataclass(frozen=True, eq=False)
class Seen:
    """A loaded photo and its balance: where every look at it begins.

    ``opened`` is the painting that the photo came with, where it came with one.
    """

    photo: Photo
    balance: Balance
    opened: OpenPainting | None = None

    @property
    def flags(self) -> tuple[Flag, ...]:
        """All cautions of the photo and of its light."""
        return (*self.photo.flags, *self.balance.flags)


def look(asked: PhotoAsked) -> Seen:
    """Load the photo and take the light out of it as asked.

    The folder of a painting stands for its photo, with its frame and its light
    where nothing else is asked.

    Raises:
        PhotoError, HoleError, BalanceError, PaintingError, UsageError: each with its sentence.
    """
    _check_light(asked.light)
    opened = open_folder(asked.path) if is_painting(asked.path) else None
    path, crop = (opened.photo if opened else asked.path), asked.crop
    if opened and not (asked.crop or asked.proportion):
        crop = _written(opened.painting.frame)
    photo = load(path, crop, asked.proportion)
    if opened and asked.light == LightAsked():
        return Seen(photo, opened.painting.balance, opened)
    balance = estimate(photo, asked.light.method, _request(asked.light, photo))
    return Seen(photo, balance, opened)


def holes_on(photo: Photo, texts: Sequence[str]) -> tuple[Hole, ...]:
    """Read holes written as X,Y[,DIAMETER][=LABEL]; those without a name are numbered.

    Raises:
        UsageError: malformed, or two holes of one name.
    """
    holes = tuple(parse_spot(text).on(photo, str(i)) for i, text in enumerate(texts, start=1))
    labels = [hole.label for hole in holes]
    for label in labels:
        if labels.count(label) > 1:
            raise UsageError(f"Two holes are called '{label}'; give each its own name.")
    return holes


def sample(seen: Seen, texts: Sequence[str]) -> tuple[Sample, ...]:
    """Measure the colours in the holes."""
    return tuple(
        sample_hole(seen.photo, seen.balance, hole) for hole in holes_on(seen.photo, texts)
    )


def compared(samples: Sequence[Sample]) -> tuple[str, ...]:
    """Say what differs between each pair of neighbouring holes, value first."""
    if not samples:
        return ()
    points = np.array([(found.x_px, found.y_px) for found in samples])
    labels = [found.label for found in samples]
    return compare_neighbours(labels, np.stack([found.lab for found in samples]), points)


def masses(seen: Seen, count: int | None) -> Families:
    """Return the families of the photo."""
    return find(seen.photo, seen.balance, count)


def values(seen: Seen, levels: int) -> ValueStudy:
    """Return the value study of the photo."""
    return study(seen.photo, seen.balance, levels)


def write_card(seen: Seen, holes: Sequence[Hole | Sample], out: Path, ground: str) -> None:
    """Draw the photo hidden under a card, only the holes showing.

    Raises:
        UsageError: no such ground. OutputError: it cannot be written.
    """
    _write_png(seen, out, punched_card(seen.photo, seen.balance, holes, ground))


def write_views(seen: Seen, found: Families, made: ValueStudy, views: Views) -> None:
    """Draw the views that are asked for: the value study, the squint and the masses."""
    if views.values:
        _write_png(seen, views.values, grey_picture(made))
    if views.squint:
        _write_png(seen, views.squint, to_srgb8(squint(seen.photo, seen.balance).xyz))
    if views.masses:
        colours = lab_to_srgb8(np.stack([family.lab for family in found.items]))
        _write_png(seen, views.masses, colours[found.labels])


def _write_png(seen: Seen, out: Path, picture: Picture) -> None:
    """Write a picture, but never over the photo itself, nor under another form's name."""
    if out.suffix.lower() != ".png":
        raise UsageError(f"A picture is not written as '{out.name}'; end its name in .png.")
    if out.exists() and out.samefile(seen.photo.path):
        raise OutputError(f"'{out}' is the photo itself; choose another name for the picture.")
    write_whole(out, as_png(picture))


def _written(frame: Frame) -> str:
    """Write a saved frame as a crop."""
    numbers = (frame.left_px, frame.top_px, frame.width_px, frame.height_px)
    return ",".join(str(number) for number in numbers)


def _check_light(light: LightAsked) -> None:
    """See that nothing said of the light would be passed over in silence."""
    ways = [way for way in (light.neutral, light.white, light.kelvin) if way is not None]
    if light.method is None and len(ways) > 1:
        raise UsageError(
            "The light is given in two ways; give one of --neutral, --white and --kelvin, "
            "or choose with --balance."
        )
    if light.tint_duv is not None and light.kelvin is None:
        raise UsageError("A tint goes with the light's temperature; give --kelvin too.")
    if light.neutral_lstar is not None and light.neutral is None:
        raise UsageError("A neutral value goes with a neutral spot; give --neutral too.")


def _request(light: LightAsked, photo: Photo) -> BalanceRequest:
    said = {
        "neutral": parse_spot(light.neutral).on(photo, "neutral") if light.neutral else None,
        "white": parse_spot(light.white).on(photo, "white") if light.white else None,
        "neutral_lstar": light.neutral_lstar,
        "kelvin": light.kelvin,
        "duv": light.tint_duv,
    }
    known = {key: value for key, value in said.items() if value is not None}
    return BalanceRequest(**known, keep_light=light.keep_light, set_exposure=light.set_exposure)  # type: ignore[arg-type]
