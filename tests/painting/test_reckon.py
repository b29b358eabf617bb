"""From a photo on disk and a request to a painting: what was reckoned is what is kept."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms

from refmatch.colorimetry.lab import delta_e_00
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import box_from_toml, box_to_toml
from refmatch.painting import reckon as room
from refmatch.painting import store
from refmatch.painting.asked import Asked, AskedHole, AskedPlan
from refmatch.painting.form import from_bytes, to_bytes
from refmatch.painting.model import Painting
from refmatch.painting.reckon import Reckoner, reckon
from refmatch.photo.load import Frame, load
from refmatch.photo.photo import Photo
from refmatch.sheet.compose import compose
from refmatch.sheet.formats import FORMATS
from tests.painting import example

KEYS = ("titanium-white", "hansa-yellow", "burnt-sienna", "phthalo-green", "ultramarine-blue")
DAY = "2026-11-24"


@pytest.fixture(scope="module")
def photo(tmp_path_factory: pytest.TempPathFactory) -> Photo:
    path = tmp_path_factory.mktemp("photo") / "pears.png"
    path.write_bytes(example.picture())
    return load(path)


@pytest.fixture(scope="module")
def asked() -> Asked:
    box = Box("garden table", tuple(built_in_tube(key) for key in KEYS))
    holes = (
        AskedHole("h1", 270.0, 350.0, 20.0, "pear"),
        AskedHole("h2", 690.0, 250.0, 20.0, "jug"),
    )
    return Asked("Pears", box_to_toml(box), frame=Frame(90, 0, 810, 600), holes=holes)


@pytest.fixture(scope="module")
def reckoner(photo: Photo) -> Reckoner:
    return Reckoner(photo)


@pytest.fixture(scope="module")
def painting(reckoner: Reckoner, asked: Asked) -> Painting:
    return reckoner.reckon(asked, DAY)


def test_what_was_asked_and_found_is_kept(painting: Painting, asked: Asked, photo: Photo) -> None:
    assert painting.asked == asked
    assert painting.photo.sha256 == store.saved_photo(photo.path).sha256
    assert (painting.frame.left_px, painting.frame.width_px) == (90, 810)
    assert [target.label for target in painting.targets] == ["pear", "jug"]
    assert [target.x_px for target in painting.targets] == [180.0, 600.0]
    assert sum(mass.share for mass in painting.families) == pytest.approx(1.0)
    assert painting.values is not None
    assert len(painting.values.steps) == room.VALUE_STEPS
    assert len(box_from_toml(painting.box).tubes) == len(painting.table) == len(KEYS)


def test_the_picture_has_the_photos_colours(
    reckoner: Reckoner, painting: Painting, asked: Asked
) -> None:
    pictures = reckoner.pictures(asked)
    assert set(pictures) == {"balanced", "values"}
    with Image.open(io.BytesIO(pictures["balanced"])) as image:
        shown = np.asarray(image.convert("RGB"))[345:355, 175:185].mean(axis=(0, 1))
    assert shown == pytest.approx((184, 190, 104), abs=2.0)  # JPEG is not exact
    assert delta_e_00(painting.targets[0].lab, lab_by_littlecms((184, 190, 104))) < 0.5


def lab_by_littlecms(rgb: tuple[int, int, int]) -> np.ndarray:
    """Return the D50 Lab of an sRGB colour by littleCMS, to whole numbers."""
    srgb, lab = ImageCms.createProfile("sRGB"), ImageCms.createProfile("LAB", 5000)
    way = ImageCms.buildTransform(srgb, lab, "RGB", "LAB", ImageCms.Intent.RELATIVE_COLORIMETRIC)
    seen = ImageCms.applyTransform(Image.new("RGB", (1, 1), rgb), way)
    assert seen is not None
    lightness, *others = np.frombuffer(seen.tobytes(), np.uint8).astype(float)
    signed = [value - 256.0 if value > 127.0 else value for value in others]
    return np.array([lightness * 100.0 / 255.0, *signed])


def test_neighbours_are_told_by_number(painting: Painting) -> None:
    assert painting.words[0].neighbours == ()
    assert painting.words[1].neighbours[0].startswith("2 is ")
    assert painting.words[1].neighbours[0].endswith(" than 1.")
    assert "darker" in painting.words[1].neighbours[0]


def test_a_painting_goes_through_its_folder(
    reckoner: Reckoner, painting: Painting, asked: Asked, photo: Photo, tmp_path: Path
) -> None:
    pictures = reckoner.pictures(asked)
    first = FORMATS["pdf"](compose(painting, pictures), "a4")
    store.create(tmp_path / "pears", photo.path, painting, pictures)
    again = store.open_folder(tmp_path / "pears")
    assert FORMATS["pdf"](compose(again.painting, again.pictures), "a4") == first


def test_a_plan_goes_through_its_folder_as_it_is(reckoner: Reckoner, asked: Asked) -> None:
    painting = reckoner.reckon(replace(asked, plan=AskedPlan(tubes=4)), DAY)
    again = from_bytes(to_bytes(painting))
    assert to_bytes(from_bytes(to_bytes(again))) == to_bytes(again)
    assert painting.plan is not None
    assert again.plan is not None
    assert again.plan.advice.chosen.tubes == painting.plan.advice.chosen.tubes
    assert again.plan.on_table.bound == painting.plan.on_table.bound
    pictures = reckoner.pictures(asked)
    assert FORMATS["txt"](compose(again, pictures), "a4") == FORMATS["txt"](
        compose(painting, pictures), "a4"
    )


def test_a_plan_mixes_what_a_hole_asks_for(reckoner: Reckoner, asked: Asked) -> None:
    """A tube held out of one colour's mix is on the table for the others all the same."""
    plan = replace(asked, plan=AskedPlan(tubes=5))
    first, other = asked.holes
    used = reckoner.reckon(plan, DAY).recipes[0].recipes[0].portions
    tube = next(portion.tube for portion in used if "white" not in portion.tube)
    held = replace(plan, holes=(replace(first, without=(tube,)), other))
    painting = reckoner.reckon(held, DAY)
    assert painting.plan is not None
    assert tube in painting.plan.advice.chosen.tubes
    for recipe in painting.recipes[0].recipes:
        assert tube not in {portion.tube for portion in recipe.portions}


