"""Render a sample image and write its truth beside it.

    python -m sample_images.render garden-table [--samples 256] [--variant llvm_ad_spectral]

The same machine, variant and samples give the same picture. Needs the extra ``render``.
"""

from __future__ import annotations

import argparse
import importlib
import json
from pathlib import Path

import numpy as np

from . import camera, stage
from .record import placed_px, record
from .scene import Scene
from .truth import disc_mean, grey_luminance

SCENES = ("garden-table", "orchard-shade", "dab-board")


def main() -> None:
    """Read the command line, render, and write the JPEG and the JSON."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("scene", choices=SCENES)
    parser.add_argument("--samples", type=int, default=192, help="rays for each pixel")
    parser.add_argument("--width", type=int, help="width in pixels, for a quick preview")
    parser.add_argument(
        "--variant", default="scalar_spectral", choices=("scalar_spectral", "llvm_ad_spectral")
    )
    parser.add_argument(
        "--out", type=Path, default=Path(__file__).parent.parent, help="folder to write into"
    )
    parser.add_argument(
        "--counts", type=Path, help="keep the rendered channels here, or start from them"
    )
    asked = parser.parse_args()
    stage.start_renderer(asked.variant)
    module = importlib.import_module(f".{asked.scene.replace('-', '_')}", __package__)
    take(module.scene(), asked)


def take(scene: Scene, asked: argparse.Namespace) -> None:
    """Render, develop and write one scene."""
    width = asked.width or scene.size[0]
    size = (width, round(width * scene.size[1] / scene.size[0]))
    channels, white = _exposed(scene, size, asked)
    how = camera.Development(
        scene.guessed_light, scene.white_level, noise=scene.noise, orientation=scene.orientation
    )
    photo = camera.develop(denoised(channels[..., :3], white[:3]), white[:3], how)
    jpeg = asked.out / f"{scene.name}.jpg"
    camera.save_jpeg(photo, jpeg, how)
    facts = record(scene, channels, white, how)
    jpeg.with_suffix(".json").write_text(
        json.dumps(facts, indent=2, ensure_ascii=False) + "\n", "utf-8"
    )
    print(f"{jpeg.name}: {jpeg.stat().st_size / 1e6:.2f} MB, light {facts['light']['cct_k']} K")


def _exposed(
    scene: Scene, size: tuple[int, int], asked: argparse.Namespace
) -> tuple[np.ndarray, np.ndarray]:
    """Return the rendered channels, and those of a perfect white under the scene's light."""
    if asked.counts and asked.counts.exists():
        kept = np.load(asked.counts)
        return kept["channels"].astype(float), kept["white"]
    curves = camera.film_curves()
    channels = stage.render(scene.entries, size, asked.samples, curves)
    if scene.neutral:
        white = disc_mean(channels, *placed_px(scene.neutral, size)) / grey_luminance(
            scene.neutral_lstar
        )
    else:
        with_card = {**scene.entries, **scene.reference}
        small = (600, round(600 * size[1] / size[0]))
        white = disc_mean(
            stage.render(with_card, small, 96, curves), *placed_px(scene.reference_spot, small)
        )
    if asked.counts:
        np.savez(asked.counts, channels=channels.astype(np.float32), white=white)
    return channels, white


def denoised(counts: np.ndarray, white: np.ndarray, kept: float = 0.15) -> np.ndarray:
    """Return the counts without the renderer's own noise, but for a share that is ``kept``.

    Done before the camera's noise is added, on balanced linear counts; the truth beside
    the photo is taken before this and does not know of it.
    """
    import pyoidn

    balanced = counts / white
    smooth = pyoidn.denoise(balanced.astype(np.float32), hdr=True)
    return ((1.0 - kept) * smooth + kept * balanced) * white


if __name__ == "__main__":
    main()
