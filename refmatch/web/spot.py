"""A spot that is taken for grey or white: what it looks like as shot, and the light it tells."""

from __future__ import annotations

from dataclasses import dataclass

from refmatch.errors import BalanceError, UsageError
from refmatch.photo.hole import Hole, Sample, sample
from refmatch.photo.light import estimate
from refmatch.photo.light.balance import AskedLight, Balance, as_shot
from refmatch.say.sentence import sentence_of
from refmatch.web.desk import Desk

KINDS = ("neutral", "white")
"""The balance methods that go by a spot."""


@dataclass(frozen=True, eq=False)
class SpotRead:
    """A spot as shot, and the light it shows; or why it shows none that can be used."""

    sample: Sample
    balance: Balance | None
    refused: str = ""


def look_at_spot(
    desk: Desk,
    place_px: tuple[float, float, float],
    kind: str,
    lstar: float | None = None,
    shown: str = "",
) -> SpotRead:
    """Return what a spot looks like in the photo as shot, and the light it would show.

    Args:
        desk: the painting, which is not changed.
        place_px: centre and diameter in pixels of its frame; the spot may lie outside that.
        kind: one of `KINDS`, what the thing there is taken for.
        lstar: how light the thing is; None for white's usual, and where nobody knows.
        shown: the name of the photo that it lies in, "" the painting's own.

    Raises:
        HoleError: the spot does not lie on the photo.
        UsageError: no such kind. BalanceError: the lightness is out of its range.
    """
    if kind not in KINDS:
        raise UsageError("no_such_kind_of_spot", kind=kind)
    reckoner, seen = desk.of_photo(shown)
    view = reckoner.view(seen.frame)
    x_px, y_px, diameter_px = place_px
    x_px, y_px = x_px + view.left_px, y_px + view.top_px
    spot = sample(reckoner.whole, as_shot(), Hole(x_px, y_px, diameter_px))
    is_known = kind != "neutral" or lstar is not None
    asked = AskedLight(kind, x_px, y_px, diameter_px, lstar, set_exposure=is_known)
    try:
        return SpotRead(spot, estimate(reckoner.whole, asked))
    except BalanceError as error:
        return SpotRead(spot, None, sentence_of(error))
