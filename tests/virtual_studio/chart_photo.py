"""Photos of a 24-patch chart on a cluttered table, by the virtual studio's cameras.

What the chart reflects goes through a spectral camera with its glare, noise and tone curve, is
seen tilted, turned and unevenly lit, and saved as JPEG. Where each patch truly lies is known. Its
patches are another measurement of such a chart than the one the program knows.
"""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import SimpleNamespace

import cv2
import numpy as np
from PIL import Image

from refmatch.photo.load import load
from refmatch.photo.photo import Photo
from tests.dabs.studio import Light, Shot, even, to_photo
from tests.virtual_studio.camera import Camera, camera_of, chart

PITCH_MM = 18.0
"""From patch to patch; a chart about as large as a hand (own choice)."""

BORDER, TABLE = 0.04, 0.3
MOST_CLUTTER_PX = 1600


@dataclass(frozen=True)
class Made:
    """How a chart is made: gap between patches and rim around them in shares of the pitch."""

    gap: float = 0.14
    rim: float = 0.25
    mirrored: bool = False

    @property
    def width_mm(self) -> float:
        return (6.0 + 2.0 * self.rim) * PITCH_MM

    @property
    def height_mm(self) -> float:
        return (4.0 + 2.0 * self.rim) * PITCH_MM

    def corners_mm(self) -> np.ndarray:
        """Return the corners of every patch, (24, 4, 2), row by row, clockwise from top left."""
        half = (1.0 - self.gap) / 2.0
        square = half * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
        middle = np.array([[column + 0.5, row + 0.5] for row in range(4) for column in range(6)])
        return (middle[:, None] + square + self.rim) * PITCH_MM


@dataclass(frozen=True, eq=False)
class Laid:
    """A flat thing on the chart's plane: linear light (rows, columns, 3), and where it lies."""

    picture: np.ndarray
    to_mm: np.ndarray


@dataclass(frozen=True)
class Setting:
    """Everything about one photo of a chart.

    What fills the photo, and lies in its middle, is the chart, or ``view_mm``: left, top, width
    and height on the chart's plane, from the chart's top left corner.
    """

    shot: Shot = field(default_factory=Shot)
    made: Made = field(default_factory=Made)
    camera: str = "D50"
    seed: int = 1
    lamp: Light = even
    clutter: int = 25
    view_mm: tuple[float, float, float, float] | None = None

    @property
    def seen_by(self) -> Camera:
        return camera_of(self.camera, self.seed)

    @property
    def to_photo(self) -> np.ndarray:
        """From millimetres on the chart to pixels."""
        whole = (0.0, 0.0, self.made.width_mm, self.made.height_mm)
        left, top, width, height = self.view_mm or whole
        from_view = to_photo(self.shot, SimpleNamespace(width_mm=width, height_mm=height))
        return from_view @ np.array([[1.0, 0.0, -left], [0.0, 1.0, -top], [0.0, 0.0, 1.0]])

    def outlines_px(self) -> np.ndarray:
        """Return where the corners of the patches truly are in the photo, (24, 4, 2)."""
        corners = self.made.corners_mm().reshape(1, -1, 2)
        if self.made.mirrored:
            corners = corners * [-1.0, 1.0] + [self.made.width_mm, 0.0]
        return cv2.perspectiveTransform(corners, self.to_photo).reshape(24, 4, 2)


