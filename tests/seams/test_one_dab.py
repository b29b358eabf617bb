"""One dab, one answer: what a check finds is what every later word about the puddle begins with."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.paint.box_file import write_box
from refmatch.painting.own_box import box_of
from refmatch.painting.record import pile_now
from refmatch.painting.store import open_folder
from refmatch.recipe.mixture import Palette
from tests.cli.running import Shell
from tests.painting.example import asking
from tests.painting.rounds_example import boxed, keep
from tests.virtual_studio.camera import camera_of, grey
from tests.virtual_studio.table_photo import photographed_on_table

LABEL = "pear, lit side"
TOO_MUCH = {"phthalo green": 1.8, "hansa yellow": 1.15}
"""How much more of them lies in the puddle than was meant: the photo tells other than the box."""


@pytest.fixture(scope="module", params=["gloss", "matt"])
def planned(tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest) -> Path:
    """A painting as it is before any dab is looked at; each test works on a copy."""
    folder = tmp_path_factory.mktemp("planned") / "pears"
    return keep(folder, asking(boxed(), finish=request.param))


@pytest.fixture(scope="module")
def looked_at(planned: Path, tmp_path_factory: pytest.TempPathFactory):
    """The same after one check, and what that told, in JSON."""
    folder = shutil.copytree(planned, tmp_path_factory.mktemp("looked at") / "pears")
    return folder, check(Shell(), folder)


@pytest.fixture
def folder(tmp_path: Path, planned: Path) -> Path:
    """A painting whose first puddle is to be looked at."""
    return shutil.copytree(planned, tmp_path / "pears")


@pytest.fixture
def checked(folder: Path, looked_at):
    """What the check of a dab told; the painting remembers it."""
    seen, told = looked_at
    shutil.copytree(seen, folder, dirs_exist_ok=True)
    return told


def check(refmatch: Shell, folder: Path, *more: object, label: str = LABEL, seed: int = 4):
    painting = open_folder(folder).painting
    box = box_of(painting)
    palette = Palette.of(box.tubes, replace(box.surface, f=0.0))
    parts = dict(pile_now(painting, label).parts)
    piles = [{tube: share * TOO_MUCH.get(tube, 1.0) for tube, share in parts.items()}]
    piles.append({box.white.name: 1.0})
    rows = np.array([[pile.get(tube.name, 0.0) for tube in box.tubes] for pile in piles])
    surfaces = dict(zip(("dab", "white"), palette.reflectance(rows), strict=True))
    photo = folder.parent / f"dab {label} {seed}.jpg"
    surfaces["grey"] = grey(50.0)
    places = photographed_on_table(photo, surfaces, camera_of("D50", 4), seed)
    where = ["--hole", places["dab"], "--neutral", places["grey"], "--neutral-value", 50]
    where += ["--white-hole", places["white"], *more]
    whose = ["--painting", folder, "--target-label", label]
    return refmatch("check", photo, *where, *whose, "--json").json()


def again(refmatch: Shell, folder: Path, *more: object, label: str = LABEL):
    words = ("--again", label, "--painting", folder, "--amount", 20, *more)
    return refmatch("mix", *words, "--json").json()


def did(refmatch: Shell, folder: Path, *words: object):
    return refmatch("did", *words, "--painting", folder, "--target-label", LABEL, "--json").json()


def test_the_puddle_mixed_again_is_the_one_that_was_seen(refmatch, folder, checked):
    told = again(refmatch, folder)
    assert told["lab"] == checked["estimated"]["lab"]
    assert told["delta_e_00"] == checked["delta_e_00"]
    assert told["uncertainty_delta_e_00"] == checked["estimated"]["uncertainty_delta_e_00"]
    assert told["last_seen"]["lab"] == told["lab"]


def test_a_correction_leads_where_it_was_said_to(refmatch, folder, checked):
    best = checked["corrections"][0]
    done = did(refmatch, folder, 1)
    assert done["predicted_lab"] == best["predicted_lab"]
    assert done["predicted_delta_e_00"] == best["predicted_delta_e_00"]
    told = again(refmatch, folder)
    assert told["lab"] == best["predicted_lab"]
    assert told["delta_e_00"] == best["predicted_delta_e_00"]


def test_the_same_added_by_hand_leads_to_the_same(refmatch, folder, checked):
    best = checked["corrections"][0]
    words = [f"{each['tube']}={each['parts']!r}" for each in best["additions"]]
    given = [word for each in words for word in ("--added", each)]
    divided = ["--divided"] if checked["divide"] else []
    done = did(refmatch, folder, *divided, *given)
    assert done["predicted_lab"] == pytest.approx(best["predicted_lab"], abs=0.02)
    assert again(refmatch, folder)["lab"] == done["predicted_lab"]


def test_of_what_nobody_saw_only_the_box_speaks_and_says_so(refmatch, folder, tmp_path):
    painting = open_folder(folder).painting
    box = tmp_path / "box.toml"
    write_box(box, box_of(painting))
    before = again(refmatch, folder)
    assert (before["lab_from"], before["last_seen"]) == ("box", None)
    check(refmatch, folder)
    assert again(refmatch, folder)["lab_from"] == "photo and recipe"
    other = again(refmatch, folder, "--box", box)
    assert other["lab_from"] == "box"
    assert other["lab"] == before["lab"]


def test_a_check_by_another_box_looks_at_the_same_skin(refmatch, folder, checked, tmp_path):
    box = tmp_path / "box.toml"
    write_box(box, box_of(open_folder(folder).painting))
    by_file = check(refmatch, folder, "--box", box)
    assert by_file["estimated"] == checked["estimated"]


def test_people_are_told_the_same_figures(refmatch, folder, checked):
    off = f"{checked['corrections'][0]['predicted_delta_e_00']:.1f} ΔE00"
    ran = refmatch("did", 1, "--painting", folder, "--target-label", LABEL)
    assert off in ran.out
    words = ("--again", LABEL, "--painting", folder, "--amount", 20)
    assert off in refmatch("mix", *words).out


def test_a_neighbours_puddle_goes_in_as_it_was_seen(refmatch, folder, checked):
    other = open_folder(folder).painting.targets[1].label
    check(refmatch, folder, label=other)
    before = open_folder(folder).painting
    seen = {row.target: row for row in before.rounds}
    added = 2.0
    parts = [sum(share for _, share in seen[other].parts), added]
    mixed = np.tensordot(parts, [seen[other].curves, seen[LABEL].curves], 1) / sum(parts)
    puddle = Palette(mixed[0][None], mixed[1][None], box_of(before).surface)
    words = ("--painting", folder, "--target-label", other, "--added", f"{LABEL}={added:g}")
    done = refmatch("did", *words, "--json").json()
    # K and S of the puddles as the photos have them, weighted by their parts (Duncan 1940)
    assert done["predicted_lab"] == pytest.approx(puddle.lab(np.ones(1)), abs=1e-3)
    assert again(refmatch, folder, label=other)["lab"] == done["predicted_lab"]
    by_box = again(refmatch, folder, label=other)["box_lab"]
    assert float(delta_e_00(np.array(by_box), np.array(done["predicted_lab"]))) > 1.0


def test_a_second_photo_adds_to_the_first_and_the_recipe_speaks_once(refmatch, folder, checked):
    second = check(refmatch, folder, seed=5)
    assert second["look"] == 2
    by_recipe = np.array(again(refmatch, folder)["box_lab"])
    moved = [
        float(delta_e_00(np.array(look["estimated"]["lab"]), by_recipe))
        for look in (checked, second)
    ]
    # what two photos say alike moves what the recipe says further than one of them does
    assert moved[1] > moved[0]
    doubts = [look["estimated"]["uncertainty_delta_e_00"]["p50"] for look in (checked, second)]
    assert doubts[1] < doubts[0]


def test_a_photo_shown_again_tells_nothing_new(refmatch, folder, checked):
    check(refmatch, folder, seed=5)
    assert check(refmatch, folder)["estimated"] == checked["estimated"]
