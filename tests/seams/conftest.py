from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.cli.running import Shell
from tests.seams.doors import Doors

FLAT = {
    "sky": (slice(0, 60), slice(None), (150, 175, 205)),
    "wall": (slice(60, 110), slice(None), (200, 180, 140)),
    "ground": (slice(110, 150), slice(None), (90, 75, 50)),
    "door": (slice(70, 110), slice(80, 110), (160, 50, 40)),
    "slate": (slice(60, 75), slice(120, 200), (62, 63, 66)),
}
"""A house of five flat masses: rows, columns, sRGB (invented)."""


@pytest.fixture(scope="session")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small photo, 200 by 150 pixels, saved as PNG."""
    picture = np.zeros((150, 200, 3), np.uint8)
    for rows, columns, colour in FLAT.values():
        picture[rows, columns] = colour
    path = tmp_path_factory.mktemp("photo") / "house.png"
    Image.fromarray(picture).save(path)
    return path


@pytest.fixture
def doors(house: Path, tmp_path: Path) -> Doors:
    """A prompt and a page that work on the same small photo."""
    return Doors.on(house, tmp_path)


@pytest.fixture
def refmatch() -> Shell:
    return Shell()
