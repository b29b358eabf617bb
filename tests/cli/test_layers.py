"""Layers and mediums as a painter says them at the prompt."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from refmatch.cli.asking import Opened
from refmatch.cli.asking_layers import with_dry
from tests.cli.running import Shell
from tests.painting import example
from tests.painting.rounds_example import look, round_of

HOLES = ("--hole", "25%,20%=sky", "--hole", "20%,58%=wall", "--hole", "25%,88%=ground")
DOOR = ("--hole", "50%,62%=door")
ASKED = (
    *("--layer", "ground=underpainting", "--layer", "wall=block-in"),
    *("--medium", "underpainting=solvent,40", "--medium", "finish=stand-oil"),
    *("--medium", "door=alkyd,20"),
)


@pytest.fixture(scope="module")
def stripes(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small photo of four flat masses: sky, wall, ground and a red door."""
    path = tmp_path_factory.mktemp("layers") / "house.png"
    picture = np.zeros((120, 160, 3), np.uint8)
    picture[:50], picture[50:90], picture[90:] = (150, 175, 205), (200, 180, 140), (90, 75, 50)
    picture[60:90, 70:90] = (160, 50, 40)
    Image.fromarray(picture).save(path)
    return path


def test_the_order_of_work_follows_the_layers(refmatch: Shell, stripes: Path) -> None:
    told = refmatch("plan", stripes, *HOLES, *DOOR, *ASKED, "--json").json()
    names = [layer["layer"] for layer in told["layers"]]
    assert names == ["underpainting", "block-in", "finish"]
    order = [names.index(puddle["layer"]) for puddle in told["puddles"]["order"]]
    assert order == sorted(order)
    mediums = {
        puddle["label"]: (puddle["medium"], puddle["medium_share"])
        for layer in told["layers"]
        for puddle in layer["puddles"]
    }
    assert mediums == {
        "sky": ("stand-oil", 0.1),
        "door": ("alkyd", 0.2),
        "wall": ("none", 0.0),
        "ground": ("solvent", 0.4),
    }


def test_nothing_is_drawn_from_another_layer(refmatch: Shell, stripes: Path) -> None:
    alike = ("--hole", "25%,20%=one", "--hole", "35%,22%=two", "--hole", "60%,20%=three")
    shared = refmatch("plan", stripes, *alike, "--json").json()["puddles"]
    assert sum(puddle["drawn_from"] is None for puddle in shared["order"]) == 1
    asked = ("--layer", "one=block-in")
    parted = refmatch("plan", stripes, *alike, *asked, "--json").json()["puddles"]
    layers = {puddle["label"]: puddle["layer"] for puddle in parted["order"]}
    assert {layers[p["drawn_from"]] == p["layer"] for p in parted["order"] if p["drawn_from"]} == {
        True
    }
    assert sum(puddle["drawn_from"] is None for puddle in parted["order"]) == 2


def test_a_plan_without_layers_says_none(refmatch: Shell, stripes: Path) -> None:
    told = refmatch("plan", stripes, *HOLES, "--json").json()
    assert told["layers"] == []
    assert {puddle["layer"] for puddle in told["puddles"]["order"]} == {None}
    assert "Dry to the touch" not in refmatch("plan", stripes, *HOLES).out


def test_layers_are_told_with_their_drying(refmatch: Shell, stripes: Path) -> None:
    out = refmatch("plan", stripes, *HOLES, *DOOR, *ASKED).out
    assert "Underpainting. With solvent, 2 parts to 3 of paint; oil" in out
    assert "before the block-in goes on" in out
    assert out.index("Underpainting.") < out.index("Block-in.") < out.index("Finish.")


def test_a_glaze_is_mixed_of_transparent_tubes(refmatch: Shell, stripes: Path) -> None:
    asked = (*HOLES, *DOOR, "--layer", "door=glaze", "--medium", "glaze=linseed,25")
    told = refmatch("plan", stripes, *asked, "--json").json()
    (glaze,) = told["glazes"]
    (puddle,) = [each for each in told["puddles"]["order"] if each["layer"] == "glaze"]
    assert puddle is told["puddles"]["order"][-1]
    assert puddle["laid_out"] == glaze["laid_out"]
    assert puddle["lab"] == glaze["lab"]


