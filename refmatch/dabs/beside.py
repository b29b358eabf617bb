"""What can lie beside a dab, as surfaces of known colour: a grey, a chart, paint, a reference.

Each is only as sure as it is: white and black paint as the box knows them, a reference as its
Lab was measured, and where it is made of other pigments as far as another spectrum of the same
Lab may look other to the camera.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.additions import Parts
from refmatch.dabs.chart_colours import chart_patches
from refmatch.dabs.doubt import OTHER_PIGMENTS, PATCH_DOUBT_LSTAR, SAME_PIGMENTS, UNKNOWN_PIGMENTS
from refmatch.dabs.fuse import predict_piles
from refmatch.dabs.measured import bent_to
from refmatch.dabs.spot import Known, Spot, doubt_of, with_shine
from refmatch.flag import Flag
from refmatch.paint.box import Box

GREY, PATCH, PAINT, REFERENCE = "grey card", "chart", "paint", "reference"
"""What can be known beside a dab."""

CHART, GREY_CARD, SIDE_BY_SIDE = "chart", "grey card", "side by side"
"""The ways to look, by what is known beside the dab."""


@dataclass(frozen=True, eq=False)
class Beside:
    """A surface of known colour beside the dabs.

    ``kind`` is one of `GREY`, known by its ``lab``; `PATCH`, by its ``number`` on the chart, 1 to
    24, and where it lies there, ``at``; `PAINT`, by its ``parts`` (one tube as squeezed); and
    `REFERENCE`, by its ``lab``, and by its ``parts`` where it is a dab of the same tubes.
    """

    kind: str
    spot: Spot
    lab: Array | None = None
    number: int | None = None
    at: tuple[float, float] | None = None
    parts: Parts = ()


@dataclass(frozen=True, eq=False)
class DabPhoto:
    """The spot of each dab by its target's label, and what is known beside them.

    ``flags`` are of the photo; ``flags_of`` those of one dab, by its label. ``outlines`` (4, 2) are
    the windows in the photo, in pixels, where a card told of them.
    """

    spots: Mapping[str, Spot]
    beside: tuple[Beside, ...]
    flags: tuple[Flag, ...]
    flags_of: Mapping[str, tuple[Flag, ...]]
    outlines: Mapping[str, Array] = field(default_factory=dict)


def way_of(beside: Sequence[Beside]) -> str:
    """Return in which way dabs are looked at: the best that lies beside them."""
    kinds = {surface.kind for surface in beside}
    if PATCH in kinds:
        return CHART
    if REFERENCE in kinds:
        return SIDE_BY_SIDE
    return f"{GREY_CARD} and paint" if PAINT in kinds else GREY_CARD


CLIPPED, NO_CHART, NO_NEUTRAL, NO_DAYLIGHT = "clipped", "no_chart", "no_neutral", "no_daylight"
"""What a photo lacks that cannot tell: it is a name for a sentence."""


def lacking(beside: Sequence[Beside], *, is_clipped: bool) -> str:
    """Return what would let a photo tell more: what matters most of what it lacks.

    ``is_clipped`` is whether the dab is at an end of the photo's scale.
    """
    kinds = {surface.kind for surface in beside}
    if is_clipped:
        return CLIPPED
    if not kinds & {GREY, PATCH, REFERENCE}:
        return NO_NEUTRAL
    if PATCH not in kinds:
        return NO_CHART
    return NO_DAYLIGHT


def known_of(beside: Sequence[Beside], box: Box, dab: Parts, state: str) -> list[Known]:
    """Return surfaces of known colour; ``dab`` is what is in the dab that they lie beside."""
    return [_known(surface, box, dab, state) for surface in beside]


def measured_references(beside: Sequence[Beside], box: Box) -> list[tuple[Array, Array]]:
    """Return the references that are dabs of the box's own tubes, which they tell of, too.

    Each as its parts (tubes,) and its Lab (3,).
    """
    return [
        (parts_of(box, surface.parts), surface.lab)
        for surface in beside
        if surface.kind == REFERENCE and surface.parts and surface.lab is not None
    ]


def same_pigments(box: Box, one: Parts, other: Parts) -> bool:
    """Return whether two mixes are of the same pigments, so that no lamp tells them apart."""
    return _pigments(box, one) == _pigments(box, other)


def parts_of(box: Box, parts: Parts) -> Array:
    """Return parts by name as a row, (tubes,).

    Raises:
        UnknownTube: a part names none of the box's tubes.
    """
    row, names = np.zeros(len(box.tubes)), [tube.name for tube in box.tubes]
    for name, share in parts:
        row[names.index(box.tube(name).name)] += share
    return row


def _known(surface: Beside, box: Box, dab: Parts, state: str) -> Known:
    spot = surface.spot
    if surface.kind == GREY and surface.lab is not None:
        return grey_card(surface.lab, spot)
    if surface.kind == PATCH and surface.number is not None and surface.at is not None:
        return patch(surface.number, surface.at, spot)
    if surface.kind == PAINT:
        return paint(box, parts_of(box, surface.parts), spot, state)
    if surface.kind == REFERENCE and surface.lab is not None:
        made_of = parts_of(box, surface.parts or dab)
        guess = predict_piles(box, made_of[None]).reflectance[0]
        return reference(surface.lab, guess, spot, _doubt(box, surface.parts, dab))
    raise ValueError(f"nothing is known of a surface of kind '{surface.kind}'")


def _doubt(box: Box, made_of: Parts, dab: Parts) -> float:
    if not made_of:
        return UNKNOWN_PIGMENTS
    alike = same_pigments(box, made_of, dab)
    return SAME_PIGMENTS if alike else OTHER_PIGMENTS


def _pigments(box: Box, parts: Parts) -> frozenset[str]:
    return frozenset(key for name, share in parts if share > 0.0 for key in box.tube(name).keys)


def grey_card(lab: Array, spot: Spot) -> Known:
    """Return a card that is grey in every band and as light as a Lab (3,)."""
    y = float(lab_to_xyz(lab, ICC_WHITE)[1] / ICC_WHITE[1])
    return _surface("grey card", np.full(BANDS, y), spot)


def patch(number: int, at: tuple[float, float], spot: Spot) -> Known:
    """Return a patch of a 24-patch chart, counted from 1, and where it lies on the chart."""
    known = _surface(f"chart, patch {number}", chart_patches()[number - 1], spot)
    return replace(known, doubt_lstar=PATCH_DOUBT_LSTAR, on_chart=at)


def paint(box: Box, parts: Array, spot: Spot, state: str) -> Known:
    """Return paint of known parts (tubes,), as far as the box and the shine let it be known.

    Its doubt, one for all channels, is the root mean square over Lab of the standard errors by the
    box (its curves', its model's and the hand's) and by what the shine leaves open.
    """
    predicted = predict_piles(box, parts[None])
    shine = doubt_of(predicted.reflectance[0], state, box.surface)
    doubt = float(np.sqrt((np.trace(predicted.covariance) + shine @ shine) / 3.0))
    return _surface("paint", with_shine(predicted.reflectance[0], state, box.surface), spot, doubt)


def reference(lab: Array, guess: Array, spot: Spot, doubt_lstar: float) -> Known:
    """Return a surface of a measured Lab (3,), such as a print or an earlier dab.

    ``guess`` (31,) is a reflectance of its kind, which is bent to that Lab: its own recipe's, or,
    where that is not known, the dab's. ``doubt_lstar`` is one of the three above.
    """
    return _surface("reference", bent_to(guess, lab), spot, doubt_lstar)


def _surface(label: str, reflectance: Array, spot: Spot, doubt_lstar: float = 0.0) -> Known:
    return Known(label, spot, reflectance, doubt_lstar)
