"""From the words of a command to the layer and medium of a hole, and the dry passage it meets."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from refmatch.cli.asking import Opened
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
from refmatch.painting.asked import (
    AskedHole,
    coat_of,
    labels_of,
)
from refmatch.painting.model import Painting
from refmatch.painting.record import last_dry
from refmatch.plan.layers import FINISH, LAYERS
from refmatch.target import parse_colour


def with_layers(
    opened: Opened, layers: Sequence[str] | None, worked_in: Sequence[str] | None
) -> Opened:
    """Return what is asked, with the layers and mediums said of its holes.

    A layer is said of a hole by its label, "pear=glaze"; a medium of a hole or of a whole layer,
    "finish=stand-oil,10". What is said of a hole comes before what is said of its layer.

    Raises:
        UsageError: it is malformed, no such hole, layer or medium.
    """
    holes = list(opened.asked.holes)
    for text in layers or ():
        label, layer = _pair(text)
        for place in _of_hole(holes, label):
            holes[place] = replace(holes[place], layer=layer)
            coat_of(holes[place])
    said = [(*_pair(text), text) for text in worked_in or ()]
    for what, words, text in sorted(said, key=lambda one: one[0] not in LAYERS):
        medium, _, percent = (part.strip() for part in words.partition(","))
        places = _of_layer(holes, what) if what in LAYERS else _of_hole(holes, what)
        for place in places:
            holes[place] = replace(
                holes[place], medium=medium, medium_percent=_percent(percent, text)
            )
            coat_of(holes[place])
    return replace(opened, asked=replace(opened.asked, holes=tuple(holes)))


def with_dry(opened: Opened, texts: Sequence[str] | None) -> Opened:
    """Return what is asked, of the dry passages that are said: to be met again, not the photo.

    Each is a hole's label, then the colour that its last dry dab was seen to have; or LABEL=COLOUR,
    or LABEL=photo to go back to the photo.

    Raises:
        UsageError: no such hole, or no dry dab of it was looked at. TargetError: no such colour.
    """
    holes = list(opened.asked.holes)
    for text in texts or ():
        labels = labels_of(holes)
        label, said = (text, "") if text in labels else _pair(text)
        (place,) = _of_hole(holes, label)
        if said == "photo":
            holes[place] = replace(holes[place], dry=None)
            continue
        lab = parse_colour(said) if said else _seen_dry(opened.painting, label)
        lightness, a, b = (round(float(value), 3) for value in lab)
        holes[place] = replace(holes[place], dry=(lightness, a, b))
    return replace(opened, asked=replace(opened.asked, holes=tuple(holes)))


def _seen_dry(painting: Painting | None, label: str) -> Array:
    lab = last_dry(painting, label) if painting else None
    if lab is None:
        raise UsageError("no_dry_dab", label=label)
    return lab


def _pair(text: str) -> tuple[str, str]:
    label, sign, rest = text.rpartition("=")
    if not sign or not label.strip() or not rest.strip():
        raise UsageError("not_said_of_anything", text=text)
    return label.strip(), rest.strip()


def _percent(text: str, whole: str) -> float | None:
    if not text:
        return None
    try:
        percent = float(text.removesuffix("%"))
    except ValueError:
        percent = math.nan
    if not math.isfinite(percent):
        raise UsageError("not_said_of_anything", text=whole)
    return percent


def _of_hole(holes: Sequence[AskedHole], label: str) -> tuple[int, ...]:
    labels = labels_of(holes)
    if label not in labels:
        raise UsageError("no_hole_called", label=label, known=labels)
    return (labels.index(label),)


def _of_layer(holes: Sequence[AskedHole], layer: str) -> tuple[int, ...]:
    """Return the holes of a layer; those of no layer in particular are of the finish."""
    return tuple(place for place, hole in enumerate(holes) if (hole.layer or FINISH) == layer)
