"""A dab, and what lies beside it, where a painter points to them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.card.chart.read import read_chart
from refmatch.card.page import GREY_CARD_LSTAR
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BoxError, UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube
from refmatch.painting.rounds import GREY, PAINT, REFERENCE, Beside, Parts
from refmatch.photo.photo import Photo
from refmatch.verbs.dabs.by_hand import spot_at
from refmatch.verbs.looking.saved import patches_beside, saved
from refmatch.verbs.looking.seen import Seen


@dataclass(frozen=True)
class Places:
    """Where things lie on a photo, each "X,Y[,DIAMETER]", None where there is none.

    ``white`` and ``black`` are dabs of the box's own white and black, as squeezed.
    """

    dab: str
    neutral: str | None = None
    neutral_lstar: float = GREY_CARD_LSTAR
    white: str | None = None
    black: str | None = None
    reference: str | None = None


@dataclass(frozen=True, eq=False)
class Reference:
    """A colour that was measured: its Lab (3,), and what it is made of where it is a dab."""

    lab: Array
    parts: Parts = ()


def seen_where_pointed(
    photo: Photo, label: str, places: Places, box: Box, reference: Reference | None = None
) -> Seen:
    """Return what is seen of the dab of a target, and of all that is known beside it.

    A 24-patch chart is found by itself.

    Raises:
        UsageError: a place cannot be read, or nothing known lies beside the dab.
        HoleError: a place lies outside the photo. BoxError: the box has no such paint.
    """
    if not 0.0 < places.neutral_lstar <= 100.0:
        raise UsageError(
            f"A grey card cannot have L* {places.neutral_lstar:g}; give 1 to 100, or leave it out."
        )
    dab, dab_flags = spot_at(photo, places.dab, "dab")
    beside: list[Beside] = []
    flags: list[Flag] = []
    for pointed in _pointed(places, box, reference):
        spot, found = spot_at(photo, pointed.place, pointed.name)
        beside.append(Beside(pointed.kind, saved(spot), pointed.lab, parts=pointed.parts))
        flags += found
    patches, chart_flags = _chart(photo)
    if not beside and not patches:
        raise UsageError(
            f"Nothing of known colour is in '{photo.path.name}': no 24-patch chart was found; "
            "point to a grey card with --neutral X,Y,D, or to a dab of known Lab with "
            "--reference-hole and --reference-lab."
        )
    return Seen(
        {label: dab}, (*beside, *patches), (*flags, *chart_flags), {label: tuple(dab_flags)}
    )


@dataclass(frozen=True, eq=False)
class _Pointed:
    """Something known that is pointed to: its name and place, and what `Beside` says of it."""

    name: str
    place: str
    kind: str
    lab: Array | None = None
    parts: Parts = ()


def _pointed(places: Places, box: Box, reference: Reference | None) -> list[_Pointed]:
    found = []
    if places.neutral is not None:
        lab = np.array([places.neutral_lstar, 0.0, 0.0])
        found.append(_Pointed("grey card", places.neutral, GREY, lab))
    if places.white is not None:
        found.append(_Pointed("white", places.white, PAINT, parts=((box.white.name, 1.0),)))
    if places.black is not None:
        found.append(_Pointed("black", places.black, PAINT, parts=((black_of(box).name, 1.0),)))
    if reference is not None and places.reference is not None:
        told = _Pointed("reference", places.reference, REFERENCE, reference.lab, reference.parts)
        found.append(told)
    return found


def black_of(box: Box) -> Tube:
    """Return the black of a box.

    Raises:
        BoxError: there is none.
    """
    if box.black is None:
        raise BoxError(f"The box '{box.name}' has no black; leave --black-hole out.")
    return box.black


def _chart(photo: Photo) -> tuple[tuple[Beside, ...], tuple[Flag, ...]]:
    chart = read_chart(photo)
    if chart is None:
        return (), ()
    return tuple(patches_beside(chart)), chart.flags
