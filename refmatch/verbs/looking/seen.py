"""What a photo of dabs shows, however it was found: by a card, by a chart, by pointing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.painting.rounds import Beside
from refmatch.swatch.dab import Spot


@dataclass(frozen=True, eq=False)
class Seen:
    """The spot of each dab by its target's label, and what is known beside them.

    ``flags`` are of the photo; ``flags_of`` those of one dab, by its label. ``outlines`` (4, 2) are
    the windows in the photo, in pixels, where a card told of them.
    """

    spots: Mapping[str, Spot]
    beside: tuple[Beside, ...]
    flags: tuple[Flag, ...]
    flags_of: Mapping[str, tuple[Flag, ...]]
    outlines: Mapping[str, Array] = field(default_factory=dict)
