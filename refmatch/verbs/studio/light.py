"""What a spot of the photo would say of the light, before the painter takes it at its word."""

from __future__ import annotations

from dataclasses import dataclass

from refmatch.errors import BalanceError, UsageError
from refmatch.painting.asked import AskedLight
from refmatch.painting.lighting import request_of
from refmatch.photo.balance import estimate
from refmatch.photo.light import Balance, as_shot
from refmatch.photo.mask import Hole, Sample, sample
from refmatch.say.sentence import sentence_of
from refmatch.verbs.studio.desk import Desk

KINDS = ("neutral", "white")
"""The balance methods that go by a spot."""


@dataclass(frozen=True, eq=False)
class SpotSeen:
    """A spot as shot, and the light it shows; or why it shows none that can be used."""

    sample: Sample
    balance: Balance | None
    refused: str = ""


def look_at_spot(
    desk: Desk, place_px: tuple[float, float, float], kind: str, lstar: float | None = None
) -> SpotSeen:
    """Return what a spot looks like in the photo as shot, and the light it would show.

    Args:
        desk: the painting, which is not changed.
        place_px: centre and diameter in pixels of its frame; the spot may lie outside that.
        kind: one of `KINDS`, what the thing there is taken for.
        lstar: how light the thing is; None for the usual.

    Raises:
        HoleError: the spot does not lie on the photo.
        UsageError: no such kind. BalanceError: the lightness is out of its range.
    """
    if kind not in KINDS:
        raise UsageError("no_such_kind_of_spot", kind=kind)
    reckoner = desk.reckoner
    view = reckoner.view(desk.asked.frame)
    x_px, y_px, diameter_px = place_px
    x_px, y_px = x_px + view.left_px, y_px + view.top_px
    seen = sample(reckoner.whole, as_shot(), Hole(x_px, y_px, diameter_px, ""))
    request = request_of(AskedLight(kind, x_px, y_px, diameter_px, lstar))
    try:
        return SpotSeen(seen, estimate(reckoner.whole, kind, request))
    except BalanceError as error:
        return SpotSeen(seen, None, sentence_of(error))
