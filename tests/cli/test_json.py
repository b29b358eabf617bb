"""What programs are promised: one JSON object, the keys that stand in the documents."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from skimage import data, io

from tests.cli.running import Shell

ALWAYS = {"refmatch_version", "viewing", "flags"}


@pytest.fixture(scope="module")
def coffee(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("photos") / "coffee.png"
    io.imsave(path, data.coffee())
    return path


def test_predict(refmatch: Shell) -> None:
    told = refmatch("predict", "PW6=3", "PB29=1", "--finish", "satin", "--json").json()
    assert {*ALWAYS, "lab", "reflectance", "wavelengths_nm", "finish", "specular"} <= set(told)
    assert told["saunderson"]["k1"] == pytest.approx(0.0308)  # Okumura 2005
    assert told["parts_by"] == "volume"
    assert told["viewing"] == {"illuminant": "D50", "observer": "CIE 1931 2 degrees"}
    assert len(told["reflectance"]) == len(told["wavelengths_nm"]) == 31
    assert told["wavelengths_nm"][0] == 400
    assert told["wavelengths_nm"][-1] == 700


def test_a_pure_tube_is_its_masstone(refmatch: Shell) -> None:
    """Okumura 2005: titanium white 96 -0 1, rounded."""
    lab = refmatch("predict", "PW6=1", "--json").json()["lab"]
    assert np.abs(np.array(lab) - [96.0, 0.0, 1.0]).max() < 1.0


def test_mix(refmatch: Shell) -> None:
    told = refmatch("mix", "62,14,38", "30,-2,-20", "--json").json()
    assert set(told) >= ALWAYS
    assert len(told["results"]) == 2
    result = told["results"][0]
    assert result["target"]["lab"] == [62.0, 14.0, 38.0]
    assert result["in_gamut"] is True
    recipe = result["recipes"][0]
    assert {"portions", "lab", "delta_e_00", "delta_e_00_hand", "steps", "flags"} <= set(recipe)
    assert {"tube", "pigments", "parts"} == set(recipe["portions"][0])
    assert sum(portion["parts"] for portion in recipe["portions"]) <= 32 + 1e-6
    assert min(each["delta_e_00"] for each in result["recipes"]) <= 0.6
    assert recipe["delta_e_00_expected"] < recipe["delta_e_00_expected_p90"]


def test_what_mix_says_predict_says(refmatch: Shell) -> None:
    recipe = refmatch("mix", "48,22,-12", "--json").json()["results"][0]["recipes"][0]
    parts = [f"{p['tube']}={p['parts']}" for p in recipe["portions"]]
    lab = refmatch("predict", *parts, "--json").json()["lab"]
    assert np.abs(np.array(lab) - recipe["lab"]).max() < 1e-3


def test_nudge(refmatch: Shell) -> None:
    told = refmatch("nudge", "ultramarine=3", "burnt sienna=2", "PW6=5", "--json").json()
    assert {*ALWAYS, "puddle", "nudges", "instead", "parts_by"} <= set(told)
    assert told["puddle"]["portions"][2] == {"tube": "titanium white", "parts": 5.0}
    ways = ["lighter", "darker", "warmer", "cooler", "duller", "stronger", "redder", "greener"]
    assert [nudge["direction"] for nudge in told["nudges"]] == ways
    assert [nudge["by"] for nudge in told["instead"]][:2] == ["white", "black"]
    keys = {"direction", "tube", "parts", "lab", "delta_lstar", "delta_cstar", "delta_hue_deg"}
    for nudge in (*told["nudges"], *told["instead"]):
        more = {"step_delta_e_00", "side_effect_delta_e_00", "by", "effects", "words"}
        assert {*keys, *more} == set(nudge)


def test_nudge_to_grey(refmatch: Shell) -> None:
    told = refmatch("nudge", "ultramarine=3", "PW6=5", "--to-grey", "--json").json()
    assert {*ALWAYS, "puddle", "to_grey", "parts_by"} <= set(told)
    string = told["to_grey"]
    assert string["is_grey"]
    assert [part["tube"] for part in string["complement"]] == ["burnt umber"]
    assert len(string["steps"]) == 5
    keys = {"parts", "complement_parts", "lab", "munsell_value", "holds", "words"}
    assert all(keys == set(step) for step in string["steps"])
    said = refmatch("nudge", "ultramarine=3", "PW6=5", "--to-grey").out
    assert all(step["words"] in said for step in string["steps"])


def test_what_nudge_says_predict_says(refmatch: Shell) -> None:
    puddle = ("ultramarine=3", "burnt sienna=2", "PW6=5")
    for nudge in refmatch("nudge", *puddle, "--json").json()["nudges"]:
        added = f"{nudge['tube']}={nudge['parts']}"
        lab = refmatch("predict", *puddle, added, "--json").json()["lab"]
        assert np.abs(np.array(lab) - nudge["lab"]).max() < 1e-3


def test_sample(refmatch: Shell, coffee: Path) -> None:
    told = refmatch(
        "sample", coffee, "--neutral", "50%,12%", "--hole", "300,200,20=coffee", "--json"
    ).json()
    assert {*ALWAYS, "samples", "balance"} <= set(told)
    (sample,) = told["samples"]
    keys = {"label", "x_px", "y_px", "diameter_px", "lab", "spread_delta_e_00"}
    assert {*keys, "clipped_fraction", "flags"} <= set(sample)
    assert (sample["label"], sample["x_px"], sample["diameter_px"]) == ("coffee", 300.0, 20.0)
    assert told["balance"]["method"] == "neutral"


def test_families(refmatch: Shell, coffee: Path) -> None:
    told = refmatch("families", coffee, "--families", "6", "--values", "3", "--json").json()
    assert {*ALWAYS, "families", "values"} <= set(told)
    assert len(told["families"]) == 6
    keys = {"label", "lab", "share", "spread_delta_e_00", "x_px", "y_px"}
    assert keys <= set(told["families"][0])
    assert sum(family["share"] for family in told["families"]) == pytest.approx(1.0, abs=1e-3)
    assert len(told["values"]) == 3


def test_sheet(refmatch: Shell, coffee: Path, tmp_path: Path) -> None:
    out = tmp_path / "sheet.pdf"
    told = refmatch("sheet", coffee, "--out", out, "--hole", "25%,40%=cup", "--json").json()
    assert {*ALWAYS, "sheet", "painting", "balance", "families", "targets"} <= set(told)
    assert told["painting"] is None
    (target,) = told["targets"]
    assert {"label", "lab", "x_px", "y_px", "recipes"} <= set(target)
    assert out.read_bytes().startswith(b"%PDF-")
    assert [path.name for path in tmp_path.iterdir()] == ["sheet.pdf"]


def test_a_sheet_for_programs_says_what_json_says(
    refmatch: Shell, coffee: Path, tmp_path: Path
) -> None:
    out = tmp_path / "sheet.json"
    told = refmatch("sheet", coffee, "--out", out, "--hole", "25%,40%=cup", "--json").json()
    written = json.loads(out.read_text("utf-8"))
    assert {*ALWAYS, "finish", "specular", "saunderson", "content"} <= set(written)
    assert written["targets"] == told["targets"]
    assert written["content"]["slips"][0]["label"] == "cup"


def test_box(refmatch: Shell, tmp_path: Path) -> None:
    out = tmp_path / "box.toml"
    made = refmatch(
        "box", "new", "--tube", "PB29", "--tube", "PW6=my white", "--out", out, "--json"
    )
    assert [tube["tube"] for tube in made.json()["box"]["tubes"]] == ["PB29", "my white"]
    shown = refmatch("box", "show", out, "--json").json()
    assert shown["box"] == made.json()["box"]
    mixed = refmatch("mix", "60,0,-20", "--box", out, "--json").json()
    (portions,) = {
        tuple(p["tube"] for p in r["portions"]) for r in mixed["results"][0]["recipes"][:1]
    }
    assert set(portions) <= {"PB29", "my white"}
    listed = refmatch("box", "list", "--json").json()
    assert {"titanium-white", "burnt-sienna"} <= {p["key"] for p in listed["pigments"]}


@pytest.mark.parametrize(
    "words",
    [
        ("mix", "62,14,38"),
        ("predict", "PB29=1"),
        ("nudge", "PB29=1"),
        ("box", "list"),
        ("box", "show"),
    ],
)
def test_without_json_people_get_text(refmatch: Shell, words: tuple[str, ...]) -> None:
    ran = refmatch(*words)
    assert ran.code == 0
    assert ran.out.strip()
    assert not ran.out.startswith("{")
