"""A card of few tubes, painted by another painter and photographed by a phone: a file of bytes."""

from __future__ import annotations

import io
from collections.abc import Collection, Mapping
from unittest.mock import patch

import numpy as np
from PIL import Image

from refmatch.card.layout import Card, Window
from refmatch.paint.box import Box
from tests.card import studio as card_studio
from tests.virtual_studio.camera import camera_of
from tests.virtual_studio.instrument import mixed_by_hand
from tests.virtual_studio.paints import another_painters

SHOT = card_studio.Shot(tilt_deg=15.0, tilt_axis_deg=30.0, turn_deg=3.0)
PAPER_LIKE = 0.85
HAND = 0.05

Painted = Mapping[int, tuple[str, float, float]]
"""By the number of a window: tube, parts and parts of white really painted there."""


def painted_photo(
    box: Box,
    card: Card,
    seed: int,
    *,
    page: int = 1,
    instead: Painted | None = None,
    empty: Collection[int] = (),
    grey: bool = True,
) -> bytes:
    """Return a JPEG of one page, painted as printed but for some windows."""
    camera = camera_of("D50", seed)
    white = camera.weights.sum(axis=0)
    seen = _seen(box, card, seed, instead or {}) @ camera.weights / white
    seen[list(empty)] = PAPER_LIKE
    with (
        patch.object(card_studio, "truths", lambda _: dict(zip(card.windows, seen, strict=True))),
        patch.object(card_studio, "encoded", lambda linear: _developed(linear, camera)),
    ):
        drawn = card_studio.drawn(card, page, grey=grey) * white.astype(np.float32)
        matrix = card_studio.to_photo(SHOT, card)
        codes = card_studio.exposed(drawn, card, matrix, SHOT, card_studio.lamp)
    stream = io.BytesIO()
    Image.fromarray(codes).save(stream, "JPEG", quality=92)
    return stream.getvalue()


def _seen(box: Box, card: Card, seed: int, instead: Painted) -> np.ndarray:
    """Return the reflectance of the paint in every window, (windows, 31)."""
    studio = another_painters(box.tubes, seed)
    names = [tube.name for tube in box.tubes]
    mixes = []
    for number, window in enumerate(card.windows):
        tube, parts, white_parts = instead.get(number, _printed(window))
        mix = [(names.index(tube), float(parts))]
        if white_parts:
            mix.append((names.index(card.white), float(white_parts)))
        mixes.append(tuple(mix))
    return studio.reflectance(mixed_by_hand(studio, mixes, HAND, seed))


def _printed(window: Window) -> tuple[str, float, float]:
    return window.tube, window.parts, window.white_parts


def _developed(linear: np.ndarray, camera) -> np.ndarray:
    return np.rint(255.0 * np.clip(camera.develop(linear), 0, 1)).astype(np.uint8)
