"""Render the photo of the painted calibration card and write its truth beside it.

    python -m sample_images.render.calibration [--out FOLDER]

The same machine and versions give the same bytes. Run it from the checkout: the tubes and the
phone are those of the virtual studio in ``tests``. Needs the extras ``render`` and ``test``.
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from refmatch.sheet import card_pages
from tests.virtual_studio.camera import Camera, camera_of

from . import dabs, frame, painter, phone, table, truth
from .raster import Raster
from .spectra import surroundings

LIGHT, CAMERA_SEED = "D65", 54
"""The first of the virtual studio's phones from 52 on whose white balance is no more than C* 4
off: the others' casts are such as phones seldom leave. Nothing was read before it was chosen."""


def scene(camera: Camera) -> Raster:
    """Lay the scene from the table up, in the camera's linear light."""
    card = painter.card()
    curves = surroundings(card.neutral_value)
    colours = {name: curve @ camera.weights for name, curve in curves.items()}
    raster = Raster.around(phone.field_of_view(card))
    table.lay_planks(raster, colours)
    table.lay_canvas(raster, card, colours)
    frame.lay_frame(raster, card, colours, frame.page_of(card_pages.write(card), 1))
    for number, window in enumerate(card.windows):
        paint = dabs.Paint(window, number, painter.film)
        dabs.lay_dab(raster, paint, curves, lambda seen: seen @ camera.weights)
    table.lay_tape(raster, card, colours)
    frame.lay_grey_card(raster, card, colours)
    table.light_from_window(raster)
    return raster


def main() -> None:
    """Lay the scene, take the photo, and write both files."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--out", type=Path, default=Path(__file__).parents[2])
    asked = parser.parse_args()
    camera = camera_of(LIGHT, CAMERA_SEED)
    codes = phone.taken(scene(camera), painter.card(), camera)
    photo = asked.out / "calibration-card.jpg"
    phone.save(codes, photo)
    facts = truth.record(codes.shape[1::-1], "daylight, about 6500 K, from the upper left")
    told = json.dumps(facts, indent=1, ensure_ascii=False)
    photo.with_suffix(".json").write_text(told + "\n", "utf-8")
    print(f"{photo.name}: {photo.stat().st_size / 1e6:.2f} MB")


if __name__ == "__main__":
    main()
