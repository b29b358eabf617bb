"""``refmatch check`` at the prompt: its keys, its sentences, and the loop through a painting."""

from __future__ import annotations

import json
import shlex
from pathlib import Path

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00, lch_differences, reflectance_to_lab
from refmatch.dabs.chart_colours import chart_patches
from refmatch.dabs.verdict import OFF, WITHIN
from refmatch.errors import OutputError
from refmatch.paint.box_file import built_in_box
from tests.cli.running import ROOT, SAMPLES, Shell
from tests.virtual_studio.camera import camera_of, grey
from tests.virtual_studio.paints import another_painters
from tests.virtual_studio.table_photo import photographed_on_table

BOX = built_in_box()
NAMES = [tube.name for tube in BOX.tubes]
STUDIO = another_painters(BOX.tubes, 951)
RECIPE = {"titanium white": 5.0, "hansa yellow": 2.0, "ultramarine": 1.0}
KEYS = {
    "measured",
    "estimated",
    "target",
    "delta_e_00",
    "delta_lstar",
    "delta_cstar",
    "delta_hstar",
    "words",
    "verdict",
    "corrections",
    "flags",
}
"""As the contract has them; others may stand beside."""


def painted(recipe) -> np.ndarray:
    row = np.array([recipe.get(name, 0.0) for name in NAMES])
    return STUDIO.reflectance(row[None])[0]


def laid_out(folder: Path, dab: np.ndarray, seed: int) -> tuple[Path, list[str]]:
    """Photograph a dab on the table; return the photo, and the words that say where things lie."""
    surfaces = {
        "dab": dab,
        "grey": grey(50.0),
        "white": painted({"titanium white": 1.0}),
        "black": painted({"ivory black": 1.0}),
    }
    photo = folder / f"dab-{seed}.jpg"
    places = photographed_on_table(photo, surfaces, camera_of("D50", 951), seed)
    words = ["--hole", places["dab"], "--neutral", places["grey"], "--neutral-value", "50"]
    return photo, [*words, "--white-hole", places["white"], "--black-hole", places["black"]]


def recipe_words(recipe) -> list[str]:
    return [word for name, parts in recipe.items() for word in ("--recipe", f"{name}={parts:g}")]


def test_the_keys_and_what_they_say(refmatch: Shell, tmp_path: Path) -> None:
    photo, where = laid_out(tmp_path, painted(RECIPE), 1)
    ran = refmatch("check", photo, *where, *recipe_words(RECIPE), "--target", "40,-5,5", "--json")
    assert ran.code == 0
    found = ran.json()
    assert set(found) >= KEYS
    lab, target = np.array(found["estimated"]["lab"]), np.array(found["target"]["lab"])
    assert target.tolist() == [40.0, -5.0, 5.0]
    assert found["delta_e_00"] == pytest.approx(delta_e_00(lab, target), abs=0.02)
    told = [found[key] for key in ("delta_lstar", "delta_cstar", "delta_hstar")]
    assert told == pytest.approx([float(each) for each in lch_differences(lab, target)], abs=0.01)
    assert np.array(found["measured"]["covariance"]).shape == (3, 3)
    assert np.linalg.eigvalsh(np.array(found["estimated"]["covariance"])).min() > 0.0
    assert found["verdict"] in (OFF, WITHIN)
    for correction in found["corrections"]:
        assert set(correction) >= {
            "additions",
            "predicted_lab",
            "predicted_delta_e_00",
            "words",
        }
        again = delta_e_00(np.array(correction["predicted_lab"]), target)
        assert correction["predicted_delta_e_00"] == pytest.approx(again, abs=0.02)
        for addition in correction["additions"]:
            assert set(addition) >= {"tube", "parts"}
            own = sum(portion["parts"] for portion in addition["portions"])
            assert own == pytest.approx(addition["parts"], abs=1e-3)


def test_the_readme_s_dab_is_found_where_its_truth_says(refmatch: Shell, monkeypatch) -> None:
    """The command as it stands there; the sample's truth is beside it."""
    monkeypatch.chdir(ROOT)
    lines = (ROOT / "README.md").read_text("utf-8").splitlines()
    line = next(line for line in lines if line.startswith("refmatch check"))
    ran = refmatch(*shlex.split(line)[1:], "--json")
    assert ran.code == 0, ran.err
    found = ran.json()
    truth = json.loads((SAMPLES / "dab-board.json").read_text("utf-8"))
    place = next(each for each in truth["places"] if each["label"] == "row 2, column 2")
    off = delta_e_00(np.array(found["measured"]["lab"]), np.array(place["lab"]))
    assert off < found["measured"]["uncertainty_delta_e_00"]["p90"]
    assert "too dark" in found["words"]
    assert found["corrections"]


def test_people_are_told_the_verdict_and_what_to_do(refmatch: Shell, tmp_path: Path) -> None:
    photo, where = laid_out(tmp_path, painted(RECIPE), 2)
    light = reflectance_to_lab(painted(RECIPE)) + np.array([12.0, 0.0, 0.0])
    target = ",".join(f"{each:.2f}" for each in light)
    ran = refmatch("check", photo, *where, *recipe_words(RECIPE), f"--target={target}")
    assert ran.code == 0
    assert "too dark" in ran.out
    assert "titanium white" in ran.out
    assert "generic" in ran.err


@pytest.fixture(scope="module")
def tables(tmp_path_factory) -> Path:
    """A reference photo with one colour to be mixed: what the recipe makes in the studio."""
    folder = tmp_path_factory.mktemp("loop")
    photographed_on_table(
        folder / "garden.jpg",
        {"leaf": chart_patches()[10], "pear": chart_patches()[15]},
        camera_of("D50", 7),
        1,
    )
    return folder


