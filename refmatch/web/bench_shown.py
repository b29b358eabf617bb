"""A box in the making, as the page gets it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from refmatch.colorimetry.spectrum import Array
from refmatch.encode import Json, encode, number
from refmatch.paint.box import Strength
from refmatch.web.remedies import REMEDIES
from refmatch.web.shown import page

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.dabs.card import Card, PaintWindow
    from refmatch.dabs.photographs import Mend
    from refmatch.paint.box import Box
    from refmatch.painting.model import TubeOnTable
    from refmatch.recipe.advice import Dab
    from refmatch.web.bench_seen import Bench, BoxMade, DabSeen, PhotoSeen, TubeMade


def bench_shown(bench: Bench) -> Json:
    """Return all of a box in the making."""
    content = {
        "id": bench.key,
        "box": _box(bench.box, bench.table),
        "card": _card(bench.card),
        "light": bench.light,
        "photos": [_photo(photo) for photo in bench.photos],
        "dabs": [_dab(dab) for dab in bench.dabs],
        "made": None if bench.made is None else _made(bench.made),
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


def _box(box: Box, table: Sequence[TubeOnTable]) -> Json:
    return {
        "name": box.name,
        "parts_by": box.parts,
        "tubes": [_on_table(tube) for tube in table],
    }


def _on_table(tube: TubeOnTable) -> Json:
    return {
        "tube": tube.name,
        "pigments": list(tube.pigments),
        "is_white": tube.is_white,
        "masstone": tube.masstone,
        "tint": tube.tint,
    }


def _card(card: Card) -> Json:
    return {
        "paper": card.paper,
        "grey_lstar": number(card.neutral_value),
        "pages": card.pages,
        "white": card.white,
    }


def _photo(photo: PhotoSeen) -> Json:
    return {
        "key": photo.key,
        "name": photo.name,
        "page": photo.page,
        "width_px": photo.width_px,
        "height_px": photo.height_px,
        "tilt_deg": number(photo.tilt_deg, 0),
        "flags": tuple(photo.flags),
    }


def _dab(dab: DabSeen) -> Json:
    after = dab.after
    return {
        "dab": dab.number,
        "page": dab.window.page,
        "printed": _paint(dab.window),
        "painted": _paint(dab.painted),
        "mend": None if _says_nothing(dab.mend) else _mend(dab.mend),
        "state": _state(dab),
        "outline": None if dab.outline_px is None else _points(dab.outline_px),
        "colour": dab.lab,
        "flags": tuple(dab.flags),
        "seen": after.seen if after else None,
        "found": after.found if after else None,
        "residual_delta_e_00": number(after.miss) if after else None,
    }


def _state(dab: DabSeen) -> str:
    if dab.lab is None:
        return "no photo"
    if dab.mend.left_out:
        return "left out"
    return "empty" if dab.is_empty else "read"


def _paint(window: PaintWindow) -> Json:
    return {
        "tube": window.tube,
        "parts": window.parts,
        "white_parts": window.white_parts,
        "words": window.parts_in_words,
    }


def _says_nothing(mend: Mend) -> bool:
    return not mend.left_out and mend.paint is None and mend.spot is None


def _mend(mend: Mend) -> Json:
    spot = mend.spot
    return {
        "left_out": mend.left_out,
        "paint": mend.paint is not None,
        "spot": spot and {"x_px": spot.x_px, "y_px": spot.y_px, "diameter_px": spot.diameter_px},
    }


def _points(outline_px: Array) -> list[list[float | None]]:
    return [[number(x, 1), number(y, 1)] for x, y in outline_px]


def _made(made: BoxMade) -> Json:
    return {
        "id": made.key,
        "name": made.name,
        "is_behind": made.is_behind,
        "tubes": [_tube(tube) for tube in made.tubes],
        "flags": tuple(made.flags),
    }


def _tube(made: TubeMade) -> Json:
    return {
        **encode(made.tube, REMEDIES),
        "masstone": made.on_table.masstone,
        "tint": made.on_table.tint,
        "strength_words": strength_words(made.strength),
    }
