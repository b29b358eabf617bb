"""One painting from several photos: each in its own light, one key and one plan."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from refmatch.colorimetry.lab import delta_e_00
from tests.cli.running import Shell

Colour = tuple[float, float, float]

HOLES = ("--hole", "20%,20%=wall", "--hole", "25%,80%=ground")
WARM = np.array([255.0, 200.0, 140.0])
"""A lamp's light: what a white card shows in it, in 8 bits."""


def picture(path: Path, above: Colour, below: Colour) -> Path:
    made = np.zeros((120, 160, 3), np.uint8)
    made[:60], made[60:] = np.round(above), np.round(below)
    Image.fromarray(made).save(path)
    return path


def in_light(grey: float, light: np.ndarray) -> Colour:
    """Return a grey surface in a light, in 8 bits: the curve is that of IEC 61966-2-1 (sRGB)."""
    linear = grey * ((light / 255.0 + 0.055) / 1.055) ** 2.4
    red, green, blue = 255.0 * (1.055 * linear ** (1.0 / 2.4) - 0.055)
    return red, green, blue


@pytest.fixture(scope="module")
def photos(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A house, and a sky with a grey card and a grey cloud taken in a lamp's light."""
    folder = tmp_path_factory.mktemp("several")
    house = picture(folder / "house.png", (90.0, 75.0, 50.0), (200.0, 180.0, 140.0))
    sky = picture(folder / "clouds.png", in_light(0.4, WARM), in_light(0.18, WARM))
    return house, sky


def asked(photos: tuple[Path, Path]) -> tuple[object, ...]:
    also = ("--also", f"sky={photos[1]}", "--also-light", "sky=neutral:25%,75%")
    return (photos[0], *also, *HOLES, "--hole", "sky:25%,20%=cloud")


def test_each_photo_has_its_own_light(refmatch: Shell, photos: tuple[Path, Path]) -> None:
    """A grey cloud is grey beside the grey card of its own photo, and warm by the house's."""
    out = ("--no-key", "--json")
    told = refmatch("plan", *asked(photos), *out).json()
    cloud = next(target for target in told["targets"] if target["label"] == "cloud")
    assert np.hypot(*cloud["lab"][1:]) < 1.0
    as_shot = [word for word in asked(photos) if word != "sky=neutral:25%,75%"]
    as_shot.remove("--also-light")
    shot = refmatch("plan", *as_shot, *out).json()
    warm = next(target for target in shot["targets"] if target["label"] == "cloud")
    assert np.hypot(*warm["lab"][1:]) > 20.0
    for one, other in zip(told["targets"][:2], shot["targets"][:2], strict=True):
        assert one["lab"] == other["lab"]


def test_one_key_and_one_plan_hold_for_all(refmatch: Shell, photos: tuple[Path, Path]) -> None:
    told = refmatch("plan", *asked(photos), "--json").json()
    labels = [target["label"] for target in told["targets"]]
    assert labels == ["wall", "ground", "cloud"]
    assert {puddle["target"] for puddle in told["puddles"]["order"]} >= set(labels)
    assert len(told["key"]["delta_e_00"]) == 3


def test_the_folder_keeps_each_photo_untouched(
    refmatch: Shell, photos: tuple[Path, Path], tmp_path: Path
) -> None:
    folder, out = tmp_path / "house", tmp_path / "house.json"
    first = refmatch("sheet", *asked(photos), "--out", out, "--painting", folder, "--json")
    assert first.code == 0
    (copy,) = (folder / "photos").iterdir()
    assert copy.read_bytes() == photos[1].read_bytes()
    again = refmatch("sheet", folder, "--out", out, "--json").json()
    assert again["targets"] == first.json()["targets"]
    assert [photo["name"] for photo in again["photos"]] == ["sky"]
    fresh = refmatch("sheet", folder, "--out", out, "--tubes", 3, "--json").json()
    for one, other in zip(fresh["targets"], again["targets"], strict=True):
        assert one["lab"] == other["lab"]
        assert one["photo"] == other["photo"]


def test_the_sheet_shows_each_photo_with_its_holes(
    refmatch: Shell, photos: tuple[Path, Path], tmp_path: Path
) -> None:
    out = tmp_path / "house.json"
    refmatch("sheet", *asked(photos), "--out", out)
    content = json.loads(out.read_text("utf-8"))["content"]
    assert [mark["label"] for mark in content["marks"]] == ["wall", "ground"]
    (sky,) = content["others"]
    assert [(mark["number"], mark["label"]) for mark in sky["marks"]] == [(3, "cloud")]
    pdf = tmp_path / "house.pdf"
    assert refmatch("sheet", *asked(photos), "--out", pdf).code == 0
    alone = tmp_path / "alone.pdf"
    refmatch("sheet", photos[0], *HOLES, "--out", alone)
    pages = [path.read_bytes().count(b"/Type /Page\n") for path in (pdf, alone)]
    assert pages[0] >= pages[1] + 2


def test_a_photo_is_taken_away_with_its_holes(
    refmatch: Shell, photos: tuple[Path, Path], tmp_path: Path
) -> None:
    folder, out = tmp_path / "house", tmp_path / "house.txt"
    refmatch("sheet", *asked(photos), "--out", out, "--painting", folder)
    told = refmatch("sheet", folder, "--also", "sky=none", "--out", out, "--json").json()
    assert [target["label"] for target in told["targets"]] == ["wall", "ground"]
    assert told["photos"] == []


def test_a_photo_that_has_changed_is_told(
    refmatch: Shell, photos: tuple[Path, Path], tmp_path: Path
) -> None:
    folder, out = tmp_path / "house", tmp_path / "house.txt"
    refmatch("sheet", *asked(photos), "--out", out, "--painting", folder)
    (copy,) = (folder / "photos").iterdir()
    copy.write_bytes(photos[0].read_bytes())
    ran = refmatch("sheet", folder, "--out", out)
    assert ran.code == 1
    assert copy.name in ran.err


def test_a_crop_of_another_photo_leaves_holes_where_they_are(
    refmatch: Shell, photos: tuple[Path, Path]
) -> None:
    whole = refmatch("plan", *asked(photos), "--no-key", "--json").json()
    crop = ("--also-crop", "sky=0,0,100%,50%")
    cut = refmatch("plan", *asked(photos), *crop, "--no-key", "--json").json()
    labs = [np.array(told["targets"][2]["lab"]) for told in (whole, cut)]
    assert float(delta_e_00(*labs)) < 0.5


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (("--hole", "moon:1,1"), "No other photo is called 'moon'"),
        (("--also", "sky"), "does not say of which photo"),
        (("--also", "9=house.png"), "no name for a photo"),
        (("--also-light", "moon=5200K"), "No other photo is called 'moon'"),
        (("--also", "sky=none"), "No other photo is called 'sky'"),
    ],
)
def test_what_is_said_wrongly_is_told(
    refmatch: Shell, photos: tuple[Path, Path], said: tuple[str, ...], words: str
) -> None:
    ran = refmatch("plan", photos[0], *HOLES, *said)
    assert ran.code == 2
    assert words in ran.err
