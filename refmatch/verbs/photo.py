"""Looking at a photo: its light, the colours in its holes, its masses and values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from refmatch.errors import UsageError
from refmatch.flag import Flag
from refmatch.photo.balance import BalanceRequest, estimate
from refmatch.photo.light import Balance
from refmatch.photo.load import load
from refmatch.photo.mask import Hole, Sample
from refmatch.photo.mask import sample as sample_hole
from refmatch.photo.photo import Photo
from refmatch.photo.place import parse_spot


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


@dataclass(frozen=True, eq=False)
class Seen:
    """A loaded photo and its balance: where every look at it begins."""

    photo: Photo
    balance: Balance

    @property
    def flags(self) -> tuple[Flag, ...]:
        """All cautions of the photo and of its light."""
        return (*self.photo.flags, *self.balance.flags)


def look(asked: PhotoAsked) -> Seen:
    """Load the photo and take the light out of it as asked.

    Raises:
        PhotoError, HoleError, BalanceError, UsageError: each with its sentence.
    """
    photo = load(asked.path, asked.crop, asked.proportion)
    return Seen(photo, estimate(photo, asked.light.method, _request(asked.light, photo)))


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
