"""What photos of 100 and 200 megapixels cost: peak memory beside the 8-bit photo's own size.

Run by hand: ``python -m tests.benchmarks.large_photos [FORM ...]``. Each photo is loaded, then
its masses found and a hole read, as every command does, in a process of its own. The photo is a
sample enlarged, with noise, so that no codec has it easy. It also shows how soon files that are
made to hold a program up are refused.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import cv2
import imagecodecs
import numpy as np
import numpy.typing as npt
import skimage.data
import tifffile
from PIL import Image

MEGABYTE = 1 << 20
SIZES = {"100 MP": (12_000, 8_333), "200 MP": (16_320, 12_240)}

Samples = npt.NDArray[np.uint8]

ROAD = """
import re, sys, time
began = time.perf_counter()
from refmatch.photo.load import load
from refmatch.photo.hole import Hole, sample
from refmatch.photo.light.balance import as_shot
from refmatch.photo import masses
from refmatch.photo.opencv import opencv
opencv()
status = lambda: int(re.search(r"VmHWM:\\s+(\\d+)", open("/proc/self/status").read())[1])
import imagecodecs, tifffile, PIL.Image, pillow_heif
idle = status()
photo = load(sys.argv[1])
loaded = status()
masses.find(photo, as_shot())
sample(photo, as_shot(), Hole(photo.width_px / 2, photo.height_px / 2, photo.height_px / 3))
print(idle, loaded, status(), time.perf_counter() - began)
"""


RUN = "from refmatch.cli.start import main; main()"


def with_alpha(samples: Samples) -> bytes:
    alpha = np.full((*samples.shape[:2], 1), 255, np.uint8)
    alpha[:500] = 0
    return imagecodecs.png_encode(np.concatenate([samples, alpha], axis=2), level=1)


def tiff(samples: npt.NDArray[np.generic], path: Path) -> bytes:
    tifffile.imwrite(path, samples, photometric="rgb")
    return path.read_bytes()


def pillow(samples: Samples, path: Path, form: str, **options: object) -> bytes:
    Image.fromarray(samples).save(path, form, **options)
    return path.read_bytes()


FORMS: dict[str, Callable[[Samples, Path], bytes]] = {
    "jpeg": lambda samples, _: imagecodecs.jpeg8_encode(samples, level=90),
    "progressive": lambda samples, path: pillow(
        samples, path, "JPEG", quality=90, progressive=True
    ),
    "png": lambda samples, _: imagecodecs.png_encode(samples, level=1),
    "png, alpha": lambda samples, _: with_alpha(samples),
    "tiff": tiff,
    "tiff, 16 bits": lambda samples, path: tiff(samples.astype(np.uint16) * 257, path),
    "webp": lambda samples, _: imagecodecs.webp_encode(samples, level=80, method=0),
    "avif": lambda samples, _: imagecodecs.avif_encode(samples, level=60, speed=10),
}


def photo_of(size: tuple[int, int]) -> Samples:
    large = cv2.resize(skimage.data.coffee(), size, interpolation=cv2.INTER_LINEAR)
    noise = np.random.default_rng(1).integers(0, 24, (1000, size[0], 1), np.uint8)
    for top in range(0, size[1], 1000):
        rows = large[top : top + 1000]
        np.add(rows // 2, noise[: len(rows)], out=rows)
    return np.asarray(large, np.uint8)


def measure(name: str, samples: Samples, folder: Path) -> None:
    path, scratch = folder / "photo", folder / "scratch"
    path.write_bytes(FORMS[name](samples, scratch))
    ran = subprocess.run(
        [sys.executable, "-c", ROAD, path], capture_output=True, text=True, check=False
    )
    if ran.returncode:
        print(f"  {name:14s} {ran.stderr.strip().splitlines()[-1]}")
        return
    idle, loaded, peak, seconds = map(float, ran.stdout.split())
    own = samples.nbytes / 1024.0
    print(
        f"  {name:14s} file {path.stat().st_size / MEGABYTE:6.0f} MB"
        f"  load {(loaded - idle) / own:4.2f}  whole road {(peak - idle) / own:4.2f}"
        f"  with the program {peak / own:4.2f} x the 8-bit photo  {seconds:5.1f} s",
        flush=True,
    )


def bombs(folder: Path) -> None:
    """Files made to hold a program up, and how soon each ends."""
    empty = np.zeros((17_000, 17_000, 3), np.uint8)
    scans = folder / "scans.jpg"
    Image.fromarray(empty).save(scans, quality=10, progressive=True)
    data = scans.read_bytes()
    last = data.rindex(b"\xff\xda")
    few = data[:-2] + data[last:-2] * 9 + data[-2:]
    for what, bomb in {
        "a black PNG of 289 megapixels": imagecodecs.png_encode(empty, level=9),
        "a black JPEG of 289 megapixels": data,
        "the same, as many scans as are let in": few,
        "the same, 3000 scans": data[:-2] + data[last:-2] * 3000 + data[-2:],
    }.items():
        path = folder / "bomb"
        path.write_bytes(bomb)
        began = time.perf_counter()
        ran = subprocess.run(
            [sys.executable, "-c", RUN, "families", path],
            capture_output=True,
            text=True,
            check=False,
        )
        said = ran.stderr.strip().splitlines()[-1:] or [ran.stdout.strip().splitlines()[0]]
        print(
            f"  {what:38s} {len(bomb) / MEGABYTE:6.1f} MB  {time.perf_counter() - began:5.1f} s  "
            f"exit {ran.returncode}: {said[0][:90]}",
            flush=True,
        )


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        for size, pixels in SIZES.items():
            print(size)
            whole = photo_of(pixels)
            for form in sys.argv[1:] or FORMS:
                measure(form, whole, Path(place))
            del whole
        print("made to hold a program up")
        bombs(Path(place))
