"""A painter's calibration card with a 24-patch chart beside it, photographed by a phone.

Another painter's tubes, let down by a 5 % hand, on the card's frame; the lamp stands over the
card, so that the chart beside it gets less light.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from refmatch.dabs.box_card import card_to_json, compose
from refmatch.dabs.card import Card
from refmatch.paint.box import Box
from refmatch.paint.box_file import write_box
from refmatch.photo.photo import Photo
from tests.dabs import studio as card_studio
from tests.dabs.studio import Shot
from tests.virtual_studio.boxes import PhotographAsked
from tests.virtual_studio.chart_photo import Laid, Setting, save
from tests.virtual_studio.chart_photo import photographed as photo_of_chart
from tests.virtual_studio.instrument import mixed_by_hand
from tests.virtual_studio.paints import NONE, Breaks, Studio, another_painters

CARD_AT_MM = (-225.0, -100.0)
"""Where the card's corner lies from the chart's: the chart lies at its right."""

VIEW_MM = (-230.0, -105.0, 360.0, 307.0)
SHOT = Shot(
    width_px=4000, height_px=3000, fill=0.97, tilt_deg=15.0, tilt_axis_deg=40.0, turn_deg=3.0
)


@dataclass(frozen=True, eq=False)
class PaintedCard:
    """A card as a painter filled it, and the paints' truth."""

    box: Box
    card: Card
    studio: Studio
    reflectance: np.ndarray


def painted_card(box: Box, seed: int, breaks: Breaks = NONE) -> PaintedCard:
    """Paint every window."""
    studio, card = another_painters(box.tubes, seed, breaks), compose(box)
    names = [tube.name for tube in box.tubes]
    mixes = []
    for window in card.windows:
        mix = [(names.index(window.tube), float(window.parts))]
        if window.white_parts:
            mix.append((names.index(card.white), float(window.white_parts)))
        if window.other:
            mix.append((names.index(window.other), float(window.other_parts)))
        mixes.append(tuple(mix))
    return PaintedCard(
        box, card, studio, studio.reflectance(mixed_by_hand(studio, mixes, 0.05, seed))
    )


def lamp(x_mm: np.ndarray, y_mm: np.ndarray) -> np.ndarray:
    """A lamp over the card's upper left: the chart gets about two thirds of what the card does."""
    return card_studio.lamp(x_mm - CARD_AT_MM[0], y_mm - CARD_AT_MM[1])


def setting_of(seed: int, light: str, shot: Shot = SHOT) -> Setting:
    return Setting(shot, camera=light, seed=seed, lamp=lamp, clutter=0, view_mm=VIEW_MM)


def card_laid(painted: PaintedCard, page: int, setting: Setting) -> Laid:
    """Return a page as the camera's sensor sees it."""
    card, weights = painted.card, setting.seen_by.weights
    white = weights.sum(axis=0).astype(np.float32)  # paper, ink and grey card are grey
    picture = card_studio.drawn(card, page) * white
    for window, colour in zip(card.windows, painted.reflectance @ weights, strict=True):
        if window.page == page:
            card_studio.fill(picture, window.place, colour)
            card_studio.fill(picture, window.bar, colour)
    return beside_chart(picture)


def beside_chart(picture: np.ndarray) -> Laid:
    """Lay a page's picture, in the sensor's own light, at the chart's left."""
    scale = card_studio.scale_of(picture)
    left, top = CARD_AT_MM
    to_mm = np.array([[1.0 / scale, 0.0, left], [0.0, 1.0 / scale, top], [0.0, 0.0, 1.0]])
    return Laid(picture, to_mm)


def page_photographed(picture: np.ndarray, setting: Setting) -> Photo:
    """Photograph a page in linear sRGB, as white as the camera's own white, beside a chart."""
    white = setting.seen_by.weights.sum(axis=0).astype(np.float32)
    return photo_of_chart(setting, [beside_chart(picture * white)])


def photographed(
    folder: Path,
    painted: PaintedCard,
    seed: int,
    light: str,
    *,
    with_chart: bool = True,
    shot: Shot = SHOT,
) -> PhotographAsked:
    """Photograph each page, and return what is asked of the program."""
    setting, photos = setting_of(seed, light, shot), []
    for page in range(1, painted.card.pages + 1):
        photos.append(folder / f"page-{page}{'-chart' if with_chart else ''}.jpg")
        beside = [card_laid(painted, page, setting)]
        save(photos[-1], setting, beside, reflectance=None if with_chart else np.zeros((0, 31)))
    (folder / "card.json").write_text(card_to_json(painted.card))
    write_box(folder / "start.toml", painted.box)
    return PhotographAsked(tuple(photos), folder / "start.toml", folder / "card.json")
