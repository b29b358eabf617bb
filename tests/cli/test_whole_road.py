"""From a photo to a sheet and back from its folder, on photographs nobody made for us."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pymupdf
import pytest
from skimage import data, io

from refmatch.colorimetry.lab import delta_e_00
from tests.cli.running import SAMPLES, Shell

PHOTOGRAPHS = ("coffee", "chelsea", "astronaut", "rocket")


def photograph(name: str, folder: Path) -> Path:
    """One of scikit-image's bundled photographs, as a PNG file."""
    path = folder / f"{name}.png"
    io.imsave(path, getattr(data, name)())
    return path


@pytest.mark.parametrize("name", PHOTOGRAPHS)
def test_the_whole_road_on_real_photographs(refmatch: Shell, tmp_path: Path, name: str) -> None:
    out = tmp_path / "sheet.pdf"
    told = refmatch("sheet", photograph(name, tmp_path), "--out", out, "--json").json()
    assert len(told["targets"]) >= 3
    for target in told["targets"]:
        best = target["recipes"][0]
        assert best["steps"]
        assert np.array(best["steps"][-1]["lab"]) == pytest.approx(np.array(best["lab"]), abs=0.01)
        if target["in_gamut"]:
            nearest = min(recipe["delta_e_00"] for recipe in target["recipes"])
            assert nearest <= 2.0  # "good"; a white may ask for less than a touch
            assert best["delta_e_00"] <= 4.0  # what is simpler may be "near"
        else:
            assert target["reach"]
    text = "".join(page.get_text() for page in pymupdf.open(out))
    for target in told["targets"]:
        assert target["label"] in " ".join(text.split())


def test_a_folder_gives_the_same_sheet_byte_for_byte(refmatch: Shell, tmp_path: Path) -> None:
    photo, folder = photograph("coffee", tmp_path), tmp_path / "painting"
    first, again = tmp_path / "first.pdf", tmp_path / "again.pdf"
    made = refmatch(
        "sheet", photo, "--out", first, "--hole", "300,200=coffee", "--hole", "25%,40%=saucer",
        "--crop", "10%,0%,80%,100%", "--keep-light", "30", "--painting", folder, "--json",
    ).json()  # fmt: skip
    photo.unlink()
    reopened = refmatch("sheet", folder, "--out", again, "--json").json()
    assert first.read_bytes() == again.read_bytes()
    assert made["targets"] == reopened["targets"]
    assert made["painting"] == str(folder)


def test_a_folder_stands_for_its_photo(refmatch: Shell, tmp_path: Path) -> None:
    photo, folder = photograph("coffee", tmp_path), tmp_path / "painting"
    out = tmp_path / "sheet.txt"
    refmatch(
        "sheet", photo, "--out", out, "--neutral", "35%,20%", "--proportion", "1:1",
        "--families", "4", "--painting", folder,
    )  # fmt: skip
    told = refmatch("sample", folder, "--hole", "50%,50%", "--json").json()
    assert told["balance"]["method"] == "neutral"
    assert told["photo"]["width_px"] == told["photo"]["height_px"] == 400
    assert len(refmatch("families", folder, "--families", "3", "--json").json()["families"]) == 3


def test_a_folder_is_updated_and_keeps_its_states(refmatch: Shell, tmp_path: Path) -> None:
    photo, folder = photograph("rocket", tmp_path), tmp_path / "painting"
    out = tmp_path / "sheet.json"
    for count in (2, 3, 4):
        refmatch("sheet", photo, "--out", out, "--families", count, "--painting", folder)
    assert len(list((folder / "states").iterdir())) == 3
    assert len(refmatch("sheet", folder, "--out", out, "--json").json()["targets"]) == 4


def test_another_hole_beside_a_folder_does_not_change_it(refmatch: Shell, tmp_path: Path) -> None:
    photo, folder = photograph("coffee", tmp_path), tmp_path / "painting"
    out = tmp_path / "sheet.txt"
    refmatch("sheet", photo, "--out", out, "--hole", "300,200", "--painting", folder)
    before = (folder / "painting.json").read_bytes()
    told = refmatch("sheet", folder, "--out", out, "--hole", "90,200=rim", "--json").json()
    assert [target["label"] for target in told["targets"]] == ["rim"]
    assert (folder / "painting.json").read_bytes() == before


def test_a_crop_keeps_the_places_of_the_cropped_photo(refmatch: Shell, tmp_path: Path) -> None:
    photo, out = photograph("coffee", tmp_path), tmp_path / "sheet.pdf"
    whole = refmatch("sample", photo, "--hole", "300,200,20", "--json").json()["samples"][0]
    told = refmatch(
        "sheet", photo, "--out", out, "--crop", "100,50,400,300", "--hole", "200,150,20", "--json"
    ).json()["targets"][0]
    assert (told["x_px"], told["y_px"]) == (200.0, 150.0)
    assert out.read_bytes().startswith(b"%PDF-")
    assert delta_e_00(np.array(told["lab"]), np.array(whole["lab"])) < 0.01


def test_the_sample_photos_are_there() -> None:
    assert len(list(SAMPLES.glob("*.jpg"))) >= 3
