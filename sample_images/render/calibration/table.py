"""What the card lies on: old planks, a sheet of primed canvas paper, strips of tape."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.card import Frame, Rectangle

from ..noise import fractal_noise, specks
from ..wood import grain
from .raster import Raster, rectangle, turned

PLANK_MM, GAP_MM, PLANK_TURN_DEG = 96.0, 1.3, 7.0
CANVAS_MARGIN_MM = (9.0, 11.0)
WEAVE_MM = 0.62

Colours = Mapping[str, Array]
"""Each surface in the camera's linear light, (3,), by name."""


def lay_planks(raster: Raster, colours: Colours) -> None:
    """Lay planks that run up the picture, a little aslant."""
    patch = turned(raster.whole, np.array([100.0, 150.0]), PLANK_TURN_DEG)
    number = np.floor((patch.x_mm + 400.0) / PLANK_MM).astype(int)
    across = (patch.x_mm + 400.0) / PLANK_MM - number
    stops = np.stack([colours[f"{name} wood"] for name in ("dark", "middle", "light")])
    for plank in np.unique(number):
        tone, height = grain(7100 + int(plank), 2)
        here = number == plank
        at_x = (patch.y_mm[here] + 300.0 + 37.0 * (plank % 3)) / 900.0 * tone.shape[1]
        at_y = across[here] * (tone.shape[0] - 1)
        seen = [_at(field, at_x, at_y) for field in (tone, height)]
        shade = np.clip(seen[0] + 0.05 * ((plank * 7) % 5 - 2), 0.0, 1.0) * 2.0
        low = np.clip(shade.astype(int), 0, 1)
        share = (shade - low)[:, None]
        mixed = stops[low] * (1.0 - share) + stops[low + 1] * share
        raster.surface[here] = mixed * (0.86 + 0.26 * seen[1])[:, None]
    from_edge = np.minimum(across, 1.0 - across) * PLANK_MM
    groove = np.clip((from_edge - GAP_MM / 2.0) / 1.6, 0.0, 1.0)
    raster.surface[...] *= (0.10 + 0.90 * groove**0.6)[..., None]
    _wear(raster)


def lay_canvas(raster: Raster, card: Frame, colours: Colours) -> Rectangle:
    """Lay the canvas paper that the dabs are painted on, and return where it lies."""
    across, down = CANVAS_MARGIN_MM
    place = Rectangle(-across, -down, card.width_mm + 2 * across, card.height_mm + 2 * down)
    patch = turned(raster.patch(place, 12.0), place.centre_mm, -0.5)
    cover = rectangle(patch, place)
    raster.cast(patch, cover, 1.3, 0.55)
    raster.fresh(patch, cover)
    weave = np.sin(2 * np.pi * patch.x_mm / WEAVE_MM) * np.sin(2 * np.pi * patch.y_mm / WEAVE_MM)
    shape = weave.shape
    soil = fractal_noise(shape, (400, 400), 7301, 4)
    slub = fractal_noise(shape, (6, 90), 7302, 2) + fractal_noise(shape, (90, 6), 7303, 2)
    relief = 1.0 + 0.016 * weave + 0.008 * soil + 0.008 * slub
    raster.lay(patch, cover, colours["canvas"] * relief[..., None].astype(np.float32))
    return place


def lay_tape(raster: Raster, card: Frame, colours: Colours) -> None:
    """Tape the frame down at its edges, clear of the markers."""
    width, height = card.width_mm, card.height_mm
    strips = (
        (Rectangle(width * 0.36, -6.0, 52.0, 14.0), 2.0),
        (Rectangle(width * 0.45, height - 7.5, 47.0, 14.0), -1.5),
        (Rectangle(-7.0, height * 0.30, 14.0, 44.0), 1.0),
        (Rectangle(width - 6.5, height * 0.55, 14.0, 49.0), -2.0),
    )
    for number, (strip, degrees) in enumerate(strips):
        patch = turned(raster.patch(strip, 5.0), strip.centre_mm, degrees)
        shape = patch.x_mm.shape
        torn = 0.35 * fractal_noise(shape, (7, 7), 7400 + number, 3)
        long = strip.width_mm > strip.height_mm
        ends = patch.x_mm if long else patch.y_mm
        middle = strip.centre_mm[0 if long else 1]
        near_end = np.abs(ends - middle) > max(strip.width_mm, strip.height_mm) / 2 - 1.5
        cover = rectangle(patch, strip, np.where(near_end, torn, 0.0))
        raster.cast(patch, cover, 0.18, 0.35)
        raster.fresh(patch, 0.7 * cover)
        lay = (3, 140) if long else (140, 3)
        crepe = fractal_noise(shape, lay[::-1], 7410 + number, 2)
        below = raster.surface[patch.rows, patch.columns]
        seen = 0.9 * colours["tape"] + 0.1 * below
        raster.lay(patch, cover, seen * (1.0 + 0.025 * crepe)[..., None].astype(np.float32))


def _wear(raster: Raster) -> None:
    """Dull the planks here and there, and leave old drops of paint and water on them."""
    shape = raster.lit.shape
    dull = 1.0 + 0.09 * fractal_noise(shape, (900, 900), 7201, 5)
    dull *= 1.0 - 0.16 * specks(shape, 26, (8, 60), 7202)
    raster.surface[...] *= dull[..., None].astype(np.float32)


def _at(field: Array, x: Array, y: Array) -> Array:
    """Return a field between its pixels."""
    from scipy.ndimage import map_coordinates

    return map_coordinates(field, np.stack([y, x]), order=1, mode="mirror")


def light_from_window(raster: Raster) -> None:
    """Let the daylight fall off gently, from a window at the upper left."""
    patch = raster.whole
    away = np.stack([patch.x_mm + 750.0, patch.y_mm + 550.0])
    square = (away**2).sum(axis=0) + 800.0**2
    factor = (square.min() / square) ** 1.1
    raster.light(patch, factor.astype(np.float32))
