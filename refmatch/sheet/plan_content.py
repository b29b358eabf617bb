"""What the pages of a plan say, as plain data: the key, the work, strings, palette, amounts.

Colours are Lab, (3,), D50. ``number`` is that of the slip whose target it is, None where
there is none.
"""

from __future__ import annotations

from dataclasses import dataclass

from refmatch.colorimetry.spectrum import Array
from refmatch.plan.key import UNMOVED


@dataclass(frozen=True, eq=False)
class KeyLine:
    """A target as the photo has it and as the key leaves it.

    ``values`` tells both, ``cautions`` where the photo knows nothing.
    """

    number: int
    label: str
    before: Array
    after: Array
    values: str
    cautions: tuple[str, ...]

    @property
    def is_moved(self) -> bool:
        """Whether the key moves it."""
        return abs(float(self.after[0] - self.before[0])) >= UNMOVED


@dataclass(frozen=True, eq=False)
class KeyShown:
    """The key of the picture, light before dark; ``aim`` says what the mixes aim at."""

    words: str
    aim: str
    lines: tuple[KeyLine, ...]


@dataclass(frozen=True, eq=False)
class WorkLine:
    """A puddle in the order of work; ``drawn_from`` is the order of the puddle it comes from.

    ``target`` is what it aims at, None for a mother that is only drawn from.
    ``volume_share`` is its paint beside the largest puddle's, 0 to 1. ``layer`` is how its layer is
    called and when that is dry, "" where there are no layers.
    """

    order: int
    number: int | None
    label: str
    drawn_from: int | None
    target: Array | None
    mix: Array
    words: str
    distance: str
    skins: str
    amount: str
    volume_share: float
    layer: str = ""


@dataclass(frozen=True, eq=False)
class StringLine:
    """A step of a string: the photo's colour there, the puddle's, and how it is drawn."""

    order: int
    wanted: Array
    mix: Array
    words: str
    looks: str


@dataclass(frozen=True, eq=False)
class StringShown:
    """A local colour as its string is worked; ``numbers`` are the slips that lie on it.

    The start comes first, then the steps up to the light, then those down to the shadow.
    """

    label: str
    numbers: tuple[int, ...]
    words: str
    steps: tuple[StringLine, ...]


@dataclass(frozen=True, eq=False)
class ReachShown:
    """What a palette reaches: a closed polygon of a* and b*, (n, 2)."""

    name: str
    tubes: str
    outline_ab: Array


@dataclass(frozen=True, eq=False)
class ReachDot:
    """A target in the picture of reach."""

    number: int
    lab: Array
    share: float


@dataclass(frozen=True, eq=False)
class TubeLine:
    """A tube of the palette: its colours, how much of it, and what is lost without it."""

    tube: str
    masstone: Array
    tint: Array
    amount: str
    without: str
    volume_share: float


@dataclass(frozen=True, eq=False)
class PlanShown:
    """All the pages of a plan; ``prices`` and ``known`` are a line each.

    So are ``to_buy`` and ``owned``, the tubes that the canvas takes; both empty without one.
    """

    key: KeyShown
    palette_words: str
    tubes: tuple[TubeLine, ...]
    prices: tuple[str, ...]
    known: tuple[str, ...]
    reaches: tuple[ReachShown, ...]
    dots: tuple[ReachDot, ...]
    work_words: str
    work: tuple[WorkLine, ...]
    strings: tuple[StringShown, ...]
    glazes: tuple[str, ...]
    amounts_words: str
    to_buy: tuple[str, ...] = ()
    owned: tuple[str, ...] = ()
