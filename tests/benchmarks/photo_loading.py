"""How much a 24-megapixel JPEG costs: time against plain decoding, memory against its samples.

Run it by hand: ``python -m tests.benchmarks.photo_loading``.
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
import skimage.data

from refmatch.photo.hole import Hole, sample
from refmatch.photo.light.balance import as_shot
from refmatch.photo.load import load

MEGABYTE = 1 << 20


def make_photo(path: Path) -> None:
    """A bundled photograph enlarged to 6000 x 4000, with the noise of a camera."""
    large = cv2.resize(skimage.data.coffee(), (6000, 4000), interpolation=cv2.INTER_CUBIC)
    noise = np.random.default_rng(1).normal(0, 14, (1000, 1500, 3)).astype(np.float32)
    noisy = np.clip(large + np.tile(noise, (4, 4, 1)), 0, 255).astype(np.uint8)
    path.write_bytes(imagecodecs.jpeg8_encode(noisy, level=90))


def best_of(times: int, work: Callable[[], object]) -> float:
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def measure_time(path: Path) -> None:
    data = path.read_bytes()
    photo = load(path)
    holes = [Hole(400 + 420 * i, 500 + 240 * i, 80, str(i)) for i in range(12)]
    plain = best_of(7, lambda: imagecodecs.jpeg8_decode(data))
    rows = {
        "plain decode (imagecodecs)": plain,
        "plain decode (OpenCV)": best_of(7, lambda: cv2.imdecode(np.frombuffer(data, np.uint8), 1)),
        "load": best_of(7, lambda: load(path)),
        "working(320)": best_of(5, lambda: photo.working(320)),
        "working(1024)": best_of(5, lambda: photo.working(1024)),
        "12 holes of 80 px": best_of(5, lambda: [sample(photo, as_shot(), h) for h in holes]),
        "one hole of 3900 px": best_of(
            1, lambda: sample(photo, as_shot(), Hole(3e3, 2e3, 3900, ""))
        ),
    }
    for what, seconds in rows.items():
        print(f"{what:28s} {seconds * 1e3:8.1f} ms  {seconds / plain:5.2f} x plain decode")


def peak_of(path: Path, work: str) -> float:
    """Peak memory of a fresh process, in bytes, as Linux tells it."""
    script = (
        "import re, sys, cv2; from refmatch.photo.load import load\n"
        "from refmatch.photo.light import as_shot; from refmatch.photo.mask import Hole, sample\n"
        f"path = sys.argv[1]\n{work}\n"
        "print(re.search(r'VmHWM:\\s+(\\d+)', open('/proc/self/status').read())[1])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(path)], capture_output=True, text=True, check=True
    )
    return float(done.stdout) * 1024.0


def measure_memory(path: Path) -> None:
    decoded = float(load(path).samples.nbytes)
    idle = peak_of(path, "import PIL.JpegImagePlugin, imagecodecs; imagecodecs.cms_profile('srgb')")
    works = {
        "load": "load(path)",
        "load, working(1024)": "load(path).working(1024)",
        "load, a hole of 3900 px": "sample(load(path), as_shot(), Hole(3e3, 2e3, 3900, ''))",
    }
    print(f"decoded photo {decoded / MEGABYTE:.0f} MB; libraries alone {idle / MEGABYTE:.0f} MB")
    for what, work in works.items():
        more = peak_of(path, work) - idle
        print(f"{what:28s} {more / MEGABYTE:8.0f} MB  {more / decoded:5.2f} x decoded photo")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        photo_path = Path(folder) / "coffee.jpg"
        make_photo(photo_path)
        print(f"JPEG of 24 megapixels, {photo_path.stat().st_size / MEGABYTE:.1f} MB")
        measure_time(photo_path)
        measure_memory(photo_path)
