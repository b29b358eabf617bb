"""A box from photos of dabs: found by the printed card, or clicked one by one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from refmatch.card.compose import GREY_CARD_LSTAR, check_made_for
from refmatch.card.form import read_card_file
from refmatch.card.layout import Card
from refmatch.card.patch import Patch
from refmatch.card.read import DabRead, read_card
from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.disk import check_folder_of
from refmatch.errors import UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.box_file import write_box
from refmatch.paint.characterise.learnt import Named
from refmatch.photo.light import as_shot
from refmatch.photo.load import load
from refmatch.photo.mask import Sample
from refmatch.photo.mask import sample as sample_hole
from refmatch.photo.photo import Photo
from refmatch.photo.place import parse_spot
from refmatch.swatch.calibrate import Calibrated, calibrate
from refmatch.swatch.dab import Known, PhotoDab
from refmatch.swatch.lamp import Light
from refmatch.verbs.mix import open_box

CLIPPED_SHARE = 0.02
"""Part of a dab's pixels at an end of the file's scale from which its channel is a bound."""

UNEVEN_COUNTS, LEAST_SIGMA = 0.25, 0.002
"""How much of a dab's unevenness is an error of its mean, and the least error (own choice)."""


@dataclass(frozen=True)
class PhotographAsked:
    """What is photographed: by a printed card, or as dabs and a neutral spot by hand.

    ``dabs`` are "X,Y[,D]=TUBE,PARTS,WHITE_PARTS"; ``light`` is a temperature in kelvin, "A"
    or "LED", None where nobody knows.
    """

    photos: tuple[Path, ...]
    box: Path | None = None
    card: Path | None = None
    dabs: tuple[str, ...] = ()
    neutral: str | None = None
    neutral_lstar: float = GREY_CARD_LSTAR
    light: str | None = None
    name: str | None = None


@dataclass(frozen=True, eq=False)
class PhotographedBox:
    """A box of photographed tubes, and how well it explains its dabs (dE00, by their labels)."""

    box: Box
    misses: tuple[tuple[str, float], ...]
    flags: tuple[Flag, ...]


def photograph_box(asked: PhotographAsked, out: Path) -> PhotographedBox:
    """Make a box of a painter's own tubes from photos of their dabs, and write it.

    Raises:
        CardError: the card is not found, or is another box's. PhotoError, BoxError,
            UsageError, HoleError: what they say. OutputError: it cannot be written.
    """
    check_folder_of(out)
    box = open_box(asked.box)
    light = _light(asked.light)
    if asked.card is None:
        _check_by_hand(asked)
    photos = [load(path) for path in asked.photos]
    dabs, neutrals, flags = (
        _by_card(photos, _card_of(asked.card, box), box)
        if asked.card
        else _by_hand(photos, asked, box)
    )
    made = calibrate(
        [Named.of(tube) for tube in box.tubes if _is_seen(box, tube.name, dabs)],
        box.white.name,
        _numbered(box, dabs),
        neutrals,
        light=light,
        name=asked.name or out.stem,
        parts=box.parts,
    )
    write_box(out, made.box)
    return _told(made, dabs, flags)


def _told(made: Calibrated, dabs: Sequence[PhotoDab], flags: tuple[Flag, ...]) -> PhotographedBox:
    misses = tuple((dab.label, miss) for dab, miss in zip(dabs, made.misses, strict=True))
    tube_flags = tuple(flag for tube in made.box.tubes for flag in tube.flags)
    return PhotographedBox(made.box, misses, (*flags, *tube_flags, *made.flags))


def _light(said: str | None) -> Light | None:
    """Return a light as written: kelvins where it is a number, else its name."""
    if said is None:
        return None
    try:
        return float(said.upper().removesuffix("K"))
    except ValueError:
        return said


def _card_of(path: Path, box: Box) -> Card:
    card = read_card_file(path)
    check_made_for(card, box)
    return card


def _by_card(
    photos: Sequence[Photo], card: Card, box: Box
) -> tuple[list[PhotoDab], list[Known], tuple[Flag, ...]]:
    reads = read_card(photos, card)
    numbers = _numbers(box)
    dabs: list[PhotoDab] = []
    neutrals: list[Known] = []
    flags: list[Flag] = []
    for number, read in enumerate(reads):
        paper = float(read.paper[1])
        neutrals.append(_known_grey(card.neutral_value, read.grey, paper, number))
        flags += read.flags
        for dab in read.dabs:
            flags += dab.flags
            if all(flag.name != "looks_empty" for flag in dab.flags):
                dabs.append(_photo_dab(dab, card, numbers, (paper, number)))
    return dabs, neutrals, tuple(flags)


def _photo_dab(
    dab: DabRead, card: Card, numbers: Mapping[str, int], where: tuple[float, int]
) -> PhotoDab:
    window = dab.window
    mix = {window.tube: float(window.parts)}
    if window.white_parts:
        mix[card.white] = float(window.white_parts)
    high, low = _ends(dab.patch)
    return PhotoDab(
        label=window.label,
        tubes=tuple(numbers[tube] for tube in mix),
        parts=tuple(mix.values()),
        xyz=dab.xyz,
        sigma=_sigma(dab.spread),
        high=high,
        low=low,
        shading=dab.shading,
        paper=where[0],
        photo=where[1],
    )