def test_a_chosen_recipe_is_the_one_that_the_plan_mixes(reckoner: Reckoner, asked: Asked) -> None:
    plan = replace(asked, plan=AskedPlan(tubes=5))
    painting = reckoner.reckon(plan, DAY)
    place = next(i for i, answer in enumerate(painting.recipes) if len(answer.recipes) > 1)
    wanted = painting.recipes[place].recipes[1]
    why = wanted.why
    holes = tuple(
        replace(hole, choice=why) if i == place else hole for i, hole in enumerate(plan.holes)
    )
    chosen = reckoner.reckon(replace(plan, holes=holes), DAY)
    assert chosen.plan is not None
    assert chosen.plan.recipes[place].why == why
    assert chosen.plan.recipes[place].laid_out == wanted.laid_out
    (puddle,) = (each for each in chosen.plan.puddles.puddles if each.target == place)
    assert (puddle.drawn_from, set(puddle.laid_out)) == (None, set(wanted.laid_out))


def test_without_a_hole_nothing_is_mixed(reckoner: Reckoner, asked: Asked) -> None:
    painting = reckoner.reckon(replace(asked, holes=()), DAY)
    assert painting.recipes == painting.targets == ()


def test_what_was_solved_is_not_solved_again(
    photo: Photo, asked: Asked, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A painting opens as it was saved; a new hole costs one recipe, a name or a choice none."""
    reckoner, solved = Reckoner(photo), []
    solve_all = room.solve_all

    def counted(bench, targets):
        solved.append(len(targets))
        return solve_all(bench, targets)

    monkeypatch.setattr(room, "solve_all", counted)
    painting = reckoner.reckon(asked, DAY)
    assert solved == [2], "all colours of a painting are solved at once"
    opened = Reckoner(photo)
    opened.remember(painting)
    first, other = asked.holes
    again = opened.reckon(replace(asked, holes=(first, replace(other, label="pot"))), DAY)
    assert solved == [2]
    assert again.recipes[0].recipes[0].laid_out == painting.recipes[0].recipes[0].laid_out
    more = (*asked.holes, AskedHole("h3", 120.0, 580.0, 20.0))
    opened.reckon(replace(asked, holes=more), DAY)
    assert solved == [2, 1]


def test_one_call_is_the_road_of_all(photo: Photo, asked: Asked, painting: Painting) -> None:
    assert to_bytes(reckon(photo, asked, DAY)) == to_bytes(painting)


def test_a_name_under_a_plan_chooses_no_palette_again(
    reckoner: Reckoner, asked: Asked, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = replace(asked, plan=AskedPlan(tubes=5))
    painting = reckoner.reckon(plan, DAY)

    def again(*_: object) -> None:
        raise AssertionError("chosen or solved again")

    monkeypatch.setattr("refmatch.plan.whole.cores_of", again)
    monkeypatch.setattr(room, "solve_all", again)
    first, other = plan.holes
    renamed = reckoner.reckon(replace(plan, holes=(replace(first, label="quince"), other)), DAY)
    assert [target.label for target in renamed.targets] == ["quince", "jug"]
    assert renamed.plan is not None
    assert painting.plan is not None
    assert renamed.plan.advice.chosen == painting.plan.advice.chosen
    assert [a.recipes[0].laid_out for a in renamed.recipes] == [
        a.recipes[0].laid_out for a in painting.recipes
    ]
