"""Parts of tubes as a painter writes them: ``TUBE=PARTS``."""

from __future__ import annotations

import math
from collections.abc import Sequence

from refmatch.errors import UnknownTube, UsageError
from refmatch.paint.box import Box, Tube
from refmatch.paint.box_file import built_in_box
from refmatch.paint.labelled import tube_labelled
from refmatch.paint.library import every_name, find_paint


def portions_of(portions: Sequence[str], box: Box | None) -> list[tuple[Tube, float]]:
    """Read parts such as ``["ultramarine=3", "PW6=1"]``.

    Without a box, any built-in pigment may stand for a tube.

    Raises:
        UsageError: a portion is not TUBE=PARTS, or no part is above 0.
        UnknownTube: no such tube; the sentence lists the near names.
    """
    read = [_portion(text, box) for text in portions]
    if not sum(amount for _, amount in read) > 0.0:
        raise UsageError("no_part_above_nothing")
    return read


def name_and_parts(text: str) -> tuple[str, float]:
    """Split ``TUBE=PARTS`` at its last sign; the parts are NaN where it is not that."""
    name, equals, amount = text.rpartition("=")
    try:
        parts = float(amount)
    except ValueError:
        parts = math.nan
    return name.strip(), parts if equals and name.strip() else math.nan


def _portion(text: str, box: Box | None) -> tuple[Tube, float]:
    name, parts = name_and_parts(text)
    if not 0.0 <= parts < math.inf:
        raise UsageError("not_a_portion", text=text)
    return (box.tube(name) if box else _any_tube(name)), parts


def _any_tube(name: str) -> Tube:
    """Return a tube of the box that comes with refmatch, else of any paint that a label names.

    What a whole name may mean goes before what a part of a tube's name may: "umber" is asked about.
    """
    box = built_in_box()
    exact = [tube for tube in box.tubes if tube.name.lower() == name.strip().lower()]
    if exact:
        return exact[0]
    try:
        meant = find_paint(name).key
    except UnknownTube:
        try:
            return box.tube(name)
        except UnknownTube:
            known = (*(tube.name for tube in box.tubes), *every_name())
            raise UnknownTube(name, known) from None
    return next((tube for tube in box.tubes if meant in tube.paints), None) or tube_labelled(name)