def test_a_puddle_is_checked_corrected_and_checked_again(refmatch: Shell, tables: Path) -> None:
    """The whole loop by commands; the record tells it afterwards."""
    painting = tables / "painting"
    made = refmatch(
        "sheet", tables / "garden.jpg", "--hole", "120,120,60=leaf", "--painting", painting,
        "--out", tables / "sheet.pdf", "--json",
    )  # fmt: skip
    assert made.code == 0, made.err
    saved = json.loads((painting / "painting.json").read_text())
    portions = saved["recipes"][0]["recipes"][0]["portions"]
    recipe = {each["tube"]: each["parts"] for each in portions}
    mistake = {**recipe, "titanium white": 4.0 * recipe["titanium white"]}
    photo, where = laid_out(tables, painted(mistake), 11)
    words = ["--painting", painting, "--target-label", "leaf"]
    first = refmatch("check", photo, *where, *words, *recipe_words(mistake), "--json")
    assert first.code == 0, first.err
    told = first.json()
    assert (told["pile"], told["look"]) == (1, 1)
    assert told["corrections"], told["advice"]
    did = refmatch("did", "1", *words, "--json")
    assert did.code == 0, did.err
    holds = {each["tube"]: each["parts"] for each in did.json()["puddle"]["portions"]}
    if told["divide"]:
        mistake = {tube: parts / 3.0 for tube, parts in mistake.items()}
    for addition in told["corrections"][0]["additions"]:
        for portion in addition["portions"]:
            mistake[portion["tube"]] = mistake.get(portion["tube"], 0.0) + portion["parts"]
    assert holds == pytest.approx(mistake, abs=1e-3)
    photo, where = laid_out(tables, painted(mistake), 12)
    second = refmatch("check", photo, *where, *words, "--json").json()
    assert (second["pile"], second["look"]) == (1, 2)
    assert second["delta_e_00"] < told["delta_e_00"]
    again = refmatch("check", photo, *where, *words, "--json").json()
    assert again == second, "the same photo again is the same look"
    record = json.loads((painting / "painting.json").read_text())
    assert [each["number"] for each in record["rounds"]] == [1, 2]
    assert len(list((painting / "checks").iterdir())) == 2


def test_a_box_that_learns_by_itself_tells_what_it_learnt(
    refmatch: Shell, tables: Path, monkeypatch
) -> None:
    """And where it cannot learn, what was found of the dab is told all the same."""
    painting = tables / "learning"
    refmatch(
        "sheet", tables / "garden.jpg", "--hole", "120,120,60=leaf", "--painting", painting,
        "--out", tables / "sheet.pdf",
    )  # fmt: skip
    refmatch("box", "learn", "--painting", painting, "--automatic", "on")
    words = ["--painting", painting, "--target-label", "leaf", "--json"]
    found = []
    for seed, recipe in enumerate((RECIPE, {**RECIPE, "titanium white": 9.0}), start=21):
        photo, where = laid_out(tables, painted(recipe), seed)
        found.append(refmatch("check", photo, *where, *words, *recipe_words(recipe)).json())
    learns = [refmatch("box", "learn", "--painting", painting, "--json").json()]
    assert len(learns[0]["taken_in"]) + len(learns[0]["left_out"]) >= 2
    assert found[0]["learnt"] == [], "a first photo waits for another"

    def full(_):
        raise OutputError("The disk is full.")

    monkeypatch.setattr("refmatch.painting.check.learn_if_on", full)
    photo, where = laid_out(tables, painted(RECIPE), 23)
    last = refmatch("check", photo, *where, *words, *recipe_words(RECIPE))
    assert last.code == 0
    assert "not_learnt" in {flag["name"] for flag in last.json()["flags"]}
    assert "measured" in last.json()


def test_a_painting_asks_whose_dab_it_is(refmatch: Shell, tables: Path) -> None:
    photo, where = laid_out(tables, painted(RECIPE), 13)
    painting = tables / "painting"
    ran = refmatch("check", photo, *where, "--painting", painting)
    assert ran.code == 2
    assert "--target-label" in ran.err
    ran = refmatch("check", photo, "--painting", painting)
    assert ran.code == 1
    assert "refmatch card --painting" in ran.err
    ran = refmatch("check", photo, *where, "--painting", painting, "--target-label", "plum")
    assert ran.code == 1
    assert "leaf" in ran.err


DAB = ("--hole", "60,60,20", "--target", "50,0,0")
MIXED = (*DAB, "--recipe", "PW6=1")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--target", "50,0,0"), "--hole X,Y,D"),
        (("--neutral", "1,1,9"), "--hole X,Y,D"),
        (DAB, "--recipe"),
        ((*MIXED, "--state", "damp"), "damp"),
        ((*DAB, "--recipe", "umber"), "TUBE=PARTS"),
        ((*DAB, "--recipe", "umber=0"), "No part is above 0"),
        ((*MIXED, "--reference-lab", "50,0,0"), "--reference-hole"),
        ((*MIXED, "--reference-recipe", "PW6=1"), "say where it lies"),
        ((*MIXED, "--puddle", "grey"), "NAME:TUBE=PARTS"),
        ((*MIXED, "--target-label", "pear"), "--painting FOLDER"),
        (("--painting", "pears", "--target", "50,0,0"), "--target-label"),
        (("--painting", "pears", "--recipe", "PW6=1"), "--target-label LABEL"),
    ],
)
def test_wrong_usage_ends_with_two(refmatch: Shell, tables: Path, words, says) -> None:
    ran = refmatch("check", tables / "garden.jpg", *words)
    assert ran.code == 2
    assert says in ran.err
    assert "Traceback" not in ran.err
