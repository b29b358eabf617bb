"""The sample images are what their truth files say: tagged, whole, small, and plausible."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageCms, ImageOps

from refmatch.colorimetry.display import SRGB_TO_XYZ, decode_srgb
from refmatch.colorimetry.lab import adaptation, delta_e_00, lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE

FOLDER = Path(__file__).parent.parent / "sample_images"
NAMES = ("garden-table", "orchard-shade", "dab-board")
PHOTOS = (*NAMES, "calibration-card", "dab-card", "garden-canvas")


def facts_of(name: str) -> dict[str, Any]:
    return json.loads((FOLDER / f"{name}.json").read_text("utf-8"))


def upright(name: str) -> Image.Image:
    return ImageOps.exif_transpose(Image.open(FOLDER / f"{name}.jpg"))


def mean_xyz(name: str, spot: dict[str, Any]) -> np.ndarray:
    """Mean over the pixels whose centres lie in the disc, in linear light."""
    pixels = np.asarray(upright(name), dtype=float) / 255.0
    rows, cols = np.mgrid[: pixels.shape[0], : pixels.shape[1]] + 0.5
    inside = np.hypot(cols - spot["x_px"], rows - spot["y_px"]) <= spot["diameter_px"] / 2
    return decode_srgb(pixels[inside]).mean(axis=0) @ SRGB_TO_XYZ.T


def spots(facts: dict[str, Any]) -> list[dict[str, Any]]:
    return facts["places"] + ([facts["neutral"]] if facts["neutral"] else [])


def test_every_photo_has_its_truth_and_every_truth_its_photo() -> None:
    photos = {path.stem for path in FOLDER.glob("*.jpg")}
    assert photos == {path.stem for path in FOLDER.glob("*.json")} == set(PHOTOS)


def test_together_they_are_under_12_megabytes() -> None:
    files = [
        path for path in FOLDER.rglob("*") if path.is_file() and "__pycache__" not in path.parts
    ]
    assert sum(path.stat().st_size for path in files) < 12e6


@pytest.mark.parametrize("name", PHOTOS)
def test_the_photo_is_an_8_bit_rgb_jpeg_tagged_srgb(name: str) -> None:
    with Image.open(FOLDER / f"{name}.jpg") as photo:
        assert (photo.format, photo.mode) == ("JPEG", "RGB")
        profile = ImageCms.ImageCmsProfile(io.BytesIO(photo.info["icc_profile"])).profile
    assert "sRGB" in profile.profile_description
    # IEC 61966-2-1:1999: the primaries as an ICC profile carries them, adapted to D50
    columns = [profile.red_colorant, profile.green_colorant, profile.blue_colorant]
    carried = np.array([column[0] for column in columns]).T
    np.testing.assert_allclose(carried * 100.0, SRGB_TO_XYZ, atol=0.05)


@pytest.mark.parametrize("name", PHOTOS)
def test_the_photo_is_large_enough_and_as_large_as_its_truth_says(name: str) -> None:
    assert list(upright(name).size) == facts_of(name)["size_px"]
    assert min(upright(name).size) >= 1000


def test_one_photo_lies_on_its_side_and_says_so_in_its_exif() -> None:
    with Image.open(FOLDER / "dab-board.jpg") as photo:
        assert photo.getexif()[0x0112] == 6
        assert photo.width > photo.height
    assert upright("dab-board").height > upright("dab-board").width


@pytest.mark.parametrize("name", NAMES)
def test_each_truth_says_what_is_needed(name: str) -> None:
    facts = facts_of(name)
    assert facts["image"] == f"{name}.jpg"
    assert facts["viewing"] == {"illuminant": "D50", "observer": "CIE 1931 2 degrees"}
    for key in ("scene", "truth", "made_by", "coordinates"):
        assert facts[key]
    labels = [place["label"] for place in facts["places"]]
    assert len(labels) == len(set(labels)) >= 8
    assert (facts["neutral"] is None) == (name == "orchard-shade")


@pytest.mark.parametrize("name", NAMES)
def test_every_place_lies_inside_the_photo_and_off_every_other(name: str) -> None:
    facts = facts_of(name)
    width, height = facts["size_px"]
    for spot in spots(facts):
        radius = spot["diameter_px"] / 2
        assert spot["diameter_px"] >= 9
        assert radius < spot["x_px"] < width - radius
        assert radius < spot["y_px"] < height - radius
    for k, one in enumerate(spots(facts)):
        for other in spots(facts)[k + 1 :]:
            apart = np.hypot(one["x_px"] - other["x_px"], one["y_px"] - other["y_px"])
            assert apart > (one["diameter_px"] + other["diameter_px"]) / 2


@pytest.mark.parametrize("name", NAMES)
def test_every_true_colour_is_one_a_lit_surface_can_have(name: str) -> None:
    for place in facts_of(name)["places"]:
        lab = np.array(place["lab"])
        assert 0.0 < lab[0] <= 100.0
        assert np.all(lab_to_xyz(lab, ICC_WHITE) >= 0.0)
        assert np.hypot(lab[1], lab[2]) < 110.0


@pytest.mark.parametrize(
    ("name", "low_k", "high_k"),
    [("garden-table", 2800, 3300), ("orchard-shade", 7500, 9000), ("dab-board", 5500, 6800)],
)
def test_the_light_is_as_warm_as_the_scene_wants(name: str, low_k: float, high_k: float) -> None:
    light = facts_of(name)["light"]
    assert low_k <= light["cct_k"] <= high_k
    # McCamy 1992, Color Research & Application 17, 142-144, doi:10.1002/col.5080170211:
    # a cubic good to a few per cent in this range
    x, y = np.array(light["white_xyz"])[:2] / sum(light["white_xyz"])
    n = (x - 0.3320) / (0.1858 - y)
    assert 449 * n**3 + 3525 * n**2 + 6823.3 * n + 5520.33 == pytest.approx(
        light["cct_k"], rel=0.04
    )


@pytest.mark.parametrize("name", ["garden-table", "dab-board"])
def test_balanced_by_its_card_the_photo_comes_near_the_truth(name: str) -> None:
    """A camera is no standard observer, and yet the photo is of these colours and no others."""
    facts = facts_of(name)
    grey = lab_to_xyz(np.array([facts["neutral"]["lstar"], 0.0, 0.0]), ICC_WHITE)
    to_d50 = adaptation(mean_xyz(name, facts["neutral"]), grey)
    seen = np.array([mean_xyz(name, place) for place in facts["places"]])
    true = np.array([place["lab"] for place in facts["places"]])
    balanced = delta_e_00(xyz_to_lab(seen @ to_d50.T, ICC_WHITE), true)
    as_shot = delta_e_00(xyz_to_lab(seen, ICC_WHITE), true)
    assert np.median(balanced) < 2.0
    assert np.median(balanced) < 0.6 * np.median(as_shot)


def test_without_a_card_the_known_white_leads_to_the_truth() -> None:
    facts = facts_of("orchard-shade")
    white = 100.0 * np.array(facts["exposure"]["white_in_photo_xyz"])
    to_d50 = adaptation(white / white[1], ICC_WHITE / 100.0)
    seen = np.array([mean_xyz("orchard-shade", place) for place in facts["places"]])
    true = np.array([place["lab"] for place in facts["places"]])
    balanced = delta_e_00(xyz_to_lab(seen @ to_d50.T, ICC_WHITE), true)
    as_shot = delta_e_00(xyz_to_lab(seen, ICC_WHITE), true)
    assert np.median(balanced) < 2.0
    assert np.median(balanced) < 0.6 * np.median(as_shot)
