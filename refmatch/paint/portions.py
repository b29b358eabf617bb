"""Parts of tubes as a painter writes them: ``TUBE=PARTS``, or "4½ white" as recipes are printed."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterable, Sequence

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


LET_DOWN_NAME = re.compile(r"(?P<tube>.+), 1 to (?P<white>\d{1,3}) white")
"""How a let-down is called among what goes into a puddle."""

_VULGAR = "¼½¾⅓⅔⅛⅜⅝⅞"
_AMOUNT = re.compile(
    rf"(?P<whole>\d+)\s*(?P<sign>[{_VULGAR}])|(?P<alone>[{_VULGAR}])"
    r"|(?:(?P<before>\d+)\s+)?(?P<over>\d+)\s*[/⁄]\s*(?P<under>[1-9]\d*)"
    r"|(?P<plain>\d+(?:[.,]\d+)?|[.,]\d+)"
)
_AMOUNT_OF = re.compile(
    rf"\s*(?P<amount>{re.sub(r'[?]P<[a-z]+>', '?:', _AMOUNT.pattern)})\s*"
    r"(?:parts?\s+of\s+|parts?\s+|of\s+|[x×]\s+)?(?P<name>[^\W\d_].*)",
    re.IGNORECASE | re.DOTALL,
)
_PRINTED_LET_DOWN = re.compile(
    r"(?P<tube>.+?)(?:\s+let-down)?\s*\(\s*1\s*(?:to|:)\s*(?P<white>\d{1,3})[^)]*\)"
)
_APART = re.compile(r"\s*(?:,(?!\s*1 to \d)(?!(?<=\d,)\d)|;|\+|\n|\band\b)\s*(?![^()]*\))")


def amount_of(text: str) -> float:
    """Return an amount as a painter writes it: "4½", "4 1/2", "4.5", "4,5", "¼"; NaN of no such."""
    written = _AMOUNT.fullmatch(text.strip())
    if written is None:
        try:
            return float(text)
        except ValueError:
            return math.nan
    if written["plain"]:
        return float(written["plain"].replace(",", "."))
    if written["under"]:
        return float(written["before"] or 0.0) + int(written["over"]) / int(written["under"])
    return float(written["whole"] or 0.0) + unicodedata.numeric(written["sign"] or written["alone"])


def name_and_parts(text: str) -> tuple[str, float]:
    """Read ``TUBE=PARTS``, or as recipes are printed.

    That is "4½ white", or "3 ultramarine let-down (1 : 9 white)". A let-down is called as
    `LET_DOWN_NAME` has it. The parts are NaN where it is none of this.
    """
    name, equals, amount = text.rpartition("=")
    printed = _AMOUNT_OF.fullmatch(text)
    if not equals and printed:
        name, amount = printed["name"], printed["amount"]
    parts = amount_of(amount) if name.strip() else math.nan
    let_down = _PRINTED_LET_DOWN.fullmatch(name.strip())
    if let_down:
        name = f"{let_down['tube']}, 1 to {let_down['white']} white"
    return name.strip(), parts


def listed(text: str) -> tuple[tuple[str, float], ...]:
    """Read a list of parts, "4½ white, 1 burnt umber and ¼ black", names as they are written.

    Raises:
        UsageError: something in it is no part of a tube, or no part is above 0.
    """
    items = [item for item in _APART.split(text) if item and item.strip()]
    parts = tuple(name_and_parts(item) for item in items)
    for item, (_, share) in zip(items, parts, strict=True):
        if not 0.0 <= share < math.inf:
            raise UsageError("not_an_amount", text=item.strip())
    if not sum(share for _, share in parts) > 0.0:
        raise UsageError("no_part_above_nothing")
    return parts


def in_tubes(parts: Iterable[tuple[str, float]], box: Box) -> tuple[tuple[str, float], ...]:
    """Return parts by the names of a box's tubes, each once; a let-down as what is in it.

    Raises:
        UnknownTube, BoxError: a name is none of its tubes', or may be several.
    """
    net: dict[str, float] = {}
    for name, share in parts:
        for tube, own in _undone(name, box):
            net[tube] = net.get(tube, 0.0) + own * share
    return tuple((tube, share) for tube, share in net.items() if share > 0.0)


def _undone(name: str, box: Box) -> list[tuple[str, float]]:
    """Return the tubes of one part of a tube or a let-down."""
    let_down = LET_DOWN_NAME.fullmatch(name)
    if let_down is None:
        return [(box.tube(name).name, 1.0)]
    white = int(let_down["white"])
    return [
        (box.tube(let_down["tube"]).name, 1.0 / (1 + white)),
        (box.white.name, white / (1 + white)),
    ]


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
