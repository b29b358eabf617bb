"""The printed frame: the card's own PDF on paper, its windows cut out by hand; the grey card."""

from __future__ import annotations

from collections.abc import Mapping

import cv2
import numpy as np
import pymupdf

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.card import Frame, Rectangle

from ..noise import fractal_noise
from .raster import PX_PER_MM, Patch, Raster, rectangle, turned

PAPER_MM, LIFTED_MM = 0.10, 0.22
"""The paper's thickness, and how far its cut edges stand off the canvas."""

GREY_OVERHANG_MM = 2.6
GREY_TURN_DEG = -1.3

Colours = Mapping[str, Array]


def lay_frame(raster: Raster, card: Frame, colours: Colours, page: pymupdf.Page) -> None:
    """Print the page, cut its windows, and lay it over the canvas with the shadow of its edges."""
    patch = raster.patch(Rectangle(0.0, 0.0, card.width_mm, card.height_mm), 6.0)
    cover = rectangle(patch, Rectangle(0.0, 0.0, card.width_mm, card.height_mm), 0.0)
    for number, window in enumerate(card.windows_on(1)):
        cover *= 1.0 - cut(patch, window.place, number)
    raster.cast(patch, cover, LIFTED_MM, 0.45)
    raster.fresh(patch, cover)
    printed = _printed(card, page, patch)[..., None]
    shape = cover.shape
    tooth = 0.006 * fractal_noise(shape, (4, 4), 7501, 2) + 0.006 * fractal_noise(
        shape, (700, 700), 7502, 3
    )
    black = colours["ink"] * (1.0 + 0.10 * fractal_noise(shape, (5, 5), 7503, 3))[..., None]
    paper = colours["paper"] * (1.0 + tooth)[..., None]
    raster.lay(patch, cover, (printed * paper + (1.0 - printed) * black).astype(np.float32))


def lay_grey_card(raster: Raster, card: Frame, colours: Colours) -> None:
    """Lay the grey card over its cross, not quite straight."""
    place = card.grey_on(1).place.inset(-GREY_OVERHANG_MM)
    place = Rectangle(place.x_mm - 0.8, place.y_mm, place.width_mm, place.height_mm)
    patch = turned(raster.patch(place, 8.0), place.centre_mm, GREY_TURN_DEG)
    cover = rectangle(patch, place, 0.0)
    raster.cast(patch, cover, 0.9, 0.5)
    raster.fresh(patch, cover)
    tooth = 0.008 * fractal_noise(cover.shape, (3, 3), 7601, 2)
    edge = rectangle(patch, place.inset(0.25), 0.0)
    lit = (1.0 + tooth) * (1.35 - 0.35 * edge)
    raster.lay(patch, cover, (colours["grey card"] * lit[..., None]).astype(np.float32))


def page_of(document: bytes, number: int) -> pymupdf.Page:
    """Return a page of a card's PDF, the first being 0."""
    return pymupdf.open(stream=document, filetype="pdf")[number]


def _printed(card: Frame, page: pymupdf.Page, patch: Patch) -> Array:
    """Return the page as printed, 1 where it is paper, with the margin around it white."""
    drawn = page.get_pixmap(dpi=round(2 * PX_PER_MM * 25.4), colorspace=pymupdf.csGRAY)
    grey = np.frombuffer(drawn.samples, np.uint8).reshape(drawn.height, drawn.stride)
    grey = grey[:, : drawn.width].astype(np.float32) / 255.0
    spread = cv2.GaussianBlur(grey, (0, 0), 1.2)  # ink runs a little into the paper
    scale = drawn.width / card.width_mm
    maps = ((at * scale - 0.5).astype(np.float32) for at in (patch.x_mm, patch.y_mm))
    return cv2.remap(spread, *maps, cv2.INTER_AREA, borderValue=1.0)


def cut(patch: Patch, place: Rectangle, number: int) -> Array:
    """Return where a knife cut a window: along its line, straight but not exactly."""
    draw = np.random.default_rng(7700 + number)
    slants = draw.normal(0.0, 0.15, (4, 2))
    across = (patch.x_mm - place.x_mm) / place.width_mm
    down = (patch.y_mm - place.y_mm) / place.height_mm
    sides = (
        patch.x_mm - place.x_mm + slants[0, 0] + slants[0, 1] * down,
        place.right_mm - patch.x_mm + slants[1, 0] + slants[1, 1] * down,
        patch.y_mm - place.y_mm + slants[2, 0] + slants[2, 1] * across,
        place.bottom_mm - patch.y_mm + 0.25 * slants[3, 0] + 0.25 * slants[3, 1] * across,
    )
    return np.clip(np.minimum.reduce(sides) * PX_PER_MM + 0.5, 0.0, 1.0)
