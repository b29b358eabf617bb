"""A canvas with known faults on an easel, as a phone photographs it: spectra in, a JPEG out.

Each mass of a reference is painted by one mixture of another maker's tubes, bent to the colour that
its fault asks for; within it the reference's own changes are kept in part, strokes show, and shapes
lie a little off. The canvas stands tilted before a wall, a card or a chart beside it, in light that
falls off across the picture; the cameras are those of `camera`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from refmatch.colorimetry.hues import lstar_from_value, munsell_value
from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.dabs.measured import bent_to
from tests.virtual_studio.camera import Camera, chart, grey
from tests.virtual_studio.paints import Studio

GREY, CHART, NOTHING = "grey card", "chart", "nothing"
CARD_LSTAR = 49.5
WIDTH_PX, HEIGHT_PX = 1600, 1200
DRAWN_OFF = 0.008
"""How far shapes lie off, as a part of the longer side, standard deviation."""

STROKES = 0.04
"""Standard deviation of the ln of reflectance by strokes."""


@dataclass(frozen=True)
class Fault:
    """What is wrong with a mass: steps of value, a turn of hue in degrees, a factor of chroma."""

    value: float = 0.0
    turn_deg: float = 0.0
    chroma: float = 1.0

    def applied(self, lab: Array) -> Array:
        """Return the Lab (3,) that is painted in place of another."""
        lstar = float(lstar_from_value(np.clip(munsell_value(lab) + self.value, 1.2, 9.3)))
        turn = np.radians(self.turn_deg)
        a, b = self.chroma * lab[1:]
        return np.array(
            [lstar, a * np.cos(turn) - b * np.sin(turn), a * np.sin(turn) + b * np.cos(turn)]
        )


@dataclass(frozen=True, eq=False)
class Painted:
    """A canvas: ``paint`` (k, 31) of each mass, ``mass`` and ``scale`` (rows, columns)."""

    paint: Array
    mass: Array
    scale: Array

    def through(self, weights: Array) -> Array:
        """Return what is seen of it, (rows, columns, n), by weights (31, n)."""
        return (self.paint @ weights)[self.mass] * self.scale[..., None]

    def xyz(self) -> Array:
        """Return it as it truly looks, XYZ (rows, columns, 3), white Y = 1."""
        return self.through(viewing().weights) / viewing().white[1]


def painted(
    reference_lab: Array, masses: Array, faults: Mapping[int, Fault], studio: Studio, seed: int
) -> Painted:
    """Paint a reference, Lab (rows, columns, 3), mass by mass, each with its fault."""
    rng = np.random.default_rng(seed)
    rows, columns = masses.shape
    count = int(masses.max()) + 1
    paint = np.zeros((count, 31))
    parts = np.exp(rng.normal(0.0, 1.2, (600, len(studio.tubes))))
    parts *= rng.random(parts.shape) < 3.0 / len(studio.tubes)
    parts[:, studio.white] += rng.random(600) * (rng.random(600) < 0.8)
    parts = parts[parts.sum(axis=1) > 0.0]
    mixed = studio.reflectance(parts)
    labs = reflectance_to_lab(mixed)
    for mass in range(count):
        own = masses == mass
        if not own.any():
            continue
        wanted = faults.get(mass, Fault()).applied(np.median(reference_lab[own], axis=0))
        nearest = int(np.argmin(((labs - wanted) ** 2).sum(axis=1)))
        paint[mass] = np.clip(bent_to(mixed[nearest], wanted), 0.004, 0.98)
    kept = rng.uniform(0.3, 1.0)
    luminance = ((reference_lab[..., 0] + 16.0) / 116.0) ** 3
    middle = np.array(
        [np.median(luminance[masses == m]) if (masses == m).any() else 1.0 for m in range(count)]
    )
    change = np.clip(luminance / middle[masses], 0.4, 2.0) ** kept
    longer = max(rows, columns)
    across, down = (_smooth(rng, (rows, columns), longer / 20.0) for _ in range(2))
    reach = DRAWN_OFF * longer
    x = np.clip(np.arange(columns)[None, :] + reach * across, 0, columns - 1).round().astype(int)
    y = np.clip(np.arange(rows)[:, None] + reach * down, 0, rows - 1).round().astype(int)
    strokes = np.exp(STROKES * _smooth(rng, (rows, columns), longer / 160.0))
    scale = np.minimum(change[y, x] * strokes, 0.95 / paint.max(axis=1)[masses[y, x]])
    return Painted(paint, masses[y, x], scale)


def _smooth(rng: np.random.Generator, shape: tuple[int, int], reach: float) -> Array:
    noise = cv2.GaussianBlur(rng.standard_normal(shape).astype(np.float32), (0, 0), reach)
    return noise / noise.std()


@dataclass(frozen=True, eq=False)
class Shown:
    """A photo of a canvas: its true corners (4, 2), and where the card lies, "X,Y,D" or ""."""

    path: Path
    corners: Array
    card: str


def photographed_canvas(
    path: Path,
    canvas: Painted,
    camera: Camera,
    seed: int,
    *,
    beside: str = GREY,
    fall: float = 0.12,
    tilt: float = 0.04,
) -> Shown:
    """Write the photo; ``fall`` is how much the ln of the light changes from middle to edge."""
    rng = np.random.default_rng(seed)
    wall = grey(float(rng.uniform(45.0, 80.0))) * (1.0 + 0.15 * np.sin(np.linspace(0, 3, 31)))
    linear = np.broadcast_to(wall @ camera.raw, (HEIGHT_PX, WIDTH_PX, 3)).astype(np.float32).copy()
    linear *= np.exp(0.04 * _smooth(rng, linear.shape[:2], 25))[..., None]
    rows, columns = canvas.mass.shape
    scale = min(0.66 * WIDTH_PX / columns, 0.8 * HEIGHT_PX / rows)
    width, height = scale * columns, scale * rows
    left, top = 0.04 * WIDTH_PX, (HEIGHT_PX - height) / 2.0
    square = np.array([[0, 0], [width, 0], [width, height], [0, height]]) + np.array([left, top])
    corners = square + rng.uniform(-1.0, 1.0, (4, 2)) * tilt * np.array([width, height])
    corners = np.clip(corners, 12, [WIDTH_PX - 12, HEIGHT_PX - 12])
    _easel(linear, corners, camera, rng)
    source = np.array([[0, 0], [columns, 0], [columns, rows], [0, rows]], np.float32) - 0.5
    onto = cv2.getPerspectiveTransform(source, (corners - 0.5).astype(np.float32))
    seen = canvas.through(camera.raw).astype(np.float32)
    size = (WIDTH_PX, HEIGHT_PX)
    warped = cv2.warpPerspective(
        seen, onto, size, flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    inside = np.zeros((HEIGHT_PX, WIDTH_PX), np.float32)
    cv2.fillConvexPoly(inside, np.rint(16 * (corners - 0.5)).astype(np.int32), 1.0, cv2.LINE_AA, 4)
    linear = warped * inside[..., None] + linear * (1.0 - inside[..., None])
    card = _laid(linear, camera, beside, int(corners[1:3, 0].max()) + 40)
    x, y = np.meshgrid(np.linspace(-1, 1, WIDTH_PX), np.linspace(-1, 1, HEIGHT_PX))
    direction = rng.uniform(0.0, 2.0 * np.pi)
    slope = fall * (np.cos(direction) * x + np.sin(direction) * y) + 0.15 * fall * (x**2 - y**2)
    linear *= np.exp(slope - slope.max() * 0.5)[..., None].astype(np.float32)
    linear += camera.glare
    shot, read = camera.noise
    sigma = np.sqrt(shot**2 * np.maximum(linear, 0.0) + read**2)
    linear = np.minimum(linear + sigma * rng.standard_normal(linear.shape), 1.0)
    codes = np.rint(255.0 * camera.develop(linear @ camera.matrix)).astype(np.uint8)
    Image.fromarray(codes).save(path, quality=camera.quality)
    return Shown(path, corners, card)


def _easel(linear: Array, corners: Array, camera: Camera, rng: np.random.Generator) -> None:
    """Stand the canvas on an easel of wood: a ledge under it, a mast above and below."""
    wood = np.linspace(0.12, 0.4, 31) @ camera.raw
    mast = int(corners[:, 0].mean())
    grain = np.exp(0.1 * _smooth(rng, linear.shape[:2], 3))[..., None]
    for top, bottom, left, right in (
        (0, HEIGHT_PX, mast - 28, mast + 28),
        (
            int(corners[2:, 1].min()) - 4,
            int(corners[2:, 1].max()) + 30,
            int(corners[:, 0].min()),
            int(corners[:, 0].max()),
        ),
    ):
        part = slice(top, bottom), slice(left, right)
        linear[part] = wood * grain[part]


def _laid(linear: Array, camera: Camera, beside: str, left: int) -> str:
    """Lay a card or a chart at the right of the canvas; return where the card's middle is."""
    if beside == GREY:
        side = min(200, WIDTH_PX - left - 30)
        top = 420
        linear[top : top + side, left : left + side] = grey(CARD_LSTAR) @ camera.raw
        return f"{left + side / 2:g},{top + side / 2:g},{0.6 * side:g}"
    if beside == CHART:
        step = (WIDTH_PX - left - 30) // 4
        linear[300 : 300 + 6 * step + 12, left - 6 : left + 4 * step + 6] = grey(12.0) @ camera.raw
        patches = chart() @ camera.raw
        for number, patch in enumerate(patches):  # the chart stands on its side
            row, column = divmod(number, 6)
            y, x = 306 + column * step, left + (3 - row) * step
            linear[y + 4 : y + step - 4, x + 4 : x + step - 4] = patch
    return ""
