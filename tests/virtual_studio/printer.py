"""A printer that prints greys its own way: a tone curve, dots that spread, ink and paper, grain.

The driver bends the codes; of the code follows the dots' area, which spreads on the paper by an
amount that is largest at half tones (dot gain); dots and paper then reflect by Murray-Davies with
Yule and Nielsen's n, since light also spreads within the paper (Yule & Nielsen 1951, TAGA
Proceedings 3, 65-76). Sizes are those of office and photo printers (common practice, no source).
"""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
import pymupdf
from PIL import Image

from refmatch.dabs.value_finder import ValueFinder
from refmatch.sheet.value_finder_pages import write
from tests.dabs import studio

GRAIN = 0.02
SHOT = studio.Shot(width_px=1632, height_px=2176, tilt_deg=8.0, turn_deg=2.0)


@dataclass(frozen=True)
class Printer:
    """``gamma`` bends the driver's codes, ``gain`` is what dots of half the area gain."""

    gamma: float
    gain: float
    paper: float
    ink: float
    n: float
    seed: int

    def reflectance(self, code: np.ndarray) -> np.ndarray:
        """Return what is reflected where grey codes, 0 to 1, are sent."""
        area = 1.0 - code**self.gamma
        spread = np.clip(area + 4.0 * self.gain * area * (1.0 - area), 0.0, 1.0)
        roots = [value ** (1.0 / self.n) for value in (self.paper, self.ink)]
        return ((1.0 - spread) * roots[0] + spread * roots[1]) ** self.n


def another_printer(seed: int) -> Printer:
    draw = np.random.default_rng(seed)
    return Printer(
        gamma=float(draw.uniform(0.75, 1.3)),
        gain=float(draw.uniform(0.04, 0.2)),
        paper=float(draw.uniform(0.8, 0.9)),
        ink=float(draw.uniform(0.015, 0.05)),
        n=float(draw.uniform(1.2, 2.0)),
        seed=seed,
    )


def printed_page(printer: Printer, card: ValueFinder) -> np.ndarray:
    """Return the finder's page as it is printed, in linear light, the grey card on its place."""
    zoom = studio.COARSE_PX_PER_MM * 25.4 / 72.0
    matrix = pymupdf.Matrix(zoom, zoom)
    shown = pymupdf.open(stream=write(card))[1].get_pixmap(matrix=matrix, colorspace="GRAY")
    code = np.frombuffer(shown.samples, np.uint8).reshape(shown.height, shown.width) / 255.0
    light = printer.reflectance(code)
    grain = np.random.default_rng(printer.seed).normal(0.0, GRAIN, light.shape)
    light = light * (1.0 + grain)
    picture = np.repeat(light[..., None], 3, axis=2).astype(np.float32)
    studio.fill(picture, card.grey_on(1).place, studio.GREY)
    return picture


def jpeg_of(printer: Printer, card: ValueFinder) -> bytes:
    """Return a photo of the printed page, a grey card on it, under a lamp at one side."""
    page = printed_page(printer, card)
    codes = studio.exposed(page, card, studio.to_photo(SHOT, card), SHOT, studio.lamp)
    stream = io.BytesIO()
    Image.fromarray(codes).save(stream, "JPEG", quality=92)
    return stream.getvalue()
