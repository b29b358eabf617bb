"""What the calibration card's dabs of two tubes tell of darks, in the virtual studio.

    python -m tests.benchmarks.card_darks [--studios 16] [--first 400] [--light D50] [--grey-only]
        [--final]

The garden table's tubes as another maker's, mixed by a 5 % hand as each card asks, photographed
with a grey card and a 24-patch chart; random mixes of three or four tubes are then predicted.
``--final``: by camera bodies that nothing was made from.
"""

from __future__ import annotations

import argparse

from refmatch.dabs.box_card import compose
from refmatch.dabs.calibrate import calibrate
from refmatch.paint.box_file import built_in_box
from tests.benchmarks.box_from_photo import Result, predicted, told
from tests.virtual_studio.camera import LIGHTS
from tests.virtual_studio.paints import AS_REAL, another_painters, other_makers
from tests.virtual_studio.scene import mixes_of, scene_of_mixes


def main() -> None:
    """Print a line for each card."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--studios", type=int, default=16)
    parser.add_argument("--first", type=int, default=400)
    parser.add_argument("--light", choices=LIGHTS, default="D50")
    parser.add_argument("--grey-only", action="store_true")
    parser.add_argument("--final", action="store_true")
    parser.add_argument("--bent", action="store_true", help="paints bent anyhow, as once")
    given = parser.parse_args()
    maker = another_painters if given.bent else other_makers
    box = built_in_box()
    cards = {
        "short": compose(box, is_short=True),
        "A4": compose(box),
        "Letter": compose(box, "letter"),
    }
    print("dE00: median, 90th percentile, and how many lie within the p90 that was stated")
    for name, card in cards.items():
        results = []
        for seed in range(given.first, given.first + given.studios):
            scene = scene_of_mixes(
                seed, given.light, mixes_of(card), AS_REAL, maker=maker, final=given.final
            )
            chart = () if given.grey_only else scene.chart
            found = calibrate(scene.named, scene.white, scene.dabs, [scene.card], chart=chart)
            results.append(predicted(scene, found.box))
        print(told(f"{name}, {len(card.windows)} dabs", Result.of(results)), flush=True)


if __name__ == "__main__":
    main()
