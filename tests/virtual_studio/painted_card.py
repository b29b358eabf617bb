"""Cards painted by another painter and photographed by a phone: a file of bytes."""

from __future__ import annotations

import io
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from unittest.mock import patch

import numpy as np
from PIL import Image

from refmatch.dabs.card import Card, Frame, PaintWindow
from refmatch.dabs.dab_card import DabCard
from refmatch.paint.box import Box
from tests.dabs import studio as card_studio
from tests.virtual_studio.camera import camera_of
from tests.virtual_studio.instrument import mixed_by_hand
from tests.virtual_studio.paints import another_painters

SHOT = card_studio.Shot(tilt_deg=15.0, tilt_axis_deg=30.0, turn_deg=3.0)
SMALL_SHOT = replace(SHOT, width_px=1632, height_px=2176)
"""Where the photo's size is not the point: read in less than half the time."""

PAPER_LIKE = 0.85
HAND = 0.05

Painted = Mapping[int, tuple[str, float, float]]
"""By the number of a window: tube, parts and parts of white really painted there."""

Portions = Sequence[tuple[str, float]]
"""Tubes by name, and their parts."""


def painted_photo(
    box: Box,
    card: Card,
    seed: int,
    *,
    page: int = 1,
    instead: Painted | None = None,
    empty: Collection[int] = (),
    grey: bool = True,
    shot: card_studio.Shot = SHOT,
) -> bytes:
    """Return a JPEG of one page of a calibration card, painted as printed but for some windows."""
    changed = instead or {}
    piles = []
    for number, window in enumerate(card.windows):
        tube, parts, white_parts = changed.get(number, _printed(window))
        white = [(card.white, float(white_parts))] if white_parts else []
        is_pair = window.other and number not in changed
        other = [(window.other, float(window.other_parts))] if is_pair else []
        piles.append([(tube, float(parts)), *white, *other])
    reflectance = painted_by_hand(box, piles, seed)
    return _photo(card, reflectance, seed, page, empty=empty, grey=grey, shot=shot)


def dabs_photo(
    box: Box,
    card: DabCard,
    piles: Mapping[str, Portions],
    seed: int,
    *,
    page: int = 1,
    shot: card_studio.Shot = SHOT,
) -> bytes:
    """Return a JPEG of one page of a dab card, a dab of each target's pile in its window.

    White and black are painted as squeezed; a target without a pile has an empty window.
    """
    of_each = [
        [(each.tube, 1.0)] if isinstance(each, PaintWindow) else piles.get(each.target, ())
        for each in card.windows
    ]
    empty = [number for number, pile in enumerate(of_each) if not pile]
    painted = [pile or [(box.white.name, 1.0)] for pile in of_each]
    reflectance = painted_by_hand(box, painted, seed)
    return _photo(card, reflectance, seed, page, empty=empty, shot=shot)


def painted_by_hand(box: Box, piles: Sequence[Portions], seed: int) -> np.ndarray:
    """Return what piles reflect, (n, 31): another painter's tubes, mixed by a hand."""
    studio = another_painters(box.tubes, seed)
    names = [tube.name for tube in box.tubes]
    mixes = [tuple((names.index(tube), parts) for tube, parts in pile) for pile in piles]
    return studio.reflectance(mixed_by_hand(studio, mixes, HAND, seed))


def _photo(
    card: Frame,
    reflectance: np.ndarray,
    seed: int,
    page: int,
    *,
    empty: Collection[int] = (),
    grey: bool = True,
    shot: card_studio.Shot = SHOT,
) -> bytes:
    """Photograph a page whose windows hold paint of this ``reflectance`` (windows, 31)."""
    camera = camera_of("D50", seed)
    white = camera.weights.sum(axis=0)
    seen = reflectance @ camera.weights / white
    seen[list(empty)] = PAPER_LIKE
    with (
        patch.object(card_studio, "truths", lambda _: dict(zip(card.windows, seen, strict=True))),
        patch.object(card_studio, "encoded", camera.codes),
    ):
        drawn = card_studio.drawn(card, page, grey=grey) * white.astype(np.float32)
        matrix = card_studio.to_photo(shot, card)
        codes = card_studio.exposed(drawn, card, matrix, shot, card_studio.lamp)
    stream = io.BytesIO()
    Image.fromarray(codes).save(stream, "JPEG", quality=92)
    return stream.getvalue()


def _printed(window: PaintWindow) -> tuple[str, float, float]:
    return window.tube, window.parts, window.white_parts
