"""The sample photo of a painted dab card, as the documents check it, against its truth file."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from tests.cli.running import ROOT, SAMPLES, Shell
from tests.cli.test_examples import fenced

TRUTH = json.loads((SAMPLES / "dab-card.json").read_text("utf-8"))
MOST_BYTES = 400_000


@pytest.fixture(scope="module")
def dabs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict]:
    """Return what the commands of the documents say of each dab."""
    folder = tmp_path_factory.mktemp("table")
    _, sheet, card, check, *_ = fenced(ROOT / "docs" / "checking.md")
    refmatch = Shell()
    for line in (sheet, card):
        assert refmatch(*_in(folder, line)).code == 0
    looked = refmatch(*_in(folder, check), "--json").json()
    return {dab["label"]: dab for dab in looked["results"]}


def _in(folder: Path, line: str) -> list[str]:
    """Return a command's words, its files and its painting in a folder."""
    words = line.split()
    outs = {words.index(option) + 1 for option in ("--out", "--painting") if option in words}
    return [str(folder / word) if place in outs else word for place, word in enumerate(words)]


def test_the_photo_is_small() -> None:
    assert (SAMPLES / "dab-card.jpg").stat().st_size < MOST_BYTES


@pytest.mark.parametrize("true", TRUTH["dabs"][:2], ids=lambda dab: dab["label"])
def test_each_dab_is_believed_as_near_its_true_colour_as_is_said(dabs, true) -> None:
    """Within what is told of it: nine in ten stray no farther than the p90."""
    believed = dabs[true["label"]]["estimated"]
    miss = float(delta_e_00(np.array(believed["lab"]), np.array(true["lab"])))
    print(f"{true['label']}: believed {miss:.2f} off its true colour")
    assert miss < believed["uncertainty_delta_e_00"]["p90"]


def test_the_jug_is_told_to_be_too_strong_as_it_was_painted(dabs) -> None:
    """The hand laid out a third too much ultramarine, `render/dab_card/painter.py` says."""
    assert "too strong" in dabs["jug"]["words"]
