"""How often the verdict on a canvas is right: rendered canvases with known faults.

    python -m tests.benchmarks.canvas_verdicts [--canvases 10] [--final] [--ways ...] [--lights ...]

The sample photos are the references. Each mass of a canvas is painted right, or with one fault:
a value too light or dark, too warm or cold, too strong or dull; by other makers' tubes that break
the paint model, photographed tilted in light that falls off, by measured bodies (``--final``: by
those that nothing was made from, the belief in cameras being the program's own; else the body is
one that the belief was made with). Corners are found, not given. A verdict is right where what is
wrong is said so, and nothing is said where nothing is wrong; reversed where the opposite is said of
what is plainly off.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from refmatch.canvas.compare import MASS, STEP, mean_lab
from refmatch.canvas.verdicts import CHROMA, KINDS, OFF, TEMPERATURE, UNTOLD, VALUE, dimensions_of
from refmatch.colorimetry.lab import chroma
from refmatch.dabs.spots import Places
from refmatch.paint.box_file import built_in_box
from refmatch.painting.canvas import CanvasAsked, check_canvas, reference_of
from refmatch.painting.reckon import Reckoner
from refmatch.painting.store import read_painting
from refmatch.photo.load import load
from refmatch.photo.place import parse_place
from tests.virtual_studio.camera import camera_of
from tests.virtual_studio.canvas_photo import (
    CARD_LSTAR,
    CHART,
    GREY,
    Fault,
    painted,
    photographed_canvas,
)
from tests.virtual_studio.paints import AS_REAL, other_makers

WAYS, LIGHTS = (GREY, CHART), ("D50", "LED-B3", "A")
FIRST, FINAL = 500, 40500

FAULTS = {
    VALUE: (Fault(value=1.2), Fault(value=-1.2), Fault(value=1.8)),
    TEMPERATURE: (Fault(turn_deg=35.0), Fault(turn_deg=-35.0)),
    CHROMA: (Fault(chroma=0.35), Fault(chroma=1.8)),
}
PLAIN = {VALUE: 0.8, TEMPERATURE: 7.0, CHROMA: 1.6}
"""From how much truly off a fault is plain, and must be seen."""


@dataclass(frozen=True)
class Row:
    """One dimension of a region: truly off by ``true``, said to be off by ``said`` ± ``p90``."""

    kind: str
    of: str
    true: float
    said: float
    p90: float
    verdict: str

    @property
    def outcome(self) -> str:
        """Return "right", "missed", "false", "reversed", "untold", or "" where it is neither."""
        plain, is_off = abs(self.true) >= PLAIN[self.of], self.verdict == OFF
        same = self.said * self.true > 0.0
        if is_off and not same and abs(self.true) >= KINDS[self.of].least:
            return "reversed"
        if plain:
            return "right" if is_off else "untold" if self.verdict == UNTOLD else "missed"
        if abs(self.true) < KINDS[self.of].least:
            return "false" if is_off else "right"
        return ""


def faults_of(reference_lab: np.ndarray, masses: np.ndarray, rng) -> dict[int, Fault]:
    """Draw a fault, or none, for each mass: a hue is turned only where there is one."""
    faults = {}
    for mass in range(int(masses.max()) + 1):
        own = masses == mass
        if not own.any() or rng.random() < 0.35:
            continue
        lab = np.median(reference_lab[own], axis=0)
        kinds = [VALUE, VALUE] + ([TEMPERATURE, CHROMA] if chroma(lab) > 14.0 else [])
        choices = FAULTS[kinds[rng.integers(len(kinds))]]
        fault = choices[rng.integers(len(choices))]
        if (fault.value > 0.0 and lab[0] > 78.0) or (fault.value < 0.0 and lab[0] < 25.0):
            fault = Fault(value=-fault.value)
        if fault.chroma > 1.0 and chroma(lab) > 35.0:
            fault = Fault(chroma=0.35)
        faults[mass] = fault
    return faults


def trial(
    folder: Path, way: str, light: str, seed: int, final: bool, told: bool = False
) -> tuple[list[Row], float]:
    """Return what is said of one canvas, and how far its corners were found off, in its sides."""
    rng = np.random.default_rng(seed)
    painting = read_painting(folder)
    reckoner = _reckoner(folder / painting.photo.file)
    reference, _ = reference_of(reckoner, painting)
    lab = reference.lab
    masses = np.maximum(reference.masses, 0)
    studio = other_makers(built_in_box().tubes, seed, AS_REAL)
    canvas = painted(lab, masses, faults_of(lab, masses, rng), studio, seed)
    camera = camera_of(light, seed, final)
    path = folder / f"canvas-{seed}.jpg"
    shown = photographed_canvas(path, canvas, camera, seed, beside=way, fall=rng.uniform(0, 0.2))
    places = Places(None, parse_place(shown.card) if shown.card else None, CARD_LSTAR)
    asked = CanvasAsked(path, folder, places=places, light=light if told else None)
    checked = check_canvas(asked)
    truth, rows = canvas.xyz(), []
    for one in checked.regions:
        target = one.region.target_lab
        true = dimensions_of(mean_lab(truth, one.region.mask), np.eye(3), target)
        rows += [
            Row(
                one.region.kind,
                said.kind,
                _like(true_one, said),
                said.difference,
                said.p90,
                said.verdict,
            )
            for said, true_one in zip(one.dimensions, true, strict=False)
        ]
    sides = np.linalg.norm(shown.corners[1] - shown.corners[0])
    off = float(np.abs(checked.corners.px - shown.corners).max() / sides)
    path.unlink()
    return rows, off


def _like(true, said) -> float:
    """Return how far a dimension is truly off, in the words of what was said."""
    if (true.above, true.below) == (said.above, said.below):
        return true.difference
    return 0.0 if abs(true.difference) < 5.0 else float("nan")


_known: dict[Path, Reckoner] = {}


def _reckoner(path: Path) -> Reckoner:
    return _known.setdefault(path, Reckoner(load(path)))


def folders(place: Path) -> Iterator[Path]:
    """Make a painting of each sample photo."""
    from refmatch.cli.main import app

    for name, light in (
        (
            "garden-table",
            ["--neutral", "1709,1146,38", "--neutral-value", "49.5", "--keep-light", "20"],
        ),
        ("orchard-shade", []),
    ):
        folder = place / name
        photo = Path(__file__).parents[2] / "sample_images" / f"{name}.jpg"
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
            app(
                [
                    "sheet",
                    str(photo),
                    *light,
                    "--painting",
                    str(folder),
                    "--plan",
                    "--out",
                    str(place / f"{name}.pdf"),
                ],
                standalone_mode=False,
            )
        yield folder


def lines(label: str, rows: list[Row]) -> Iterator[str]:
    """Yield a row of the table for each dimension, masses and steps of value apart."""
    for kind, of in ((MASS, VALUE), (MASS, TEMPERATURE), (MASS, CHROMA), (STEP, VALUE)):
        some = [row for row in rows if row.kind == kind and row.of == of and np.isfinite(row.true)]
        counts = Counter(row.outcome for row in some)
        judged = sum(count for name, count in counts.items() if name)
        within = np.mean([abs(row.said - row.true) <= row.p90 for row in some])
        plain = [row for row in some if abs(row.true) >= PLAIN[of]]
        seen = np.mean([row.outcome == "right" for row in plain]) if plain else np.nan
        p90 = np.median([row.p90 for row in some])
        yield (
            f"| {label}, {kind}, {of} | {judged} | {100 * counts['right'] / max(judged, 1):.0f} % "
            f"| {len(plain)} | {100 * seen:.0f} % | {counts['missed']} | {counts['untold']} "
            f"| {counts['false']} | {counts['reversed']} | {p90:.2f} | {100 * within:.0f} % |"
        )


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--canvases", type=int, default=10)
    parser.add_argument("--final", action="store_true")
    parser.add_argument("--told", action="store_true", help="the light is told")
    parser.add_argument("--ways", nargs="*", default=WAYS)
    parser.add_argument("--lights", nargs="*", default=LIGHTS)
    asked = parser.parse_args()
    print(
        "| canvases | judged | right | plain | seen | missed | untold | false | reversed "
        "| p90 | in p90 |"
    )
    print("|---|---|---|---|---|---|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as place:
        known = list(folders(Path(place)))
        every: list[Row] = []
        for way in asked.ways:
            for light in asked.lights:
                rows: list[Row] = []
                corners = []
                for number in range(asked.canvases):
                    seed = (FINAL if asked.final else FIRST) + number
                    found, off = trial(known[number % 2], way, light, seed, asked.final, asked.told)
                    rows += found
                    corners.append(off)
                every += rows
                for line in lines(f"{way}, {light}", rows):
                    print(line, flush=True)
                print(f"| corners off by {np.median(corners):.4f}, at most {max(corners):.4f} |")
        for line in lines("all", every):
            print(line)


if __name__ == "__main__":
    main()
