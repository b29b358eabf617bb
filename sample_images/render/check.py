"""How far each photo's own colours are from the truth beside it: what a tool could reach.

    python -m sample_images.render.check

Reads the JPEG as any program would (upright, sRGB), balances by the grey card, or by the
known white where there is none, and prints the CIEDE2000 difference at each place.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
from PIL import Image, ImageOps

from refmatch.colorimetry.display import SRGB_TO_XYZ, decode_srgb
from refmatch.colorimetry.lab import adaptation, delta_e_00, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE

from .truth import disc_mean, grey_luminance


def read_labs(path: Path, facts: dict) -> tuple[np.ndarray, np.ndarray]:
    """Return (balanced, as shot) Lab of the places, (n, 3) each, read off the JPEG."""
    photo = np.asarray(ImageOps.exif_transpose(Image.open(path)), dtype=float) / 255.0
    xyz = decode_srgb(photo) @ SRGB_TO_XYZ.T
    seen = np.array(
        [disc_mean(xyz, p["x_px"], p["y_px"], p["diameter_px"]) for p in facts["places"]]
    )
    if facts["neutral"]:
        n = facts["neutral"]
        white = disc_mean(xyz, n["x_px"], n["y_px"], n["diameter_px"]) / grey_luminance(n["lstar"])
        scale = 1.0
    else:
        white = np.array(facts["exposure"]["white_in_photo_xyz"]) * 100.0
        scale = white[1] / 100.0
    balanced = seen @ adaptation(white / white[1] * 100.0, ICC_WHITE).T / white[1] * 100.0 * scale
    return xyz_to_lab(balanced, ICC_WHITE), xyz_to_lab(seen, ICC_WHITE)


def main() -> None:
    """Print a table for each photo beside the scripts."""
    for source in sorted(Path(__file__).parent.parent.glob("*.json")):
        facts = json.loads(source.read_text("utf-8"))
        if "places" not in facts:  # the calibration card: its truth is that of the tubes
            continue
        true = np.array([place["lab"] for place in facts["places"]])
        balanced, shot = read_labs(source.with_name(facts["image"]), facts)
        off, cast = delta_e_00(balanced, true), delta_e_00(shot, true)
        print(f"\n{facts['image']}: light {facts['light']['cct_k']} K")
        for place, read, e, c in zip(facts["places"], balanced, off, cast, strict=True):
            found = ", ".join(f"{value:.1f}" for value in read)
            print(f"  {place['label']:22} true {place['lab']}  read [{found}]", end="")
            print(f"  dE00 {e:.2f}, as shot {c:.1f}")
        spread = f"median {np.median(off):.2f}, p90 {np.percentile(off, 90):.2f}"
        print(f"  {spread}; as shot {np.median(cast):.1f}")


if __name__ == "__main__":
    main()
