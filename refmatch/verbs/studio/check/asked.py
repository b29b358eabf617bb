"""What the page asks of a look, read field by field."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from refmatch.card.page import GREY_CARD_LSTAR
from refmatch.card.spots import Places, Reference
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
from refmatch.painting.done import DidAsked
from refmatch.photo.length import Length
from refmatch.photo.place import Spot
from refmatch.swatch.finish import WET
from refmatch.target import check_lab
from refmatch.verbs.check import CheckAsked
from refmatch.verbs.studio.fields import Fields

CARD, POINTED = "card", "pointed"
"""The ways to say where dabs are."""

FARTHEST_PX = 1e5
MOST_ADDED = 6
MOST_PARTS = 1000.0

Given = Mapping[str, Any]


def check_asked(given: Given, photo: Path, folder: Path, label: str | None) -> CheckAsked:
    """Return what is asked of a photo; ``label`` is the target's that is pointed to.

    Raises:
        UsageError: a field is missing or wrong.
    """
    fields = Fields(given)
    state = fields.text("state") if "state" in fields else WET
    light = fields.text("light") if "light" in fields else ""
    way = fields.text("way")
    if way not in (CARD, POINTED):
        raise UsageError("'way' must be 'card' or 'pointed'.")
    places, reference = None, None
    if way == POINTED:
        places = _places(given)
        reference = Reference(_reference_lab(given)) if places.reference else None
    return CheckAsked(
        photo=photo,
        places=places,
        light=light or None,
        state=state,
        reference=reference,
        painting=folder,
        target_label=label if way == POINTED else None,
    )


def did_asked(given: Given) -> DidAsked:
    """Return what the painter says was done.

    Raises:
        UsageError: a field is missing or wrong.
    """
    fields = Fields(given)
    correction = fields.number_or_none("correction", 1, 99)
    return DidAsked(
        correction=None if correction is None else int(correction),
        added=tuple(_added(each) for each in _added_list(given)),
        divided="divided" in fields and fields.truth("divided"),
        anew="anew" in fields and fields.truth("anew"),
    )


def _added_list(given: Given) -> list[Any]:
    added = given.get("added") or []
    if not isinstance(added, list) or not all(isinstance(each, dict) for each in added):
        raise UsageError("'added' must be a list of what was added, each a name and parts.")
    if len(added) > MOST_ADDED:
        raise UsageError(f"{MOST_ADDED} additions at a time are the most.")
    return added


def _added(each: Given) -> tuple[str, float]:
    fields = Fields(each)
    parts = fields.number("parts", 0.0, MOST_PARTS)
    name = fields.text("name", 2 * 80)
    if not name.strip() or parts <= 0.0:
        raise UsageError("addition_of_nothing")
    return name.strip(), parts


def _places(given: Given) -> Places:
    places = given.get("places")
    if not isinstance(places, dict):
        raise UsageError("'places' must say where things lie on the photo.")
    if not isinstance(places.get("dab"), dict):
        raise UsageError("Click the dab in the photo first.")
    lstar = Fields(given).number_or_none("grey_lstar", 1.0, 100.0)
    return Places(
        dab=_place(places["dab"]),
        neutral=_place_or_none(places.get("grey")),
        neutral_lstar=GREY_CARD_LSTAR if lstar is None else lstar,
        white=_place_or_none(places.get("white")),
        black=_place_or_none(places.get("black")),
        reference=_place_or_none(places.get("reference")),
    )


def _place_or_none(place: Any) -> Spot | None:
    return None if place is None else _place(place)


def _place(place: Any) -> Spot:
    if not isinstance(place, dict):
        raise UsageError("A place on the photo has x_px, y_px and diameter_px.")
    fields = Fields(place)
    x, y = (fields.number(name, 0.0, FARTHEST_PX) for name in ("x_px", "y_px"))
    across = fields.number("diameter_px", 1.0, FARTHEST_PX)
    at_x, at_y, width = (Length(px, percent=False) for px in (x, y, across))
    return Spot(at_x, at_y, width)


def _reference_lab(given: Given) -> Array:
    lab = given.get("reference_lab")
    if not isinstance(lab, list) or len(lab) != 3:
        raise UsageError("Give the known colour's L*, a* and b*, such as 62, 14, 38.")
    fields = Fields(dict(zip(("L*", "a*", "b*"), lab, strict=True)))
    lightness = fields.number("L*", 0.0, 100.0)
    a, b = (fields.number(name, -200.0, 200.0) for name in ("a*", "b*"))
    return check_lab(np.array([lightness, a, b]), "The reference")
