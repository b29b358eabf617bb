"""The sample photos against the truth beside them, for each balance method.

Run by hand: ``python -m tests.benchmarks.sample_images``. The truth is the rendered
colour with the scene's light neutralised; what remains is camera, exposure and method.
Beside the whole difference stands that of colours alone, with lightness set equal:
only a spot of known lightness can tell the exposure.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.photo.hole import Hole, sample
from refmatch.photo.light import METHODS, estimate
from refmatch.photo.light.balance import AskedLight
from refmatch.photo.light.locus import temperature_of
from refmatch.photo.load import load

WHITES = ("jug inside", "row 4, column 3")
"""White enamel, and a dab of titanium white: what a painter would take for white."""

SAMPLES = Path(__file__).parents[2] / "sample_images"


def photos() -> list[Path]:
    """Return the truth files of the photos with marked places: not of cards, nor of a canvas."""
    return [
        path
        for path in sorted(SAMPLES.glob("*.json"))
        if "places" in json.loads(path.read_text("utf-8"))
    ]


def distances(path: Path, method: str) -> tuple[np.ndarray, np.ndarray] | None:
    """Return dE00 at the marked places, whole and at equal lightness, or None without a spot."""
    told = json.loads(path.read_text("utf-8"))
    photo = load(SAMPLES / told["image"])
    light = asked(told, method)
    if light is None:
        return None
    balance = estimate(photo, light)
    seen, true = [], []
    for place in told["places"]:
        seen.append(sample(photo, balance, hole_of(place)).lab)
        true.append(place["lab"])
    found, truth = np.array(seen), np.array(true)
    level = found.copy()
    level[:, 0] = truth[:, 0]
    return delta_e_00(found, truth), delta_e_00(level, truth)


def asked(told: dict, method: str) -> AskedLight | None:
    """Return what a painter who knows the scene would say; None where it has no such thing."""
    whites = [place for place in told["places"] if place["label"] in WHITES]
    if method == "neutral" and told["neutral"]:
        return by_spot(method, told["neutral"], told["neutral"]["lstar"])
    if method == "white" and whites:
        return by_spot(method, whites[0])
    if method == "temperature":  # the light as it shows in the photo, camera's guess and all
        light = temperature_of(np.array(told["exposure"]["white_in_photo_xyz"]))
        return AskedLight(method, kelvin=light.kelvin, duv=light.duv)
    return None if method in ("neutral", "white") else AskedLight(method)


def by_spot(method: str, place: dict, lstar: float | None = None) -> AskedLight:
    return AskedLight(method, place["x_px"], place["y_px"], place["diameter_px"], lstar)


def hole_of(place: dict) -> Hole:
    return Hole(place["x_px"], place["y_px"], place["diameter_px"], place.get("label", "card"))


def main() -> None:
    print(f"{'photo':16} {'method':12} {'dE00 median':>11} {'p90':>6} {'largest':>8}  colour alone")
    for path in photos():
        for method in METHODS:
            found = distances(path, method)
            if found is None:
                continue
            whole, alone = found
            print(
                f"{path.stem:16} {method:12} {np.median(whole):11.2f} "
                f"{np.percentile(whole, 90):6.2f} {whole.max():8.2f}  "
                f"{np.median(alone):.2f} / {np.percentile(alone, 90):.2f}"
            )


if __name__ == "__main__":
    main()
