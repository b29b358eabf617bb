"""How surely a printed card is found in photos of it, and how true its dabs are read.

    python -m tests.benchmarks.card_photos [--photos 60] [--least-quality 88] [--card dabs]
        [--megapixels 48]

Each photo is turned by any angle, tilted up to 35 degrees about any axis, lit by one lamp
anywhere, 2 to 12 megapixels, noisy, a little blurred, and saved as JPEG. The dabs' colours
are invented; what is measured is the reader alone, not a camera's colour.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from types import SimpleNamespace

import numpy as np

from refmatch.dabs.find import project
from refmatch.dabs.read import find_page, read_dabs, read_grey
from refmatch.errors import CardError
from tests.dabs.studio import (
    FINE_PX_PER_MM,
    Light,
    Shot,
    drawn,
    garden_card,
    pears_card,
    photographed,
)
from tests.dabs.studio import to_photo as true_map
from tests.dabs.test_read import misses

MEGAPIXELS = (2, 3, 8, 12)
CARDS = {"calibration": garden_card, "dabs": pears_card}


def any_shot(
    draw: np.random.Generator, least_quality: int, sizes: Sequence[float] = MEGAPIXELS
) -> Shot:
    megapixels = draw.choice(sizes)
    sides = [int(side) for side in np.sqrt(megapixels * 1e6 * np.array([0.75, 1.0 / 0.75]))]
    width, height = sides if draw.random() < 0.5 else sides[::-1]
    return Shot(
        turn_deg=draw.uniform(-180.0, 180.0),
        tilt_deg=draw.uniform(0.0, 35.0),
        tilt_axis_deg=draw.uniform(0.0, 360.0),
        width_px=width,
        height_px=height,
        fill=draw.uniform(0.75, 0.97),
        focal=draw.uniform(0.6, 1.2),
        noise=draw.uniform(0.003, 0.02),
        blur_px=float(draw.choice([0.0, 0.6, 1.2])),
        quality=int(draw.integers(least_quality, 97)),
    )


def any_lamp(draw: np.random.Generator) -> Light:
    """Return a bare lamp somewhere over the card or beside it, no paper blown out by it."""
    high, at_x, at_y = draw.uniform(350, 700), draw.uniform(-250, 460), draw.uniform(-250, 550)

    def falls(x_mm: np.ndarray, y_mm: np.ndarray) -> np.ndarray:
        return (high**2 / ((x_mm - at_x) ** 2 + (y_mm - at_y) ** 2 + high**2)) ** 1.5

    brightest = falls(np.clip(at_x, 0, 210), np.clip(at_y, 0, 297))
    return lambda x_mm, y_mm: falls(x_mm, y_mm) / brightest


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--photos", type=int, default=60)
    parser.add_argument("--least-quality", type=int, default=88)
    parser.add_argument("--megapixels", type=float, nargs="+", default=MEGAPIXELS)
    parser.add_argument("--card", choices=CARDS, default="calibration")
    asked = parser.parse_args()
    draw, card = np.random.default_rng(1), CARDS[asked.card]()
    page = drawn(card, px_per_mm=FINE_PX_PER_MM)
    refused, off_mm, off_colour, off_tilt = [], [], [], []
    for _ in range(asked.photos):
        shot, light = any_shot(draw, asked.least_quality, asked.megapixels), any_lamp(draw)
        try:
            seen = find_page(photographed(page, card, shot, light), card)
            read = SimpleNamespace(dabs=read_dabs(seen, card), grey=read_grey(seen, card))
        except CardError as error:
            refused.append(str(error))
            continue
        truth = np.linalg.inv(true_map(shot, card))
        off_mm += [
            np.abs(project(truth, dab.outline_px) - dab.window.place.corners_mm).max()
            for dab in read.dabs
        ]
        off_colour.append(misses(read, card))
        off_tilt.append(abs(seen.position.tilt_deg - shot.tilt_deg))
    colours = np.array(off_colour)
    print(f"photos {asked.photos}, refused {len(refused)}", *refused, sep="\n  ")
    print(f"windows off by at most {max(off_mm):.2f} mm, tilt by {max(off_tilt):.1f} degrees")
    p50, p90, p99 = np.percentile(colours, (50, 90, 99))
    print(
        f"dE00 of a dab: median {p50:.2f}, p90 {p90:.2f}, p99 {p99:.2f}, most {colours.max():.2f}"
    )
    print(f"photos in which every dab is within 1 dE00: {(colours.max(axis=1) < 1.0).mean():.0%}")


if __name__ == "__main__":
    main()
