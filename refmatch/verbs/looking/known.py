"""What the record says lies beside dabs, as surfaces of known colour."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box
from refmatch.painting.rounds import GREY, PAINT, PATCH, REFERENCE, Beside, Parts
from refmatch.swatch import beside as surfaces
from refmatch.swatch.dab import Known
from refmatch.swatch.look import Told
from refmatch.swatch.predicted import predict_piles
from refmatch.verbs.looking.saved import spot_of

CHART, GREY_CARD, SIDE_BY_SIDE = "chart", "grey card", "side by side"
"""The ways to look, by what is known beside the dab."""


def way_of(beside: Sequence[Beside]) -> str:
    """Return in which way dabs are looked at: the best that lies beside them."""
    kinds = {each.kind for each in beside}
    if PATCH in kinds:
        return CHART
    if REFERENCE in kinds:
        return SIDE_BY_SIDE
    return f"{GREY_CARD} and paint" if PAINT in kinds else GREY_CARD


def known_of(beside: Sequence[Beside], box: Box, dab: Parts, state: str) -> list[Known]:
    """Return surfaces of known colour; ``dab`` is what is in the dab that they lie beside."""
    return [_known(each, box, dab, state) for each in beside]


def references_told(beside: Sequence[Beside], box: Box) -> list[Told]:
    """Return the references that are dabs of the box's own tubes: they tell of the tubes, too."""
    return [
        Told(parts_of(box, each.parts), each.lab)
        for each in beside
        if each.kind == REFERENCE and each.parts and each.lab is not None
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


def _known(each: Beside, box: Box, dab: Parts, state: str) -> Known:
    spot = spot_of(each.spot)
    if each.kind == GREY and each.lab is not None:
        return surfaces.grey_card(each.lab, spot)
    if each.kind == PATCH and each.number is not None and each.at is not None:
        return surfaces.patch(each.number, each.at, spot)
    if each.kind == PAINT:
        return surfaces.paint(box, parts_of(box, each.parts), spot, state)
    if each.kind == REFERENCE and each.lab is not None:
        made_of = parts_of(box, each.parts or dab)
        guess = predict_piles(box, made_of[None]).reflectance[0]
        return surfaces.reference(each.lab, guess, spot, _doubt(box, each.parts, dab))
    raise ValueError(f"nothing is known of a surface of kind '{each.kind}'")


def _doubt(box: Box, reference: Parts, dab: Parts) -> float:
    if not reference:
        return surfaces.UNKNOWN_PIGMENTS
    alike = same_pigments(box, reference, dab)
    return surfaces.SAME_PIGMENTS if alike else surfaces.OTHER_PIGMENTS


def _pigments(box: Box, parts: Parts) -> frozenset[str]:
    return frozenset(key for name, share in parts if share > 0.0 for key in box.tube(name).keys)
