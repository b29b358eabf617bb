"""A card of known dabs, and a pinhole camera to photograph it with, for tests.

The page is drawn from the layout alone, in linear light; the camera turns, tilts, lights
it unevenly, adds noise and saves a JPEG. What each place truly is, is known throughout.
"""

from __future__ import annotations

import functools
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
import pymupdf
from PIL import Image

from refmatch.dabs.box_card import compose
from refmatch.dabs.card import Card, Frame, Rectangle, Window, black_modules
from refmatch.dabs.dab_card import DabCard
from refmatch.paint.box_file import built_in_box
from refmatch.photo.load import load
from refmatch.photo.photo import Photo
from refmatch.sheet.card_files import compose_dab_card
from tests.painting.example import painting

FINE_PX_PER_MM, COARSE_PX_PER_MM = 12, 6
A4_HEIGHT_MM = 297.0
PAPER, INK, DESK, CANVAS = 0.85, 0.03, 0.25, 0.78
GREY = 0.18

SRGB_TO_XYZ_D50 = np.array(
    [
        [0.4360747, 0.3850649, 0.1430804],
        [0.2225045, 0.7168786, 0.0606169],
        [0.0139322, 0.0971045, 0.7141733],
    ]
)
"""Linear sRGB to XYZ, adapted to D50 by Bradford (B. Lindbloom, "RGB/XYZ Matrices")."""


@functools.cache
def garden_card(paper: str = "a4") -> Card:
    return compose(built_in_box("garden-table"), paper)


@functools.cache
def pears_card(paper: str = "a4", count: int = 16) -> DabCard:
    """A dab card of two pages."""
    return compose_dab_card(painting(count), built_in_box("garden-table"), paper)


def truths(card: Frame) -> dict[Window, np.ndarray]:
    """Return invented colours, linear sRGB, for every window: dark to light, dull to strong."""
    draw = np.random.default_rng(7)
    return {window: draw.uniform(0.03, 0.8, 3) ** 1.5 + 0.01 for window in card.windows}


def drawn(
    card: Frame, page: int = 1, *, grey: bool = True, px_per_mm: int = COARSE_PX_PER_MM
) -> np.ndarray:
    """Return a page in linear sRGB, float32; the card must be A4."""
    size = (round(card.height_mm * px_per_mm), round(card.width_mm * px_per_mm), 3)
    picture = np.full(size, PAPER, np.float32)
    for marker in card.markers_on(page):
        side = marker.place.width_mm / 7
        for row, column in np.argwhere(black_modules(marker.number)):
            x, y = marker.place.x_mm + column * side, marker.place.y_mm + row * side
            fill(picture, Rectangle(x, y, side, side), INK)
    colours = truths(card)
    for window in card.windows_on(page):
        fill(picture, window.place, colours[window])
        fill(picture, window.bar, colours[window])
    place = card.grey_on(page).place
    if grey:
        fill(picture, place, GREY)
    else:
        cross(picture, place)
    return picture


def printed(pdf: bytes, card: Frame, page: int, *, grey: bool = True) -> np.ndarray:
    """Return a page of a card's PDF in linear light, its windows cut out, painted by `truths`."""
    zoom = COARSE_PX_PER_MM * 25.4 / 72.0
    shown = pymupdf.open(stream=pdf)[page].get_pixmap(matrix=pymupdf.Matrix(zoom, zoom))
    ink = np.frombuffer(shown.samples, np.uint8).reshape(shown.height, shown.width, 3) / 255.0
    picture = (INK + (PAPER - INK) * ink).astype(np.float32)
    colours = truths(card)
    for window in card.windows_on(page):
        fill(picture, window.place, colours[window])
        fill(picture, window.bar, colours[window])
    if grey:
        fill(picture, card.grey_on(page).place, GREY)
    return picture


def fill(picture: np.ndarray, place: Rectangle, colour: object) -> None:
    picture[pixels(picture, place)] = colour


def scale_of(picture: np.ndarray) -> int:
    return round(picture.shape[0] / A4_HEIGHT_MM)


def pixels(picture: np.ndarray, place: Rectangle) -> tuple[slice, slice]:
    scale = scale_of(picture)
    top, bottom, left, right = (
        round(at * scale) for at in (place.y_mm, place.bottom_mm, place.x_mm, place.right_mm)
    )
    return slice(top, bottom), slice(left, right)


def cross(picture: np.ndarray, place: Rectangle) -> None:
    scale = scale_of(picture)
    corners = np.rint(place.inset(2.0).corners_mm * scale).astype(int)
    for start, end in ((0, 2), (1, 3)):
        cv2.line(picture, corners[start].tolist(), corners[end].tolist(), (INK,) * 3, 4 * scale)


@dataclass(frozen=True)
class Shot:
    """How a page is photographed; ``offset`` moves it, in shares of the photo's sides."""

    turn_deg: float = 0.0
    tilt_deg: float = 0.0
    tilt_axis_deg: float = 0.0
    width_px: int = 2448
    height_px: int = 3264
    fill: float = 0.92
    offset: tuple[float, float] = (0.0, 0.0)
    focal: float = 0.75
    noise: float = 0.006
    quality: int = 92
    exposure: float = 1.0
    blur_px: float = 0.0