def _known_grey(lstar: float, patch: Patch, paper: float, photo: int) -> Known:
    high, low = _ends(patch)
    return Known(
        label="grey card",
        reflectance=_grey_of(lstar),
        xyz=patch.xyz,
        sigma=_sigma(patch.spread),
        high=high,
        low=low,
        shading=patch.shading,
        paper=paper,
        photo=photo,
    )


def _grey_of(lstar: float) -> Array:
    """Return the reflectance, (31,), of a card that is grey in every band."""
    y = lab_to_xyz(np.array([lstar, 0.0, 0.0]), PHOTO_WHITE)[1] / PHOTO_WHITE[1]
    return np.full(BANDS, float(y))


def _ends(patch: Patch) -> tuple[tuple[bool, bool, bool], tuple[bool, bool, bool]]:
    return _three(patch.clipped_high), _three(patch.clipped_low)


def _three(clipped: Array) -> tuple[bool, bool, bool]:
    """A file of one channel, or of four inks, has its end in all three or in none."""
    at_end = np.asarray(clipped) >= CLIPPED_SHARE
    if at_end.shape != (3,):
        at_end = np.full(3, bool(at_end.any()))
    red, green, blue = (bool(each) for each in at_end)
    return red, green, blue


def _sigma(spread: Array) -> Array:
    return np.hypot(UNEVEN_COUNTS * spread, LEAST_SIGMA)


def _check_by_hand(asked: PhotographAsked) -> None:
    """See that all that only a painter can say is said.

    Raises:
        UsageError: something is missing.
    """
    if len(asked.photos) != 1:
        raise UsageError("Dabs without a card are read from one photo; give one, or --card.")
    if not asked.dabs or asked.neutral is None:
        raise UsageError(
            'Without --card, name each dab with --dab "X,Y,D=TUBE,PARTS,WHITE_PARTS", and a '
            "grey card with --neutral X,Y,D."
        )


def _by_hand(
    photos: Sequence[Photo], asked: PhotographAsked, box: Box
) -> tuple[list[PhotoDab], list[Known], tuple[Flag, ...]]:
    photo, numbers = photos[0], _numbers(box)
    read = [_dab_by_hand(photo, text, box, numbers) for text in asked.dabs]
    assert asked.neutral is not None
    grey = sample_hole(photo, as_shot(), parse_spot(asked.neutral).on(photo, "grey card"))
    xyz, sigma = _light_of(grey)
    known = Known(
        label="grey card", reflectance=_grey_of(asked.neutral_lstar), xyz=xyz, sigma=sigma
    )
    flags = (*grey.flags, *(flag for _, found in read for flag in found.flags))
    return [dab for dab, _ in read], [known], flags


def _dab_by_hand(
    photo: Photo, text: str, box: Box, numbers: Mapping[str, int]
) -> tuple[PhotoDab, Sample]:
    place, equals, mix = text.rpartition("=")
    try:
        tube, parts, white_parts = mix.split(",")
        amounts = float(parts), float(white_parts)
    except ValueError:
        raise UsageError(
            f"'{text}' is not a dab; write X,Y,D=TUBE,PARTS,WHITE_PARTS, such as "
            '"640,410,60=ultramarine,1,9".'
        ) from None
    if not equals or not amounts[0] > 0.0 or amounts[1] < 0.0:
        raise UsageError(f"'{text}' needs a place, parts above 0, and parts of white from 0.")
    name = box.tube(tube.strip()).name
    found = sample_hole(photo, as_shot(), parse_spot(place).on(photo, name))
    laid = {name: amounts[0]}
    if amounts[1]:
        laid[box.white.name] = laid.get(box.white.name, 0.0) + amounts[1]
    xyz, sigma = _light_of(found)
    clipped = _three(np.full(3, found.clipped_fraction))
    bright = bool(xyz[1] > 0.5)
    none = (False, False, False)
    dab = PhotoDab(
        label=f"{name} {amounts[0]:g} to {amounts[1]:g} white",
        tubes=tuple(numbers[tube] for tube in laid),
        parts=tuple(laid.values()),
        xyz=xyz,
        sigma=sigma,
        high=clipped if bright else none,
        low=none if bright else clipped,
    )
    return dab, found


def _light_of(sample: Sample) -> tuple[Array, Array]:
    """Return the mean light of a hole, white Y = 1, and its error."""
    xyz = lab_to_xyz(sample.lab, PHOTO_WHITE) / PHOTO_WHITE[1]
    texture = np.sqrt(max(float(sample.covariance[0, 0]), 0.0)) / 100.0
    return xyz, _sigma(np.full(3, texture) * np.cbrt(np.maximum(xyz, 1e-3)) ** 2 * 3.0)


def _numbers(box: Box) -> dict[str, int]:
    return {tube.name: number for number, tube in enumerate(box.tubes)}


def _is_seen(box: Box, name: str, dabs: Sequence[PhotoDab]) -> bool:
    number = _numbers(box)[name]
    return any(number in dab.tubes for dab in dabs)


def _numbered(box: Box, dabs: Sequence[PhotoDab]) -> list[PhotoDab]:
    """Number the tubes anew where some of the box were not painted."""
    seen = [i for i, tube in enumerate(box.tubes) if _is_seen(box, tube.name, dabs)]
    anew = {old: new for new, old in enumerate(seen)}
    return [replace(dab, tubes=tuple(anew[tube] for tube in dab.tubes)) for dab in dabs]