def photographed(
    setting: Setting,
    beside: Sequence[Laid] = (),
    above: Sequence[Laid] = (),
    reflectance: np.ndarray | None = None,
) -> Photo:
    """Return the photo, by way of a JPEG file."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "chart.jpg"
        save(path, setting, beside, above, reflectance)
        return load(path)


def save(
    path: Path,
    setting: Setting,
    beside: Sequence[Laid] = (),
    above: Sequence[Laid] = (),
    reflectance: np.ndarray | None = None,
) -> None:
    """Write the photo: things beside the chart are laid first, then it, then what covers it.

    ``reflectance`` (24, 31) is that of the patches; an empty array leaves the chart away.
    """
    shot, camera = setting.shot, setting.seen_by
    seen = clutter(setting, setting.clutter)
    surfaces = chart() if reflectance is None else reflectance
    charts = [drawn(surfaces @ camera.weights, setting)] if len(surfaces) else []
    for laid in (*beside, *charts, *above):
        _lay(seen, laid, setting.to_photo)
    seen *= _light(setting)[..., None]
    if shot.blur_px:
        seen = cv2.GaussianBlur(seen, (0, 0), shot.blur_px)
    seen *= np.float32(shot.exposure)
    seen += np.float32(camera.glare)
    Image.fromarray(_developed(seen, setting)).save(path, quality=shot.quality, subsampling=2)


def drawn(linear: np.ndarray, setting: Setting) -> Laid:
    """Return the chart, its patches of ``linear`` (24, 3), at about the photo's own scale."""
    made, white = setting.made, setting.seen_by.weights.sum(axis=0)
    outlines = setting.outlines_px()
    side_px = np.sqrt(max(cv2.contourArea(each.astype(np.float32)) for each in outlines))
    per_mm = float(np.clip(side_px / (1.0 - made.gap) / PITCH_MM, 1.0, 40.0))
    size = (round(made.height_mm * per_mm), round(made.width_mm * per_mm), 3)
    picture = np.full(size, BORDER, np.float32) * white.astype(np.float32)
    for corners, colour in zip(made.corners_mm(), linear, strict=True):
        left, top = np.rint(corners[0] * per_mm).astype(int)
        right, bottom = np.rint(corners[2] * per_mm).astype(int)
        picture[top:bottom, left:right] = colour
    if made.mirrored:
        picture = np.ascontiguousarray(picture[:, ::-1])
    return Laid(picture, np.diag([made.width_mm / size[1], made.height_mm / size[0], 1.0]))


def clutter(setting: Setting, count: int) -> np.ndarray:
    """Return a table with things on it, linear light, of the photo's size."""
    rng = np.random.default_rng(setting.seed + 5)
    width, height = setting.shot.width_px, setting.shot.height_px
    small = min(1.0, MOST_CLUTTER_PX / max(width, height))
    size = (max(1, round(height * small)), max(1, round(width * small)))
    table = rng.uniform(0.05, 0.7) * rng.uniform(0.6, 1.0, 3)
    grain = cv2.GaussianBlur(rng.standard_normal((*size, 1)).astype(np.float32), (0, 0), 12, 1)
    picture = table * (1.0 + 2.0 * grain[..., None])
    picture = np.clip(picture, 0.01, 1.0).astype(np.float32)
    longest = max(size)
    for _ in range(count):
        middle = rng.uniform(0, 1, 2) * size[::-1]
        sides = rng.uniform(0.02, 0.25, 2) * longest
        colour = (rng.uniform(0.02, 0.8, 3) ** 1.5).tolist()
        box = (middle.tolist(), sides.tolist(), float(rng.uniform(0, 180)))
        if rng.random() < 0.6:
            corners = np.rint(cv2.boxPoints(box)).astype(np.int32)
            cv2.fillConvexPoly(picture, corners, colour, cv2.LINE_AA)
        else:
            cv2.ellipse(picture, box, colour, -1, cv2.LINE_AA)
    return cv2.resize(picture, (width, height), interpolation=cv2.INTER_LINEAR)


def _lay(seen: np.ndarray, laid: Laid, to_photo_px: np.ndarray) -> None:
    half, back = np.eye(3), np.eye(3)
    half[:2, 2], back[:2, 2] = 0.5, -0.5
    warp = back @ to_photo_px @ laid.to_mm @ half
    height, width = laid.picture.shape[:2]
    corners = np.array([[[-0.5, -0.5], [width, -0.5], [width, height], [-0.5, height]]])
    at = cv2.perspectiveTransform(corners.astype(float), warp)[0]
    low = np.clip(np.floor(at.min(axis=0)).astype(int) - 1, 0, seen.shape[1::-1])
    high = np.clip(np.ceil(at.max(axis=0)).astype(int) + 2, 0, seen.shape[1::-1])
    if (high <= low).any():
        return
    window = seen[low[1] : high[1], low[0] : high[0]]
    shift = np.eye(3)
    shift[:2, 2] = -low
    cv2.warpPerspective(
        laid.picture, shift @ warp, window.shape[1::-1], window, cv2.INTER_LINEAR,
        cv2.BORDER_TRANSPARENT,
    )  # fmt: skip


