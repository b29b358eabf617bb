"""Dabs that a painter names one by one: where each lies, and what was mixed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from refmatch.card.chart.read import read_chart
from refmatch.errors import UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.photo.light import as_shot
from refmatch.photo.mask import sample
from refmatch.photo.photo import Photo
from refmatch.photo.place import parse_spot
from refmatch.swatch.dab import NONE_CLIPPED, Known, PhotoDab, Spot
from refmatch.verbs.dabs.by_chart import known_of_chart, use_of_chart
from refmatch.verbs.dabs.found import DabsFound, at_end, grey_of, light_of, numbers_of

BRIGHT_Y = 0.5
"""Above it a clipped hole is at the upper end of the scale, below at the lower."""


def found_by_hand(
    photo: Photo, dabs: Sequence[str], neutral: str | None, neutral_lstar: float, box: Box
) -> DabsFound:
    """Return the dabs, each "X,Y[,D]=TUBE,PARTS,WHITE_PARTS", and what is known beside them.

    That is the grey card at ``neutral``, a 24-patch chart that is found by itself, or both.

    Raises:
        UsageError: a dab cannot be read, or nothing in the photo is known. UnknownTube,
            HoleError: what they say.
    """
    numbers = numbers_of(box)
    read = [_dab(photo, text, box, numbers) for text in dabs]
    chart = read_chart(photo)
    patches = known_of_chart(chart)
    flags = [flag for _, found in read for flag in found] + list(chart.flags if chart else ())
    known: tuple[Known, ...] = ()
    if neutral is not None:
        grey, grey_flags = _grey_card(photo, neutral, neutral_lstar)
        known, flags = (grey,), [*grey_flags, *flags]
    elif not patches:
        raise UsageError(
            f"Nothing of known colour is in '{photo.path.name}': no 24-patch chart that can be "
            "used was found; point to a grey card with --neutral X,Y,D, or lay a chart beside the "
            "dabs."
        )
    return DabsFound(
        dabs=tuple(dab for dab, _ in read),
        known=known,
        flags=tuple(flags),
        chart=patches,
        charts=(use_of_chart(chart, patches, photo.path.name),),
    )


def _grey_card(photo: Photo, spot: str, lstar: float) -> tuple[Known, tuple[Flag, ...]]:
    found = sample(photo, as_shot(), parse_spot(spot).on(photo, "grey card"))
    xyz, sigma = light_of(found)
    known = Known(label="grey card", reflectance=grey_of(lstar), xyz=xyz, sigma=sigma)
    return known, found.flags


def _dab(
    photo: Photo, text: str, box: Box, numbers: Mapping[str, int]
) -> tuple[PhotoDab, tuple[Flag, ...]]:
    place, tube, (parts, white_parts) = _parsed(text)
    name = box.tube(tube).name
    spot, flags = spot_at(photo, place, name)
    laid = {name: parts}
    if white_parts:
        laid[box.white.name] = laid.get(box.white.name, 0.0) + white_parts
    dab = PhotoDab(
        label=f"{name} {parts:g} to {white_parts:g} white",
        tubes=tuple(numbers[tube] for tube in laid),
        parts=tuple(laid.values()),
        xyz=spot.xyz,
        sigma=spot.sigma,
        high=spot.high,
        low=spot.low,
    )
    return dab, flags


def spot_at(photo: Photo, place: str, name: str) -> tuple[Spot, tuple[Flag, ...]]:
    """Return what lies at a place, "X,Y[,DIAMETER]", and what to beware of; ``name`` is its own.

    Raises:
        UsageError: it is no place. HoleError: it lies outside the photo.
    """
    found = sample(photo, as_shot(), parse_spot(place).on(photo, name))
    xyz, sigma = light_of(found)
    clipped = at_end(np.full(3, found.clipped_fraction))
    bright = bool(xyz[1] > BRIGHT_Y)
    high, low = (clipped, NONE_CLIPPED) if bright else (NONE_CLIPPED, clipped)
    return Spot(xyz=xyz, sigma=sigma, high=high, low=low), found.flags


def _parsed(text: str) -> tuple[str, str, tuple[float, float]]:
    place, equals, mix = text.rpartition("=")
    try:
        tube, parts, white_parts = mix.split(",")
        amounts = float(parts), float(white_parts)
    except ValueError:
        raise UsageError(
            f"'{text}' is not a dab; write X,Y,D=TUBE,PARTS,WHITE_PARTS, such as "
            '"640,410,60=ultramarine,1,9".'
        ) from None
    if not equals or not 0.0 < amounts[0] < np.inf or not 0.0 <= amounts[1] < np.inf:
        raise UsageError(f"'{text}' needs a place, parts above 0, and parts of white from 0.")
    return place, tube.strip(), amounts
