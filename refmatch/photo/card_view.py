"""The card laid over the photo: everything hidden but the colours in its holes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.errors import UsageError
from refmatch.photo.circle import covered_pixels, span
from refmatch.photo.light import Balance
from refmatch.photo.mask import Hole, Sample
from refmatch.photo.overview import seen_at
from refmatch.photo.photo import Photo
from refmatch.photo.picture import Picture, to_srgb8

GROUNDS: dict[str, tuple[float, float, float]] = {
    "grey": (50.0, 0.0, 0.0),
    "white": (97.0, 0.0, 0.0),
    "toned": (62.0, 7.0, 19.0),
}
"""Lab of the card: middle grey, white, or a canvas toned with a thin earth colour.

The toned ground is common practice, no source: a wash of an ochre or sienna
about value 6.
"""

RIM_PX = 1.25
RIM_LIGHT = 0.55
"""A rim in the card's shade parts the colour from the card without a hue of its own."""


def punched_card(
    photo: Photo,
    balance: Balance,
    holes: Sequence[Hole | Sample],
    ground: str = "grey",
    longest_side_px: int = 1400,
) -> Picture:
    """Show the balanced photo under a card with holes, as sRGB bytes (rows, columns, 3).

    Rims are smooth: card and photo are mixed as light, by the exact share of
    each pixel that the hole covers.

    Raises:
        UsageError: no such ground.
    """
    if ground not in GROUNDS:
        raise UsageError("unknown_card_ground", ground=ground, known=tuple(GROUNDS))
    working = seen_at(photo, longest_side_px)
    seen = working.xyz @ balance.matrix.T
    card = lab_to_xyz(np.array(GROUNDS[ground]), PHOTO_WHITE)
    shown = np.broadcast_to(card, seen.shape).copy()
    for hole in holes:
        _mix_in(shown, card * RIM_LIGHT, hole, working.scale, RIM_PX)
    for hole in holes:
        _mix_in(shown, seen, hole, working.scale, 0.0)
    return to_srgb8(shown)


def _mix_in(shown: Array, light: Array, hole: Hole | Sample, scale: float, wider_px: float) -> None:
    """Let ``light``, of the picture's size or one colour, show through a hole."""
    x, y = hole.x_px * scale, hole.y_px * scale
    radius = hole.diameter_px * scale / 2.0 + wider_px
    rows, columns = span(y, radius, shown.shape[0]), span(x, radius, shown.shape[1])
    share = covered_pixels(rows, columns, x, y, radius)[:, :, None]
    within = light[rows, columns] if light.ndim == 3 else light
    shown[rows, columns] += share * (within - shown[rows, columns])