def _light(setting: Setting) -> np.ndarray:
    """Return the light on every pixel, from that on a grid of them."""
    width, height = setting.shot.width_px, setting.shot.height_px
    y, x = np.mgrid[0:60, 0:60] + 0.5
    points = np.stack([x * width / 60.0, y * height / 60.0], axis=-1).reshape(1, -1, 2)
    at_mm = cv2.perspectiveTransform(points, np.linalg.inv(setting.to_photo)).reshape(60, 60, 2)
    factor = setting.lamp(at_mm[..., 0], at_mm[..., 1]).astype(np.float32)
    return cv2.resize(factor, (width, height), interpolation=cv2.INTER_LINEAR)


def _developed(seen: np.ndarray, setting: Setting) -> np.ndarray:
    """Return 8-bit codes of noisy light, a strip at a time."""
    camera, noise = setting.seen_by, setting.shot.noise
    draw = np.random.default_rng(setting.seed)
    tile = noise * draw.standard_normal((256, seen.shape[1], 3), np.float32)
    codes = np.empty(seen.shape, np.uint8)
    for top in range(0, len(seen), len(tile)):
        strip = seen[top : top + len(tile)]
        grain = np.roll(tile, int(draw.integers(seen.shape[1])), axis=1)[: len(strip)]
        light = strip + grain * np.sqrt(np.maximum(strip, 0.0) + 0.02)
        codes[top : top + len(tile)] = camera.codes(light)
    return codes


def any_lamp(draw: np.random.Generator, reach_mm: float) -> Light:
    """Return a bare lamp somewhere over the chart or beside it."""
    high = draw.uniform(1.2, 3.0) * reach_mm
    at_x, at_y = draw.uniform(-1.5, 2.5, 2) * reach_mm

    def falls(x_mm: np.ndarray, y_mm: np.ndarray) -> np.ndarray:
        return (high**2 / ((x_mm - at_x) ** 2 + (y_mm - at_y) ** 2 + high**2)) ** 1.5

    middle = reach_mm / 2.0
    brightest = float(falls(np.array(middle), np.array(middle)))
    return lambda x_mm, y_mm: np.minimum(falls(x_mm, y_mm) / brightest, 1.6)


def any_setting(
    draw: np.random.Generator, megapixels: Sequence[float] = (8, 12, 24, 48)
) -> Setting:
    """Return a photo of any turn, tilt, size, light, blur and number of pixels."""
    size = float(draw.choice(megapixels))
    sides = [int(side) for side in np.sqrt(size * 1e6 * np.array([0.75, 1.0 / 0.75]))]
    width, height = sides if draw.random() < 0.4 else sides[::-1]
    fill = float(np.exp(draw.uniform(np.log(0.14), np.log(0.98))))
    room = max(0.0, (1.0 - fill) / 2.0)
    shot = Shot(
        turn_deg=draw.uniform(-180.0, 180.0),
        tilt_deg=draw.uniform(0.0, 35.0),
        tilt_axis_deg=draw.uniform(0.0, 360.0),
        width_px=width,
        height_px=height,
        fill=fill,
        offset=tuple(draw.uniform(-room, room, 2)),
        focal=draw.uniform(0.6, 1.2),
        noise=draw.uniform(0.003, 0.02),
        quality=int(draw.integers(85, 97)),
        exposure=float(np.exp(draw.uniform(np.log(0.7), np.log(1.1)))),
        blur_px=float(draw.choice([0.0, 0.8, 1.6])),
    )
    made = Made(gap=draw.uniform(0.08, 0.25), rim=draw.uniform(0.12, 0.6))
    lamp = any_lamp(draw, made.width_mm)
    light = str(draw.choice(["D50", "D65", "LED-B3", "A"]))
    return Setting(shot, made, light, int(draw.integers(1 << 30)), lamp, int(draw.integers(60)))
