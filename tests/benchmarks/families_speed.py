"""How long the families of a 24-megapixel JPEG take, as multiples of its plain decoding.

Run with ``python -m tests.benchmarks.families_speed``. The photo is scikit-image's
coffee, enlarged, with three sizes of noise so that it decodes like a camera's. The
least of seven runs, in processor time.
"""

from __future__ import annotations

import io
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import cv2
import imagecodecs
import numpy as np
import skimage.data
from PIL import Image

from refmatch.photo import masses
from refmatch.photo.light.balance import as_shot
from refmatch.photo.load import load

ROWS, COLUMNS = 4000, 6000


def large_jpeg() -> bytes:
    """Return the JPEG, 6000 x 4000, quality 92, about 8 MB."""
    rng = np.random.default_rng(0)
    picture = cv2.resize(skimage.data.coffee().astype(np.float32), (COLUMNS, ROWS))
    for grain_px, strength in ((8, 10.0), (2, 8.0), (1, 5.0)):
        grain = rng.normal(0.0, strength, (ROWS // grain_px, COLUMNS // grain_px))
        picture += cv2.resize(grain.astype(np.float32), (COLUMNS, ROWS))[..., None]
    return imagecodecs.jpeg_encode(np.clip(picture, 0, 255).astype(np.uint8), level=92)


def least_s(work: Callable[[], object]) -> float:
    """Return the least processor time of seven runs, in seconds."""
    times = []
    for _ in range(7):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def main() -> None:
    data = large_jpeg()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "large.jpg"
        path.write_bytes(data)
        ours = least_s(lambda: masses.find(load(path), as_shot()))
    print(f"{len(data) / 1e6:.1f} MB; load and families {ours:.3f} s")
    decoders: dict[str, Callable[[], object]] = {
        "imagecodecs": lambda: imagecodecs.jpeg_decode(data),
        "OpenCV": lambda: cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR),
        "Pillow": lambda: np.asarray(Image.open(io.BytesIO(data))),
    }
    for name, decode in decoders.items():
        plain = least_s(decode)
        print(f"{ours / plain:.2f} times plain decoding by {name} ({plain:.3f} s)")


if __name__ == "__main__":
    main()
