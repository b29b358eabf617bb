"""What a painting's record of looks tells of its tubes: each photo as evidence, or why it is none.

White and black as squeezed lie beside a dab to tell of the camera; for learning they are dabs of
their tubes like any other, since the box may be wrong about them. Greys, a chart, and a reference
of measured Lab are known.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.errors import UnknownTube
from refmatch.flag import Flag, flag_of
from refmatch.paint.box import Box
from refmatch.painting.learnings import NotTaken
from refmatch.painting.model import Painting
from refmatch.painting.rounds import Look, Round
from refmatch.swatch.beside import PAINT, known_of, parts_of
from refmatch.swatch.camera import Light, light_said
from refmatch.swatch.dab import PhotoDab, Spot
from refmatch.swatch.evidence import Evidence
from refmatch.swatch.finish import SUNK
from refmatch.swatch.own_camera import SAME
from refmatch.swatch.pile import Parts


@dataclass(frozen=True, eq=False)
class Shown:
    """Photos that tell of tubes, each with its SHA-256, and those that do not, with the reason."""

    looks: tuple[str, ...]
    photos: tuple[Evidence, ...]
    left_out: tuple[NotTaken, ...]


def shown_by(painting: Painting, box: Box, without: frozenset[str] = frozenset()) -> Shown:
    """Return what the record tells of a box's tubes, oldest photo first.

    ``without`` are photos, by SHA-256, that are not to be learnt from.
    """
    looks, photos, left_out = [], [], []
    piles: dict[str, list[_Piles]] = {}
    for look in painting.looks:
        digest = look.photo.sha256
        rounds = [each for each in painting.rounds if each.look == digest]
        if not rounds:
            continue
        found = _evidence(look, rounds, box) if digest not in without else _taken_back(look)
        if isinstance(found, NotTaken):
            left_out.append(found)
        else:
            looks.append(digest)
            photos.append(replace(found, sitting=_sitting(look, rounds, piles)))
    return Shown(tuple(looks), tuple(photos), tuple(left_out))


_Sitting = tuple[str, int]
_Piles = frozenset[tuple[str, int, Parts]]


def _sitting(look: Look, rounds: Sequence[Round], piles: dict[str, list[_Piles]]) -> _Sitting:
    """Return the day of a photo, and which of that day's sittings it belongs to.

    A photo that shows no pile but those that another of that day shows, with nothing added since,
    may share what is wrong with it. ``piles`` are those of each day's sittings so far.
    """
    shown = frozenset((each.target, each.pile, each.parts) for each in rounds)
    earlier = piles.setdefault(look.date, [])
    for number, before in enumerate(earlier):
        if shown <= before or before <= shown:
            earlier[number] = before | shown
            return look.date, number
    earlier.append(shown)
    return look.date, len(earlier) - 1


def _evidence(look: Look, rounds: Sequence[Round], box: Box) -> Evidence | NotTaken:
    digest = look.photo.sha256
    if look.state == SUNK:
        return NotTaken(digest, "sunk", Flag("sunk_dabs"))
    paints = [each for each in look.beside if each.kind == PAINT]
    others = [each for each in look.beside if each.kind != PAINT]
    if not others:
        return NotTaken(digest, "nothing_known", Flag("only_paint_known"))
    try:
        dabs = [_dab(each.target, each.spot, each.parts, box, look.state) for each in rounds]
        dabs += [_dab(_name(each.parts), each.spot, each.parts, box, look.state) for each in paints]
        known = known_of(others, box, rounds[0].parts, look.state)
    except UnknownTube as unknown:
        return NotTaken(digest, "unknown_tube", Flag("other_box", why=flag_of(unknown)))
    return Evidence(tuple(dabs), tuple(known), _light(look.light, box))


def _taken_back(look: Look) -> NotTaken:
    return NotTaken(look.photo.sha256, "taken_back", Flag("taken_back"))


def _dab(label: str, spot: Spot, parts: Parts, box: Box, state: str) -> PhotoDab:
    row = parts_of(box, parts)
    laid = {int(tube): float(row[tube]) for tube in np.flatnonzero(row)}
    return PhotoDab.at(spot, label, laid, state)


def _name(parts: Parts) -> str:
    return " + ".join(name for name, _ in parts)


def _light(said: str, box: Box) -> Light | None:
    """Return the light as it was told; that of a box's own photo only where it is known still."""
    if said.strip().lower() == SAME:
        return SAME if box.camera is not None else None
    return light_said(said) if said else None
