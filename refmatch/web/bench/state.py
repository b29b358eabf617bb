"""A box in the making as it stands, and the dabs to paint next, as the page gets them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from refmatch.colorimetry.lab import adaptation, lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.card import PaintWindow
from refmatch.dabs.photographs import Mend, as_painted, is_empty
from refmatch.dabs.read import CardRead, DabRead
from refmatch.encode import Json, encode, fields, number
from refmatch.flag import Flag
from refmatch.paint.box import Box, Strength, strength_beside
from refmatch.painting.own_box import tubes_on_table
from refmatch.recipe.advice import Dab
from refmatch.web.bench.files import (
    Folder,
    Notes,
    PageMended,
    PageReading,
    PhotoNote,
    card_digest,
    key_of,
    revision_of,
)
from refmatch.web.page import page
from refmatch.web.remedies import REMEDIES


def bench_shown(
    key: str,
    folder: Folder,
    notes: Notes,
    pages: Sequence[PageMended],
    readings: Mapping[str, PageReading],
) -> Json:
    """Return all of a box in the making: its card, its photos, every dab, and the box once made.

    Args:
        key: by which the page knows it.
        folder: where it lies.
        notes: what is noted of it.
        pages: its photos as read and mended.
        readings: the same photos as read, by the key of each.

    Raises:
        BoxError, CardError: something of it is damaged.
    """
    box, card = folder.box(), folder.card()
    made = folder.made(notes.made.box_digest) if notes.made else None
    read = {window: (one, dab) for one in pages for window, dab in one.dabs.items()}
    after = {dab.window: dab for dab in notes.made.dabs} if notes.made and made else {}
    dabs = []
    for place, window in enumerate(card.windows):
        mend = notes.mends.get(place, Mend())
        one, dab = read.get(place, (None, None))
        corners = dab.outline_px if dab else ()
        colour = _by_the_grey_card(dab, one.read, card.neutral_value) if one and dab else None
        known = after.get(place) if dab else None
        dabs.append(
            {
                "dab": place,
                "page": window.page,
                "printed": _paint(window),
                "painted": _paint(as_painted(window, mend)),
                "mend": None if mend == Mend() else _mend(mend),
                "state": _state(dab, mend),
                "outline": [[number(x, 1), number(y, 1)] for x, y in corners] or None,
                "colour": colour,
                "flags": dab.flags if dab else (),
                "seen": np.array(known.seen) if known else None,
                "found": np.array(known.found) if known else None,
                "residual_delta_e_00": number(known.miss) if known else None,
            }
        )
    shown = {flag for _, dab in read.values() for flag in dab.flags}
    content = {
        "id": key,
        "revision": revision_of(card, notes),
        "box": _box(box),
        "card": {
            "paper": card.paper,
            "grey_lstar": number(card.neutral_value),
            "pages": card.pages,
            "white": card.white,
        },
        "light": notes.light,
        "photos": [_photo(photo, readings[photo.key]) for photo in notes.photos],
        "dabs": dabs,
        "made": None,
    }
    if made and notes.made:
        content["made"] = {
            "id": f"own-{key_of(folder.made_path)}",
            "name": made.name,
            "is_behind": notes.made.made_of != notes.made_of(card_digest(card)),
            "tubes": _tubes(made, box),
            "flags": _of_the_whole(notes.made.flags, made, shown),
        }
    return page(content)


def advice_shown(dabs: Sequence[Dab]) -> Json:
    """Return the dabs to paint next, best first."""
    return page({"dabs": [encode(dab) | {"words": dab_words(dab)} for dab in dabs]})


def dab_words(dab: Dab) -> str:
    """Say what to mix, the least of it as one part: "9 titanium white and 1 ultramarine"."""
    if len(dab.portions) == 1:
        return f"{dab.portions[0][0]} as squeezed"
    least = min(parts for _, parts in dab.portions)
    laid = sorted(dab.portions, key=lambda portion: portion[1], reverse=True)
    return " and ".join(f"{parts / least:.3g} {tube}" for tube, parts in laid)


def strength_words(strength: Strength | None) -> str | None:
    """Say how strong a tube is beside what was assumed; None for a white."""
    if strength is None:
        return None
    if not strength.is_certain:
        return "as strong as assumed, within its doubt"
    if strength.ratio >= 1.0:
        return f"{100.0 * (strength.ratio - 1.0):.0f} % stronger than assumed"
    return f"{100.0 * (1.0 - strength.ratio):.0f} % weaker than assumed"


def _box(box: Box) -> Json:
    return {
        "name": box.name,
        "parts_by": box.parts,
        "tubes": [
            {"tube": tube.name, **fields(tube, "name", "cautions")} for tube in tubes_on_table(box)
        ],
    }


def _photo(photo: PhotoNote, reading: PageReading) -> Json:
    return {
        "key": photo.key,
        "name": photo.name,
        "page": photo.page,
        "width_px": reading.width_px,
        "height_px": reading.height_px,
        "tilt_deg": number(reading.read.position.tilt_deg, 0),
        "flags": reading.read.flags,
    }


def _state(dab: DabRead[PaintWindow] | None, mend: Mend) -> str:
    if dab is None:
        return "no photo"
    if mend.left_out:
        return "left out"
    return "empty" if is_empty(dab) else "read"


def _paint(window: PaintWindow) -> Json:
    return {
        "tube": window.tube,
        "parts": window.parts,
        "white_parts": window.white_parts,
        "words": window.parts_in_words,
    }


def _mend(mend: Mend) -> Json:
    spot = mend.spot
    return {
        "left_out": mend.left_out,
        "paint": mend.paint is not None,
        "spot": spot and {"x_px": spot.x_px, "y_px": spot.y_px, "diameter_px": spot.diameter_px},
    }


def _by_the_grey_card(dab: DabRead[PaintWindow], read: CardRead, lstar: float) -> Array:
    """Return a dab's Lab as far as the grey card tells: its cast gone, its brightness right.

    The camera's own ways are still in it; they are found with the paints when the box is made.
    """
    grey = read.grey.xyz
    expected = lab_to_xyz(np.array([lstar, 0.0, 0.0]), ICC_WHITE)
    as_lit = dab.xyz * (expected[1] / grey[1])
    return np.asarray(xyz_to_lab(adaptation(grey / grey[1], ICC_WHITE / 100.0) @ as_lit, ICC_WHITE))


def _tubes(made: Box, box: Box) -> list[Json]:
    """Return each tube as its dabs showed it, and how strong beside what was assumed."""
    return [
        {
            **encode(tube, REMEDIES),
            "masstone": on_table.masstone,
            "tint": on_table.tint,
            "strength_words": strength_words(
                None if tube.is_white else strength_beside(tube, box.tube(tube.name))
            ),
        }
        for tube, on_table in zip(made.tubes, tubes_on_table(made), strict=True)
    ]


def _of_the_whole(flags: Sequence[Flag], made: Box, shown: set[Flag]) -> tuple[Flag, ...]:
    """Return the flags that stand neither at a tube nor at a dab, each once."""
    shown = shown | {flag for tube in made.tubes for flag in tube.flags}
    return tuple(flag for flag in dict.fromkeys(flags) if flag not in shown)
