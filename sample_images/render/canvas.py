"""Paint the garden table with known faults, photograph the canvas, and write its truth beside it.

    python -m sample_images.render.canvas [--out FOLDER]

Run it from the checkout: tubes and phone are those of the virtual studio in ``tests``. The same
machine and versions give the same bytes. Needs the extra ``test``.
"""

from __future__ import annotations

import argparse
import json
import tempfile
from pathlib import Path

import cv2
import numpy as np
from PIL import Image, ImageCms

from refmatch.colorimetry.lab import xyz_to_lab
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.paint.box_file import box_to_toml, built_in_box
from refmatch.painting.asked import Asked, AskedPlan
from refmatch.painting.canvas import reference_of
from refmatch.painting.reckon import Reckoner
from refmatch.photo.light.balance import AskedLight
from refmatch.photo.load import load
from refmatch.photo.masses import squared_distances
from refmatch.photo.photo import reduced
from tests.virtual_studio.camera import camera_of
from tests.virtual_studio.canvas_photo import CARD_LSTAR, GREY, Fault, painted, photographed_canvas
from tests.virtual_studio.paints import AS_REAL, other_makers

LIGHT, CAMERA_SEED = "D65", 54
"""The phone and the daylight of the calibration card's photo."""

SEED = 73
FAULTS = {
    "dark yellow-green": Fault(value=1.5),
    "ochre": Fault(turn_deg=-22.0),
    "blue": Fault(chroma=0.5),
}
"""The hedge too light, the pears too red, the jug too dull; all else is right."""

DETAIL_PX = 1280
"""Longest side of the reference that is painted: finer than a brush."""

BRUSH_PX = 11
QUALITY = 90


def main() -> None:
    """Paint, take the photo, and write both files."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--out", type=Path, default=Path(__file__).parents[1])
    asked = parser.parse_args()
    reckoner = Reckoner(load(Path(__file__).parents[1] / "garden-table.jpg"))
    light = AskedLight("neutral", 1709.0, 1146.0, 38.0, lstar=49.5, keep_light=20.0)
    wish = Asked("Garden table", box_to_toml(built_in_box()), light=light)
    holes = reckoner.mass_holes(wish, None)
    wish = Asked(wish.title, wish.box, light=light, holes=holes, plan=AskedPlan())
    reference, _ = reference_of(reckoner, reckoner.reckon(wish, "2026-01-01"))
    lab, masses = _large(reckoner, light, reference)
    faults = {reference.labels.index(label): fault for label, fault in FAULTS.items()}
    studio = other_makers(built_in_box().tubes, SEED, AS_REAL)
    canvas = painted(lab, masses, faults, studio, SEED)
    with tempfile.TemporaryDirectory() as place:
        shown = photographed_canvas(
            Path(place) / "canvas.png",
            canvas,
            camera_of(LIGHT, CAMERA_SEED),
            SEED,
            beside=GREY,
            fall=0.08,
        )
        codes = Image.open(shown.path).convert("RGB")
    photo = asked.out / "garden-canvas.jpg"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    codes.save(photo, "JPEG", quality=QUALITY, optimize=True, icc_profile=profile)
    facts = {
        "image": photo.name,
        "scene": "The garden table as painted, on an easel before a wall.",
        "size_px": list(codes.size),
        "light": {"text": "daylight, about 6500 K, falling off across the picture"},
        "corners_px": shown.corners.round(1).tolist(),
        "neutral": {"place": shown.card, "lstar": CARD_LSTAR},
        "faults": [{"mass": label, **vars(fault)} for label, fault in FAULTS.items()],
        "masses": list(reference.labels),
    }
    text = json.dumps(facts, indent=1, ensure_ascii=False)
    photo.with_suffix(".json").write_text(text + "\n", "utf-8")
    print(f"{photo.name}: {photo.stat().st_size / 1e3:.0f} kB, card {shown.card}")


def _large(reckoner, light, reference):
    """Return the reference as keyed, Lab, and its masses, finer than they are judged at."""
    xyz = reduced(reckoner.whole, DETAIL_PX).xyz @ reckoner.balance(light).matrix.T
    lab = xyz_to_lab(np.maximum(xyz, 0.0), PHOTO_WHITE)
    soft = cv2.GaussianBlur(lab.astype(np.float32), (0, 0), 2.0).reshape(-1, 3).astype(float)
    small = xyz_to_lab(np.maximum(reference.xyz, 0.0), PHOTO_WHITE)
    own = [small[reference.masses == n].mean(axis=0) for n in range(len(reference.labels))]
    masses = squared_distances(np.stack(own), soft).argmin(axis=0).reshape(lab.shape[:2])
    masses = cv2.medianBlur(masses.astype(np.uint8), BRUSH_PX).astype(int)
    return reference.keyed(lab), masses


if __name__ == "__main__":
    main()
