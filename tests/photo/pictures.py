"""Small photo files made on the spot, for tests."""

from __future__ import annotations

from pathlib import Path

import imagecodecs
import numpy as np

from refmatch.photo.load import load
from refmatch.photo.photo import Photo


def save_png(path: Path, samples: np.ndarray) -> Path:
    path.write_bytes(imagecodecs.png_encode(np.ascontiguousarray(samples)))
    return path


def photo_of(folder: Path, samples: np.ndarray) -> Photo:
    """Load untagged samples by way of a PNG file."""
    return load(save_png(folder / "photo.png", np.asarray(samples)))
