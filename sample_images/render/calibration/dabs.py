"""The dabs: laid on flat with a knife, drawn out over the bar, edged as a knife leaves them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.card import Rectangle, Window
from refmatch.paint.kubelka_munk import Surface, to_inner

from ..noise import fractal_noise, smooth_noise, step
from .frame import PAPER_MM, cut
from .raster import PX_PER_MM, Patch, Raster

SPILL_MM, OVER_BAR_MM = 0.1, 3.2
"""How far paint reaches over the frame's edge on the whole, and down over the 4 mm bar."""

BODY_MM, RIM_MM = 0.45, 0.10
THICKNESSES = np.linspace(0.02, 1.8, 48)

ToCamera = Callable[[Array], Array]
"""From reflectances, (n, 31), to the camera's linear light, (n, 3)."""


@dataclass(frozen=True, eq=False)
class Laid:
    """A dab's cover (0 to 1), its film's thickness and how high its face is, in mm, on a patch."""

    cover: Array
    film_mm: Array
    height_mm: Array


@dataclass(frozen=True, eq=False)
class Paint:
    """A window, the number by which its dab is shaped, and what its paint looks like.

    ``film`` takes the window, a film's thicknesses (n,), and the ground's inner reflectance,
    and returns reflectances, (n, 31).
    """

    window: Window
    number: int
    film: Callable[[Window, Array, Array], Array]


def lay_dab(raster: Raster, paint: Paint, grounds: dict[str, Array], camera: ToCamera) -> None:
    """Paint one window: colour by the film's thickness over canvas or bar, then its relief."""
    window = paint.window
    patch = raster.patch(_painted(window), 4.0)
    laid = _laid(patch, window, paint.number)
    thickness = laid.film_mm / BODY_MM
    colours = [_looked_up(paint, thickness, grounds[name], camera) for name in ("canvas", "ink")]
    over_bar = step(patch.y_mm - window.bar.y_mm, -0.05, 0.05)[..., None]
    colour = colours[0] * (1.0 - over_bar) + colours[1] * over_bar
    gloss = _gloss(laid)[..., None] * camera(np.ones((1, 31)))
    _shade(raster, patch, laid)
    seen = colour * _relief(laid)[..., None] + gloss
    raster.lay(patch, laid.cover, seen.astype(np.float32))


def _shade(raster: Raster, patch: Patch, laid: Laid) -> None:
    """Let the dab cast its shadow; on its own face lies that of the frame's edge, half filled."""
    lit = raster.lit[patch.rows, patch.columns]
    of_frame = np.sqrt(lit)
    raster.cast(patch, laid.cover, 0.25, 0.35)
    lit += laid.cover * (of_frame - lit)


def _painted(window: Window) -> Rectangle:
    place = window.place
    return Rectangle(place.x_mm, place.y_mm, place.width_mm, place.height_mm + OVER_BAR_MM)


def _laid(patch: Patch, window: Window, number: int) -> Laid:
    """Return the shape of a dab: knife strokes drawn downwards, with ledges between them."""
    seed = 7800 + 20 * number
    draw = np.random.default_rng(seed)
    shape, place = patch.x_mm.shape, _painted(window)
    inside, from_end = _inside(patch, place, draw, seed)
    strokes = 0.030 * fractal_noise(shape, (160, 9), seed + 4, 3)
    strokes += 0.020 * fractal_noise(shape, (60, 60), seed + 5, 4)
    ledges = _ledges(patch, place, draw, smooth_noise(shape, (90, 260), seed + 6))
    rim = RIM_MM * np.exp(-(((inside - 0.30) / 0.22) ** 2))
    thinning = 0.45 + 0.55 * step(from_end, 0.0, 0.8)
    film = BODY_MM * thinning * (1.0 + strokes) + ledges + rim
    film = np.maximum(step(inside, -0.06, 0.35) * film, 0.0)
    over_frame = cv2.GaussianBlur(1.0 - cut(patch, window.place, number), (0, 0), 1.5)
    return Laid(step(inside, -0.06, 0.06), film, film + PAPER_MM * over_frame)


def _inside(
    patch: Patch, place: Rectangle, draw: np.random.Generator, seed: int
) -> tuple[Array, Array]:
    """Return how far within the dab's edge each pixel lies, and how far from its end, in mm."""
    shape = patch.x_mm.shape
    x = patch.x_mm + (patch.y_mm - place.centre_mm[1]) * draw.normal(0.0, 0.04)
    wander = 0.28 * fractal_noise(shape, (34, 34), seed + 1, 4)
    dragged = 0.42 * smooth_noise((1, shape[1]), (1, 22), seed + 2)
    dragged = dragged + 0.22 * smooth_noise((1, shape[1]), (1, 7), seed + 3)
    from_end = place.bottom_mm - patch.y_mm + dragged
    left, right, top = draw.normal(SPILL_MM, 0.2, 3)
    sides = (
        x - place.x_mm + left + wander,
        place.right_mm - x + right + wander,
        patch.y_mm - place.y_mm + top + wander,
        from_end + 0.25 * wander,
    )
    return _soft_least(sides), from_end


def _ledges(patch: Patch, place: Rectangle, draw: np.random.Generator, wave: Array) -> Array:
    """Return the fine ridges that a knife leaves where one stroke meets the next, in mm."""
    total = np.zeros(patch.x_mm.shape)
    for share in (0.36, 0.68):
        at = place.x_mm + place.width_mm * (share + draw.normal(0.0, 0.06)) + 0.5 * wave
        total += 0.035 * np.exp(-(((patch.x_mm - at) / 0.16) ** 2)) * draw.uniform(0.4, 1.2)
        total += draw.normal(0.0, 0.015) * step(patch.x_mm - at, -0.2, 0.2)
    return total


def _soft_least(sides: tuple[Array, ...], soft_mm: float = 0.7) -> Array:
    """Return the least of some distances, corners rounded."""
    total = sum(np.exp(-np.clip(side, -8.0, 8.0) / soft_mm) for side in sides)
    return -soft_mm * np.log(total)


def _slopes(laid: Laid) -> tuple[Array, Array]:
    smooth = cv2.GaussianBlur(laid.height_mm.astype(np.float32), (0, 0), 1.1)
    down, across = np.gradient(smooth * PX_PER_MM)
    return across, down


def _relief(laid: Laid) -> Array:
    """Return how the slopes catch the window's light: brighter towards the upper left."""
    across, down = _slopes(laid)
    facing = 1.0 + 0.4 * (0.8 * across + 0.6 * down)
    return np.clip(facing, 0.45, 1.5)


def _gloss(laid: Laid) -> Array:
    """Return what shines: slopes that mirror the window, as the card's light leaves them."""
    across, down = _slopes(laid)
    off = (across - 0.36) ** 2 + (down - 0.27) ** 2
    return 0.55 * np.exp(-off / 0.045)


def _looked_up(paint: Paint, thickness: Array, ground: Array, camera: ToCamera) -> Array:
    """Return the camera's light of a film by its thickness, between tabulated ones."""
    inner = to_inner(ground, Surface())
    table = camera(paint.film(paint.window, THICKNESSES, inner))
    return np.stack([np.interp(thickness, THICKNESSES, column) for column in table.T], axis=-1)
