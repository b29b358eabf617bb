"""``refmatch plan`` as a painter runs it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.cli.running import SAMPLES, Shell


@pytest.fixture(scope="module")
def stripes(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small photo of four flat masses: sky, wall, ground and a red door."""
    path = tmp_path_factory.mktemp("plan") / "house.png"
    picture = np.zeros((120, 160, 3), np.uint8)
    picture[:50], picture[50:90], picture[90:] = (150, 175, 205), (200, 180, 140), (90, 75, 50)
    picture[60:90, 70:90] = (160, 50, 40)
    Image.fromarray(picture).save(path)
    return path


def test_the_plan_is_told(refmatch: Shell, stripes: Path) -> None:
    ran = refmatch("plan", stripes, "--palette", 5, "--canvas", "40x30")
    assert ran.code == 0
    assert "Palette: 5 of the 12 tubes" in ran.out
    for block in ("Key:", "Left out of it", "tube fewer costs", "of the trade", "order of work"):
        assert block in ran.out
    assert "For a canvas of 40 × 30 cm" in ran.out


def test_json_tells_one_plan(refmatch: Shell, stripes: Path) -> None:
    told = refmatch("plan", stripes, "--palette", 5, "--canvas", "40x30", "--json").json()
    assert len(told["palette"]["tubes"]) == 5
    assert told["palette"]["proved"]
    assert [each["count"] for each in told["prices"]] == [3, 4, 5, 6]
    costs = [each["cost_delta_e_00"] for each in told["prices"]]
    assert costs == sorted(costs, reverse=True)
    assert sum(target["share"] for target in told["targets"]) == pytest.approx(1.0, abs=1e-3)
    squeezed = sum(tube["volume_ml"] for tube in told["amounts"]["tubes"])
    assert squeezed == pytest.approx(
        sum(p["volume_ml"] for p in told["amounts"]["puddles"]), abs=0.1
    )
    assert {reach["name"] for reach in told["reaches"]} >= {"this palette", told["box"]}
    labels = {target["label"] for target in told["targets"]}
    assert {puddle["target"] for puddle in told["puddles"]["order"]} >= labels


def test_the_smallest_palette_reaches_the_small_red_door(refmatch: Shell, stripes: Path) -> None:
    """However small its share, the smallest palette may not lose the accent."""
    told = refmatch("plan", stripes, "--json").json()
    assert told["palette"]["not_reached"] == []
    assert told["amounts"] is None


def test_tubes_are_laid_out_or_held_out_as_asked(refmatch: Shell, stripes: Path) -> None:
    held = ("--with", "PB29", "--without", "phthalo blue", "--without", "burnt umber")
    told = refmatch("plan", stripes, "--palette", 4, *held, "--json").json()
    assert "ultramarine" in told["palette"]["tubes"]
    assert all("ultramarine" in each["tubes"] for each in told["prices"])
    assert not {"phthalo blue", "burnt umber"} & set(told["reaches"][1]["tubes"])


def test_what_to_buy_is_told_beside_what_is_owned(refmatch: Shell, stripes: Path) -> None:
    asked = ("--hole", "50%,20%=sky", "--palette", 3, "--buy", "--with", "cobalt-blue")
    told = refmatch("plan", stripes, *asked, "--json").json()
    assert "cobalt blue" in told["palette"]["to_buy"]
    assert "titanium white" not in told["palette"]["to_buy"]


def test_holes_share_the_picture_by_colour(refmatch: Shell, stripes: Path) -> None:
    holes = ("--hole", "50%,20%=sky", "--hole", "50%,60%=door", "--hole", "10%,60%=wall")
    told = refmatch("plan", stripes, *holes, "--palette", 4, "--json").json()
    shares = {target["label"]: target["share"] for target in told["targets"]}
    assert shares["sky"] > shares["wall"] > shares["door"]
    assert "shares_guessed" in {flag["name"] for flag in told["flags"]}


def test_a_folder_brings_its_colours_and_its_box(
    refmatch: Shell, stripes: Path, tmp_path: Path
) -> None:
    folder, box = tmp_path / "house", tmp_path / "box.toml"
    names = ("PW6", "PY74", "PR254", "PB29", "burnt-umber")
    tubes = [word for name in names for word in ("--tube", name)]
    refmatch("box", "new", *tubes, "--name", "few", "--out", box)
    holes = ("--hole", "50%,20%=sky", "--hole", "50%,60%=door")
    made = refmatch(
        "sheet", stripes, "--out", tmp_path / "s.txt", "--painting", folder, "--box", box, *holes
    )
    assert made.code == 0, made.err
    told = refmatch("plan", folder, "--json").json()
    assert [target["label"] for target in told["targets"]] == ["sky", "door"]
    assert told["box"] == "few"


@pytest.mark.parametrize(
    ("says", "code", "words"),
    [
        ("like 40x30", 2, ("--canvas", "large")),
        ("up to 1000", 2, ("--canvas", "4000x30")),
        ("2 to 12", 2, ("--palette", "1")),
        ("2 to 12", 2, ("--palette", "13")),
        ("did you mean", 1, ("--with", "ultramarin")),
        ("palette of 2", 2, ("--palette", "2", "--with", "PB29", "--with", "PY74")),
        ("cannot be read", 1, ("--box", "none.toml")),
    ],
)
def test_what_is_refused(
    refmatch: Shell, stripes: Path, says: str, code: int, words: tuple[str, ...]
) -> None:
    ran = refmatch("plan", stripes, *words)
    assert ran.code == code
    assert ran.out == ""
    assert says in ran.err
    assert "Traceback" not in ran.err


def test_a_photo_that_is_not_there(refmatch: Shell) -> None:
    ran = refmatch("plan", SAMPLES / "none.jpg")
    assert (ran.code, ran.out) == (1, "")
    assert "none.jpg" in ran.err
