"""How surely a 24-patch chart is found in a photo, how true it is read, and what it is worth.

    python -m tests.benchmarks.chart_photos [--photos 120] [--boxes 4]

Photos of 8 to 48 megapixels of a chart on a cluttered table: any turn, tilted up to 35 degrees,
from a seventh of the photo to all of it, a lamp anywhere, four kinds of light, noise, blur, JPEG,
cameras nobody knows. Then photographs and cards of dabs that show no chart. Then boxes from a card
of dabs, with a chart beside it in less light and without one.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import skimage.data

from refmatch.colorimetry.display import SRGB_TO_XYZ, decode_srgb
from refmatch.colorimetry.lab import delta_e_00, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.chart import ChartRead, read_chart
from refmatch.paint.box import Box
from refmatch.paint.box_file import built_in_tube
from refmatch.photo.load import load
from refmatch.photo.photo import Photo
from refmatch.recipe.mixture import Palette
from tests.dabs import studio as card_studio
from tests.photo.made_photos import photo_of_srgb
from tests.virtual_studio import card_photo
from tests.virtual_studio.boxes import photograph_box
from tests.virtual_studio.camera import LIGHTS, chart
from tests.virtual_studio.chart_photo import Setting, any_setting, photographed
from tests.virtual_studio.instrument import random_mixes

SAMPLES = Path(__file__).parents[2] / "sample_images"
PHOTOGRAPHS = ("coffee", "chelsea", "astronaut", "rocket")
PIGMENTS = ("PW6", "PY74", "PY43", "PR254", "burnt-sienna", "PB29", "PB15:3", "PBk9")
FIRST = 300


def off_place(read: ChartRead, setting: Setting) -> np.ndarray:
    """Return how far each corner of each patch is off, in sides of a patch."""
    true = setting.outlines_px()
    side = np.sqrt(np.mean([cv2.contourArea(each.astype(np.float32)) for each in true]))
    return np.linalg.norm(read.found.outlines_px() - true, axis=-1).ravel() / side


def off_colour(read: ChartRead, setting: Setting) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return dE00 from what the camera truly holds of the patches used.

    As they lie there, noise apart; in even light, once the unevenness is divided out; and in even
    light had it not been.
    """
    numbers = [each.number for each in read.patches]
    middles = setting.outlines_px().mean(axis=1)[None]
    at_mm = cv2.perspectiveTransform(middles, np.linalg.inv(setting.to_photo))[0]
    lamp, made = setting.lamp, setting.made
    middle = lamp(np.array([made.width_mm / 2.0]), np.array([made.height_mm / 2.0]))
    there, even = _held(setting, lamp(*at_mm.T)), _held(setting, np.full(24, middle))
    found = np.stack([each.patch.xyz for each in read.patches])
    shading = np.array([each.patch.shading for each in read.patches])[:, None]
    return (
        delta_e_00(_lab(found * shading), there[numbers]),
        delta_e_00(_lab(found), even[numbers]),
        delta_e_00(there[numbers], even[numbers]),
    )


def _held(setting: Setting, light: np.ndarray) -> np.ndarray:
    camera = setting.seen_by
    linear = chart() @ camera.weights * light[:, None] * setting.shot.exposure + camera.glare
    return _lab(decode_srgb(np.clip(camera.develop(linear), 0.0, 1.0)) @ SRGB_TO_XYZ.T / 100.0)


def _lab(xyz: np.ndarray) -> np.ndarray:
    return xyz_to_lab(100.0 * xyz, ICC_WHITE)


