"""Dabs for the page's tests: rounds in a painting's record, and a photo that lies on the table.

The rounds are made up, for looks alone; what a photo of dabs says is told in test_check.py.
"""

from __future__ import annotations

import functools
import tempfile
from pathlib import Path

import numpy as np

from refmatch.dabs.fuse import predict_piles
from refmatch.paint.box_file import built_in_box
from refmatch.painting.model import Added, Done, Painting
from refmatch.painting.record import with_done, with_round
from refmatch.painting.store import read_painting, save
from refmatch.web.bench.files import key_of
from tests.browser.painter import Painter
from tests.painting.rounds_example import advised, look, round_of
from tests.virtual_studio.camera import camera_of, grey
from tests.virtual_studio.table_photo import photographed_on_table

WHITE = Added("titanium white", 1.5, (("titanium white", 1.0),))
OCHRE = Added("yellow ochre", 0.5, (("yellow ochre", 1.0),))
MINIATURE = "dabs.jpg"


def folder_of(paintings: Path, key: str) -> Path:
    """Return the folder of the painting that the page knows by a key."""
    return next(
        path.parent for path in paintings.glob("*/painting.json") if key_of(path.parent) == key
    )


def record(painter: Painter, paintings: Path) -> None:
    """Put two rounds of the first puddle and one of the second on record."""
    folder = folder_of(paintings, painter.painting)
    save(folder, looked_at(read_painting(folder)))


def lay_photo(painter: Painter) -> None:
    """Lay a photo of dabs on the table; the server keeps it only while it runs."""
    photo, _ = dabs_on_table()
    painter.send(f"paintings/{painter.painting}/checks/photos?name={MINIATURE}", photo)


def looked_at(painting: Painting) -> Painting:
    """Return a painting with three made-up rounds."""
    first, second = painting.targets[0], painting.targets[1]
    told = [advised(WHITE, OCHRE, lab=first.lab), advised(WHITE, lab=first.lab - 0.5)]
    seen, again = look(1), look(2)
    painting = with_round(painting, seen, round_of(painting, 0, seen, (-4, 2, 3), told))
    other = round_of(painting, 1, seen, (-3, 1, -4), [advised(OCHRE, lab=second.lab)])
    painting = with_round(painting, seen, other)
    done = Done(False, (WHITE,), "added 1½ parts of titanium white")
    painting = with_done(painting, first.label, done)
    return with_round(painting, again, round_of(painting, 0, again, (-1.5, 1, 1), told))


@functools.cache
def dabs_on_table() -> tuple[bytes, dict[str, tuple[float, float]]]:
    """Return a small photo of a dab, a grey card, white and black paint, and each one's place."""
    box = built_in_box()
    piles = {"dab": {"titanium white": 8, "yellow ochre": 3}, "white": {"titanium white": 1}}
    piles["black"] = {"ivory black": 1}
    rows = [[pile.get(tube.name, 0.0) for tube in box.tubes] for pile in piles.values()]
    paint = predict_piles(box, np.array(rows, float)).reflectance
    surfaces = dict(zip(piles, paint, strict=True)) | {"grey": grey(49.5)}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / MINIATURE
        places = photographed_on_table(path, surfaces, camera_of("D50", 3), 3)
        data = path.read_bytes()
    at = {name: tuple(map(float, place.split(",")[:2])) for name, place in places.items()}
    return data, at