def test_a_painting_keeps_its_layers(refmatch: Shell, stripes: Path, tmp_path: Path) -> None:
    folder, out = tmp_path / "house", tmp_path / "house.txt"
    said = refmatch("sheet", stripes, *HOLES, *DOOR, *ASKED, "--out", out, "--painting", folder)
    assert said.code == 0
    saved = json.loads((folder / "painting.json").read_text("utf-8"))
    holes = {hole["label"]: hole for hole in saved["asked"]["holes"]}
    assert holes["wall"]["layer"] == "block-in"
    assert (holes["door"]["medium"], holes["door"]["medium_percent"]) == ("alkyd", 20.0)
    assert "layer" not in holes["sky"]
    told = refmatch("sheet", folder, "--out", out, "--replace", "--json").json()
    assert [layer["layer"] for layer in told["layers"]] == ["underpainting", "block-in", "finish"]


def test_a_painting_without_layers_is_written_as_it_always_was(
    refmatch: Shell, stripes: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "house"
    refmatch("sheet", stripes, *HOLES, "--out", tmp_path / "s.txt", "--painting", folder)
    saved = (folder / "painting.json").read_text("utf-8")
    assert '"layer' not in saved
    assert '"medium' not in saved


def test_a_dry_passage_is_met_and_no_key_moves_it(refmatch: Shell, stripes: Path) -> None:
    dry = ("--dry", "wall=40,5,20")
    targets = refmatch("plan", stripes, *HOLES, *dry, "--json").json()["targets"]
    wall = next(target for target in targets if target["label"] == "wall")
    assert wall["lab"] == wall["photo_lab"] == [40.0, 5.0, 20.0]
    assert [flag["name"] for flag in wall["flags"]] == ["dry_passage"]
    others = refmatch("plan", stripes, *HOLES, *dry, "--dry", "wall=photo", "--json").json()
    assert others["targets"] == refmatch("plan", stripes, *HOLES, "--json").json()["targets"]


def test_the_last_dry_dab_is_the_next_sittings_target(tmp_path: Path) -> None:
    """Of three looks, dry, dry and wet, the second counts."""
    whole = example.painting()
    looks = [replace(look(1), state="dry"), replace(look(2), state="dry"), look(3)]
    rounds = [
        round_of(whole, 0, seen, off) for seen, off in zip(looks, np.eye(3) * 2.0, strict=True)
    ]
    painting = replace(whole, looks=tuple(looks), rounds=tuple(rounds))
    label = painting.targets[0].label
    opened = Opened(tmp_path, None, painting.asked, painting)  # type: ignore[arg-type]
    (hole,) = [each for each in with_dry(opened, [label]).asked.holes if each.dry]
    assert hole.label == label
    assert hole.dry == pytest.approx(tuple(rounds[1].lab), abs=1e-3)


def test_a_ground_is_shown_and_forgotten(refmatch: Shell, stripes: Path, tmp_path: Path) -> None:
    folder, out = tmp_path / "house", tmp_path / "house.txt"
    ground = ("--canvas-ground", "toned")
    refmatch("sheet", stripes, *HOLES, *ground, "--out", out, "--painting", folder)
    assert "ON THE GROUND" in out.read_text("utf-8")
    refmatch("sheet", folder, "--out", out)
    assert "ON THE GROUND" in out.read_text("utf-8")
    refmatch("sheet", folder, "--canvas-ground", "none", "--out", out)
    assert "ON THE GROUND" not in out.read_text("utf-8")
    assert refmatch("sheet", folder, "--canvas-ground", "sky", "--out", out).code == 2


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (("--dry", "wall"), "No dry dab of 'wall' was looked at"),
        (("--dry", "wall=plaid"), "plaid"),
        (("--layer", "door"), "does not say of what"),
        (("--layer", "moon=finish"), "No hole is called 'moon'"),
        (("--layer", "sky=varnish"), "'varnish' is no layer"),
        (("--medium", "sky=butter"), "'butter' is no medium"),
        (("--medium", "finish=linseed,much"), "does not say of what"),
        (("--medium", "finish=linseed,95"), "not offered"),
    ],
)
def test_what_is_said_wrongly_is_told(
    refmatch: Shell, stripes: Path, said: tuple[str, ...], words: str
) -> None:
    ran = refmatch("plan", stripes, *HOLES, *said)
    assert ran.code == 2
    assert words in ran.err
