"""A box in the making as it stands: its card, its photos, every dab, and the box once made."""

from __future__ import annotations

from dataclasses import dataclass

from refmatch.card.layout import Card, PaintWindow
from refmatch.card.mend import Mend
from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube
from refmatch.paint.strength import Strength
from refmatch.painting.model import TubeOnTable


@dataclass(frozen=True)
class PhotoSeen:
    """A photo of one page of the card; ``key`` names it by its content."""

    key: str
    name: str
    page: int
    width_px: int
    height_px: int
    tilt_deg: float
    flags: tuple[Flag, ...]


@dataclass(frozen=True, eq=False)
class DabAfter:
    """What the box made has for a dab: Lab as the camera saw it and as found, (3,), and dE00."""

    seen: Array
    found: Array
    miss: float


@dataclass(frozen=True, eq=False)
class DabSeen:
    """One window of the card, what was painted in it, and its colour as read.

    ``window`` is as printed, ``painted`` as the painter says. ``lab`` (3,), by the grey card
    alone, and ``outline_px`` (4, 2) are None while no photo shows the page.
    """

    number: int
    window: PaintWindow
    painted: PaintWindow
    mend: Mend
    outline_px: Array | None = None
    lab: Array | None = None
    is_empty: bool = False
    flags: tuple[Flag, ...] = ()
    after: DabAfter | None = None


@dataclass(frozen=True, eq=False)
class TubeMade:
    """A tube as its dabs showed it: on the table, and how strong beside what was assumed."""

    tube: Tube
    on_table: TubeOnTable
    strength: Strength | None


@dataclass(frozen=True, eq=False)
class BoxMade:
    """The box that was made; ``is_behind`` where something was changed since."""

    key: str
    name: str
    is_behind: bool
    tubes: tuple[TubeMade, ...]
    flags: tuple[Flag, ...]


@dataclass(frozen=True, eq=False)
class Bench:
    """All of it. ``light`` is kelvins or a name, None where nobody knows."""

    key: str
    box: Box
    table: tuple[TubeOnTable, ...]
    card: Card
    light: float | str | None
    photos: tuple[PhotoSeen, ...]
    dabs: tuple[DabSeen, ...]
    made: BoxMade | None
