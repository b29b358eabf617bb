"""Reading the dab card: the light of each dab, of white and black, of grey card and chart."""

from __future__ import annotations

from dataclasses import dataclass, replace

from refmatch.card.cautions import empty_flags, grey_flags
from refmatch.card.chart.read import ChartRead, read_chart
from refmatch.card.dab_card.layout import DabCard, TargetWindow
from refmatch.card.layout import PaintWindow
from refmatch.card.patch import Patch
from refmatch.card.read import DabRead, PageSeen, read_dabs, read_grey, see_page
from refmatch.colorimetry.lab import chroma
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import CardError
from refmatch.flag import Flag
from refmatch.photo.photo import Photo

NEARLY_WHITE_LSTAR, NEARLY_WHITE_CHROMA = 80.0, 12.0
"""Of a target: from here on its dab may be as white as bare paper (own choice)."""

Dab = DabRead[TargetWindow | PaintWindow]


@dataclass(frozen=True, eq=False)
class DabCardRead:
    """One page of the dab card as a photo has it.

    ``dabs`` hold paint, ``empty`` seem to hold none. ``grey`` is None where the grey card is not
    there, or not a grey card; then ``chart``, a 24-patch chart beside the card, is. ``paper`` (3,)
    is on the dabs' scale.
    """

    page: int
    dabs: tuple[Dab, ...]
    empty: tuple[Dab, ...]
    grey: Patch | None
    chart: ChartRead | None
    paper: Array
    flags: tuple[Flag, ...]


def read_dab_card(photo: Photo, card: DabCard) -> DabCardRead:
    """Find the dab card in a photo and read every dab of its page.

    Raises:
        CardError: the card cannot be found or used (`find`), or neither a grey card nor a
            24-patch chart is there.
    """
    seen = see_page(photo, card)
    chart = read_chart(photo)
    grey, flags = _grey(seen, card, chart)
    dabs = [_judged(dab, card, seen.light.paper) for dab in read_dabs(seen, card)]
    return DabCardRead(
        page=seen.page,
        dabs=tuple(dab for dab in dabs if not is_empty(dab)),
        empty=tuple(dab for dab in dabs if is_empty(dab)),
        grey=grey,
        chart=chart,
        paper=seen.light.paper,
        flags=(*seen.flags, *flags, *(chart.flags if chart else ())),
    )


def is_empty(dab: Dab) -> bool:
    """Return whether a window seems to hold no paint."""
    return any(flag.name == "looks_empty" for flag in dab.flags)


def _grey(
    seen: PageSeen, card: DabCard, chart: ChartRead | None
) -> tuple[Patch | None, tuple[Flag, ...]]:
    """Return the grey card; a chart whose patches can be used takes its place."""
    try:
        grey = read_grey(seen, card)
    except CardError as error:
        if chart is None or not chart.patches:
            raise CardError("neither_grey_nor_chart", why=error) from error
        return None, (Flag("grey_card_not_seen"),)
    return grey, grey_flags(grey)


def _judged(dab: Dab, card: DabCard, paper: Array) -> Dab:
    """Say of a dab whether there is any.

    Paint that is meant to be nearly white counts as empty only where the bar under it is bare too.
    """
    bare = any(flag.name == "hiding_unknown" for flag in dab.flags)
    if _may_be_white(dab.window, card) and not bare:
        return dab
    return replace(dab, flags=(*dab.flags, *empty_flags(dab.window, dab.patch, paper)))


def _may_be_white(window: TargetWindow | PaintWindow, card: DabCard) -> bool:
    if isinstance(window, PaintWindow):
        return window.tube == card.white
    lab = window.wanted
    return bool(lab[0] >= NEARLY_WHITE_LSTAR and chroma(lab) < NEARLY_WHITE_CHROMA)
