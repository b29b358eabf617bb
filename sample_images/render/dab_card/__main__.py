"""Render the photo of the garden table's painted dab card and write its truth beside it.

    python -m sample_images.render.dab_card PAINTING [--out FOLDER]

PAINTING is the folder that the example of ``refmatch sheet -h`` makes, after
``refmatch card --painting`` has printed its card. The same machine and versions give the same
bytes. Needs the extras ``render`` and ``test``.
"""

from __future__ import annotations

import argparse
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import cv2

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.dabs.dab_card import DabCard, read_card_file
from refmatch.sheet import dab_card_pages
from tests.virtual_studio.camera import Camera, camera_of

from ..calibration import dabs, frame, phone, table
from ..calibration.raster import Raster
from ..calibration.spectra import surroundings
from . import painter

LIGHT, CAMERA_SEED = "D65", 54
"""The phone of the calibration card's photo, chosen there."""

SHOT = replace(
    phone.SHOT, width_px=1500, height_px=2000, turn_deg=-3.0, fill=0.86, offset=(0.0, 0.0)
)
"""Fewer pixels than a phone's own: a window is 150 across, and few are filled."""

MEANS = (
    "dabs: parts is what was truly mixed, of each tube; lab is the colour of that paint where it "
    "hides, D50, CIE 1931 2 degrees. wanted is the target's colour as the card has it."
)


def scene(card: DabCard, camera: Camera) -> Raster:
    """Lay the scene from the table up, in the camera's linear light."""
    curves = surroundings(card.neutral_value)
    colours = {name: curve @ camera.weights for name, curve in curves.items()}
    raster = Raster.around(phone.field_of_view(card, SHOT))
    table.lay_planks(raster, colours)
    table.lay_canvas(raster, card, colours)
    frame.lay_frame(raster, card, colours, frame.page_of(dab_card_pages.write(card), 1))
    for number, window in enumerate(card.windows):
        paint = dabs.Paint(window, 40 + number, painter.film)
        dabs.lay_dab(raster, paint, curves, lambda seen: seen @ camera.weights)
    table.lay_tape(raster, card, colours)
    frame.lay_grey_card(raster, card, colours)
    table.light_from_window(raster)
    return raster


def truth(card: DabCard, painting: Path) -> dict[str, Any]:
    """Return the JSON of the photo; keys in reading order."""
    return {
        "image": "dab-card.jpg",
        "scene": "The painted dab card of the garden table's pear and jug, on a wooden table.",
        "size_px": [SHOT.width_px, SHOT.height_px],
        "light": "daylight, about 6500 K, from the upper left",
        "truth": MEANS,
        "viewing": {"illuminant": "D50", "observer": "CIE 1931 2 degrees"},
        "dabs": [_dab(card, number) for number in range(len(card.windows))],
        "coordinates": "pixels of the photo; (0, 0) is its top left corner",
        "made_by": f"python -m sample_images.render.dab_card {painting.name}",
    }


def _dab(card: DabCard, number: int) -> dict[str, Any]:
    window = card.windows[number]
    label = painter.label_of(window)
    to_photo = phone.matrix_of(card, SHOT)
    centre = cv2.perspectiveTransform(window.place.centre_mm[None, None], to_photo)[0, 0]
    names = [tube.name for tube in painter.studio().tubes]
    used = zip(names, painter.laid(label).tolist(), strict=True)
    wanted = [target.lab for target in card.targets if target.target == label]
    return {
        "label": label,
        "x_px": round(float(centre[0]), 1),
        "y_px": round(float(centre[1]), 1),
        "parts": {name: round(part, 4) for name, part in used if part},
        "lab": [round(float(v), 2) for v in reflectance_to_lab(painter.hiding(label))],
        **({"wanted": [round(v, 2) for v in wanted[0]]} if wanted else {}),
    }


def main() -> None:
    """Lay the scene, take the photo, and write both files."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("painting", type=Path)
    parser.add_argument("--out", type=Path, default=Path(__file__).parents[2])
    asked = parser.parse_args()
    card, camera = read_card_file(asked.painting / "dab-card.json"), camera_of(LIGHT, CAMERA_SEED)
    codes = phone.taken(scene(card, camera), card, camera, SHOT)
    photo = asked.out / "dab-card.jpg"
    phone.save(codes, photo)
    told = json.dumps(truth(card, asked.painting), indent=1, ensure_ascii=False)
    photo.with_suffix(".json").write_text(told + "\n", "utf-8")
    print(f"{photo.name}: {photo.stat().st_size / 1e6:.2f} MB")


if __name__ == "__main__":
    main()