def to_photo(shot: Shot, card: Frame) -> np.ndarray:
    """Return the homography from millimetres on the page to pixels of the photo."""
    focal = shot.focal * np.hypot(shot.width_px, shot.height_px)
    axis = np.radians(shot.tilt_axis_deg)
    lean, _ = cv2.Rodrigues(np.radians(shot.tilt_deg) * np.array([np.cos(axis), np.sin(axis), 0]))
    turn, _ = cv2.Rodrigues(np.array([0.0, 0.0, np.radians(shot.turn_deg)]))
    axes = (lean @ turn)[:, :2]
    middle = np.array([[1, 0, -card.width_mm / 2], [0, 1, -card.height_mm / 2], [0, 0, 1.0]])
    size = np.array([shot.width_px, shot.height_px])
    lens = np.array([[focal, 0, size[0] / 2], [0, focal, size[1] / 2], [0, 0, 1.0]])
    corners = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * [card.width_mm, card.height_mm]
    at, distance = np.zeros(2), 2.0 * card.height_mm
    for _ in range(60):  # move the card until it fills the photo as asked, where asked
        seen_by = lens @ np.column_stack([axes, [*at, distance]]) @ middle
        seen = cv2.perspectiveTransform(corners[None].astype(float), seen_by)[0]
        low, high = seen.min(axis=0), seen.max(axis=0)
        wanted = size * (0.5 + np.array(shot.offset))
        at += (wanted - (low + high) / 2.0) * distance / focal
        distance *= ((high - low) / size).max() / shot.fill
    return seen_by


Light = Callable[[np.ndarray, np.ndarray], np.ndarray]


def even(x_mm: np.ndarray, y_mm: np.ndarray) -> np.ndarray:
    return np.ones_like(x_mm)


def lamp(x_mm: np.ndarray, y_mm: np.ndarray) -> np.ndarray:
    """A lamp beyond the upper left, 2 to 1 over an A4 page: inverse square times cosine."""
    height, from_x, from_y = 500.0, -60.0, -80.0
    square = (x_mm - from_x) ** 2 + (y_mm - from_y) ** 2 + height**2
    return (height**2 / square) ** 1.5


def photographed(
    page: np.ndarray, card: Frame, shot: Shot, light: Light = even, kind: str = ".jpg"
) -> Photo:
    """Return the photo of a page, by way of a file."""
    matrix = to_photo(shot, card)
    codes = exposed(page, card, matrix, shot, light)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"card{kind}"
        Image.fromarray(codes).save(path, quality=shot.quality, subsampling=2)
        return load(path)


def exposed(
    page: np.ndarray, card: Frame, matrix: np.ndarray, shot: Shot, light: Light
) -> np.ndarray:
    """Return the camera's 8-bit sRGB codes."""
    low_y, low_x = np.mgrid[0:60, 0:42]
    factor = light(low_x * card.width_mm / 41.0, low_y * card.height_mm / 59.0).astype(np.float32)
    lit = page * cv2.resize(factor, page.shape[1::-1], interpolation=cv2.INTER_CUBIC)[..., None]
    scale = np.diag([1.0 / scale_of(page), 1.0 / scale_of(page), 1.0])
    half, back = np.eye(3), np.eye(3)
    half[:2, 2], back[:2, 2] = 0.5, -0.5
    warp = back @ matrix @ scale @ half
    size = (shot.width_px, shot.height_px)
    seen = cv2.warpPerspective(
        lit, warp, size, flags=cv2.INTER_LINEAR, borderValue=(DESK, DESK, DESK)
    )
    if shot.blur_px:
        seen = cv2.GaussianBlur(seen, (0, 0), shot.blur_px)
    seen *= shot.exposure
    return grained(seen, shot.noise)


def grained(seen: np.ndarray, noise: float) -> np.ndarray:
    """Return 8-bit codes of light with shot noise, a strip at a time: large photos fill memory."""
    draw = np.random.default_rng(11)
    tile = noise * draw.standard_normal((256, seen.shape[1], 3), np.float32)
    codes = np.empty(seen.shape, np.uint8)
    for top in range(0, len(seen), len(tile)):
        strip = seen[top : top + len(tile)]
        grain = np.roll(tile, int(draw.integers(seen.shape[1])), axis=1)[: len(strip)]
        codes[top : top + len(tile)] = encoded(
            strip + grain * np.sqrt(np.maximum(strip, 0.0) + 0.02)
        )
    return codes


def encoded(linear: np.ndarray) -> np.ndarray:
    """Return linear sRGB as 8-bit codes (IEC 61966-2-1), by a table of 65536 steps."""
    return _table()[np.clip(linear * 65535.0 + 0.5, 0, 65535).astype(np.uint16)]


@functools.cache
def _table() -> np.ndarray:
    steps = np.linspace(0.0, 1.0, 65536)
    curve = np.where(steps <= 0.0031308, 12.92 * steps, 1.055 * steps ** (1 / 2.4) - 0.055)
    return np.rint(255.0 * curve).astype(np.uint8)