def without_a_chart() -> Iterator[tuple[str, Photo]]:
    """Yield photographs, the sample images, cards of dabs, and tables without a chart."""
    for name in PHOTOGRAPHS:
        yield name, photo_of_srgb(getattr(skimage.data, name)())
    for path in sorted(SAMPLES.glob("*.jpg")):
        yield path.name, load(path)
    card, draw = card_studio.garden_card(), np.random.default_rng(8)
    for _ in range(10):
        shot = card_studio.Shot(
            turn_deg=draw.uniform(-180, 180), tilt_deg=draw.uniform(0, 35), width_px=2448
        )
        yield "card of dabs", card_studio.photographed(card_studio.drawn(card), card, shot)
    for _ in range(40):
        setting = replace(any_setting(draw, (8.0,)), clutter=150)
        yield "table full of things", photographed(setting, reflectance=np.zeros((0, 31)))


def boxes(count: int, light: str) -> tuple[np.ndarray, np.ndarray]:
    """Return dE00 of lighter random mixes, by the card alone, and with a chart beside it."""
    box, off = Box("orchard", tuple(map(built_in_tube, PIGMENTS))), ([], [])
    for seed in range(FIRST, FIRST + count):
        painted = card_photo.painted_card(box, seed)
        parts = random_mixes(painted.studio, 100, seed)
        true = painted.studio.lab(parts)
        for with_chart in (False, True):
            with tempfile.TemporaryDirectory() as name:
                folder = Path(name)
                asked = card_photo.photographed(folder, painted, seed, light, with_chart=with_chart)
                made = photograph_box(asked, folder / "known.toml").box
            found = Palette.of(made.tubes, made.surface).lab(parts)
            off[with_chart].append(delta_e_00(found, true)[true[:, 0] >= 40.0])
    return np.concatenate(off[0]), np.concatenate(off[1])


def report_found(photos: int) -> None:
    """Print how many are found, and how true."""
    draw = np.random.default_rng(1)
    place, colours, seconds, used, found = [], [], [], [], Counter()
    for _ in range(photos):
        setting = any_setting(draw)
        photo = photographed(setting)
        size = f"{photo.width_px * photo.height_px / 1e6:.0f} megapixels"
        start = time.perf_counter()
        read = read_chart(photo)
        seconds.append(time.perf_counter() - start)
        miss = np.inf if read is None else off_place(read, setting).max()
        kind = "none" if read is None else "wrong" if miss > 0.3 else "found"
        found[kind, size] += 1
        if read is None or kind == "wrong":
            print(f"  {kind}: {setting.shot} {setting.made} {setting.camera}", flush=True)
            continue
        place.append(miss)
        used.append(len(read.patches))
        if read.patches:
            colours.append(off_colour(read, setting))
    print(f"{photos} photos:", dict(sorted(found.items())))
    print("furthest corner, sides of a patch: median, p90, most", _three(np.array(place)))
    print(f"patches used: mean {np.mean(used):.2f} of 24, fewest {min(used)}")
    names = ("as they lie there", "even light, divided out", "even light, had it not been")
    for name, each in zip(names, zip(*colours, strict=True), strict=True):
        print(f"dE00 of patches, {name}: median, p90, most", _three(np.concatenate(each)))
    print("seconds to find and read: median, p90, most", _three(np.array(seconds)), flush=True)


def _three(values: np.ndarray) -> str:
    return "{:.3f} {:.3f} {:.3f}".format(*np.percentile(values, (50.0, 90.0, 100.0)))


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--photos", type=int, default=120)
    parser.add_argument("--boxes", type=int, default=4)
    asked = parser.parse_args()
    report_found(asked.photos)
    seen = Counter((name, read_chart(photo) is not None) for name, photo in without_a_chart())
    print("no chart there; said to be one:", {key: n for key, n in seen.items() if key[1]} or 0)
    print("of", sum(seen.values()), dict(Counter({name: n for (name, _), n in seen.items()})))
    for light in LIGHTS if asked.boxes else ():
        alone, both = boxes(asked.boxes, light)
        figures = [np.percentile(each, (50.0, 90.0)).round(2).tolist() for each in (alone, both)]
        print(f"{light}: mixes of L* 40 or more, card alone, and with a chart: {figures}")


if __name__ == "__main__":
    main()
