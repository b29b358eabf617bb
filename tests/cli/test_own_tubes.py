"""The example of docs/own-tubes.md, command by command, and its recipes in the true paint.

The photo is rendered of invented tubes whose true curves stand beside it
(sample_images/ORIGIN.md): what colour a recipe gives in those tubes is known exactly.
"""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.paint.box_file import read_box
from tests.cli.running import ROOT, SAMPLES, Shell
from tests.virtual_studio.instrument import random_mixes
from tests.virtual_studio.paints import Studio

PAGE = (ROOT / "docs" / "own-tubes.md").read_text("utf-8")
TRUTH = json.loads((SAMPLES / "calibration-card.json").read_text("utf-8"))
TARGETS, SEED = 24, 1


def steps() -> list[tuple[list[str], list[str]]]:
    """Return each command's words after ``refmatch``, and the lines that it is said to print."""
    fences = re.findall(r"```sh\n(.*?)\n```\n\n```text\n(.*?)\n```", PAGE, flags=re.DOTALL)
    return [(shlex.split(typed)[1:], shown.splitlines()) for typed, shown in fences]


@pytest.fixture
def checkout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Stand where the page says: in a folder that holds the sample images."""
    (tmp_path / "sample_images").symlink_to(SAMPLES)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_five_commands_lead_from_the_card_to_a_recipe(refmatch: Shell, checkout: Path) -> None:
    assert len(steps()) == len(re.findall(r"^refmatch ", PAGE, flags=re.MULTILINE)) == 5
    for words, shown in steps():
        told = refmatch(*words)
        assert told.code == 0, told.err
        printed = iter(_plain(line) for line in told.out.splitlines())
        for line in shown:  # "in printed" goes on from the line found last: the order counts
            assert line == "…" or _plain(line) in printed, f"{words[:2]} no longer prints: {line}"
    assert (checkout / "card.pdf").exists()


def _plain(line: str) -> str:
    """Blank the figures: the last digit of a fit is not the same on every machine."""
    return re.sub(r"[ ½]+", " ", re.sub(r"[0-9.]+", "0", line)).strip()


def test_the_recipes_are_true_in_the_paint_that_was_photographed(
    refmatch: Shell, checkout: Path
) -> None:
    for words, _ in steps()[:3]:
        refmatch(*words)
    studio = true_tubes(checkout / "my-tubes.toml")
    targets = within_reach(studio)
    light = targets[targets[:, 0] >= 40.0]
    known, built_in = (
        off_in_truth(refmatch, studio, light, box) for box in ("known-tubes.toml", "my-tubes.toml")
    )
    for name, off in (("known", known), ("built-in", built_in)):
        print(f"{name}: median {np.median(off):.1f}, p90 {np.percentile(off, 90):.1f}")
    # what is asked of a box from one photo, docs/accuracy.md: median 2.2, p90 5.5
    assert np.median(known) < 2.2
    assert np.percentile(known, 90.0) < 5.5
    assert np.median(known) < 0.6 * np.median(built_in)
    assert np.mean(known < built_in) > 0.7


def true_tubes(box_file: Path) -> Studio:
    """Return what the tubes truly are, in the box's order."""
    box = read_box(box_file)
    told = {tube["name"]: tube for tube in TRUTH["tubes"]}
    absorption, scattering = (
        np.array([told[tube.name][curve] for tube in box.tubes])
        for curve in ("absorption", "scattering")
    )
    return Studio(box.tubes, absorption, scattering)


def within_reach(studio: Studio) -> np.ndarray:
    """Return colours that these very tubes make: mixes let down in any amount of white."""
    rng = np.random.default_rng(SEED)
    parts = random_mixes(studio, TARGETS, SEED)
    parts[:, studio.white] += parts.sum(axis=1) * np.exp(rng.uniform(-3.0, 2.0, TARGETS))
    return np.round(studio.lab(parts), 2)


def off_in_truth(refmatch: Shell, studio: Studio, targets: np.ndarray, box: str) -> np.ndarray:
    """Return how far the first recipes from a box truly are from their targets, dE00."""
    asked = [",".join(map(str, lab)) for lab in targets]
    results = refmatch("mix", *asked, "--box", box, "--json").json()["results"]
    laid = np.stack([_parts(studio, each["recipes"][0]) for each in results])
    return np.asarray(delta_e_00(studio.lab(laid), targets))


def _parts(studio: Studio, recipe: dict[str, Any]) -> np.ndarray:
    names = [tube.name for tube in studio.tubes]
    parts = np.zeros(len(names))
    for portion in recipe["portions"]:
        parts[names.index(portion["tube"])] += portion["parts"]
    return parts
