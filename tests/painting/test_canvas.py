"""A canvas from end to end: the sample photo, whose faults are known, and what is kept of it."""

from __future__ import annotations

import hashlib
import json
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pymupdf
import pytest
from PIL import Image

from refmatch.canvas.compare import HOLE, MASS, STEP, regions_of
from refmatch.canvas.verdicts import OFF
from refmatch.dabs.spot import DRY, SUNK, WET
from refmatch.dabs.spots import Places
from refmatch.encode import canvas_form, content_form, envelope
from refmatch.errors import UsageError
from refmatch.paint.box_file import box_to_toml, built_in_box
from refmatch.painting.asked import Asked
from refmatch.painting.canvas import CanvasAsked, CanvasChecked, check_canvas, reference_of
from refmatch.painting.form import from_bytes, to_bytes, to_dict
from refmatch.painting.model import Painting
from refmatch.painting.reckon import Reckoner
from refmatch.painting.store import create, read_painting, read_pictures, save
from refmatch.photo.light.balance import AskedLight
from refmatch.photo.load import load
from refmatch.photo.place import parse_place
from refmatch.plan.layers import GLAZE, Brushed, PaintLayer
from refmatch.say.canvas import sentences
from refmatch.say.sentence import sentence_of
from refmatch.sheet.canvas_file import check_page, write_page
from refmatch.sheet.compose import compose
from refmatch.target import DRY_PASSAGE

SAMPLES = Path(__file__).parents[2] / "sample_images"
PHOTO = SAMPLES / "garden-canvas.jpg"
TRUTH = json.loads((SAMPLES / "garden-canvas.json").read_text("utf-8"))


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    photo = SAMPLES / "garden-table.jpg"
    reckoner = Reckoner(load(photo))
    light = AskedLight("neutral", 1709.0, 1146.0, 38.0, lstar=49.5, keep_light=20.0)
    asked = Asked("Garden table", box_to_toml(built_in_box()), light=light)
    asked = replace(asked, holes=reckoner.mass_holes(asked, None)[:2])
    painting = reckoner.reckon(asked, "2026-01-01")
    folder = tmp_path_factory.mktemp("canvas") / "table"
    create(folder, photo, painting, reckoner.pictures(asked))
    return folder


@pytest.fixture
def folder(kept: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(kept, tmp_path / "table"))


def asked(folder: Path, **more) -> CanvasAsked:
    card = Places(neutral=parse_place(TRUTH["neutral"]["place"]), neutral_lstar=49.5)
    return CanvasAsked(PHOTO, folder, **{"places": card, **more})


def words(checked: CanvasChecked) -> dict[str, set[str]]:
    """Return in which directions each mass is said to be off."""
    return {
        one.region.label: {each.word for each in one.dimensions if each.verdict == OFF}
        for one in checked.regions
        if one.region.kind == MASS
    }


def test_the_sample_canvas_has_the_faults_that_were_painted(folder: Path) -> None:
    checked = check_canvas(asked(folder))
    apart = np.abs(checked.corners.px - np.array(TRUTH["corners_px"])).max()
    assert apart < 0.005 * 1600
    said = words(checked)
    assert "lighter" in said["dark yellow-green"]
    assert "redder" in said["ochre"]
    assert said["blue"] == {"duller"}
    faulty = {fault["mass"] for fault in TRUTH["faults"]}
    assert all(not said[label] for label in said.keys() - faulty)
    shadows = next(
        one
        for one in checked.regions
        if one.region.kind == STEP and (one.region.study, one.region.level) == (3, 0)
    )
    assert (shadows.value.word, shadows.value.verdict) == ("lighter", OFF)


def test_values_come_first_and_seven_sentences_are_the_most(folder: Path) -> None:
    said = sentences(check_canvas(asked(folder)).regions)
    assert said[0] == "The shadows are one value too light."
    assert len(said) <= 7


def test_a_hole_of_another_photo_is_not_looked_for_on_the_canvas(kept: Path) -> None:
    painting = read_painting(kept)
    first = replace(painting.targets[0], label="sky", x_px=20.0, y_px=20.0)
    reckoner = Reckoner(load(SAMPLES / "garden-table.jpg"))
    for photo, seen in (("", ["sky"]), ("orchard", [])):
        other = replace(painting, targets=(replace(first, photo=photo),))
        _, holes = reference_of(reckoner, other)
        assert [hole.label for hole in holes] == seen


def test_with_nothing_known_the_parts_are_judged_beside_each_other(folder: Path) -> None:
    checked = check_canvas(asked(folder, places=Places()))
    assert "canvas_light_unknown" in {flag.name for flag in checked.flags}
    assert "lighter" in words(checked)["dark yellow-green"]
    assert checked.way == ""


def test_a_sitting_is_kept_with_its_photo_untouched(folder: Path) -> None:
    check_canvas(asked(folder))
    painting = read_painting(folder)
    (look,) = painting.canvases
    data = PHOTO.read_bytes()
    assert (folder / look.photo.file).read_bytes() == data
    assert look.photo.sha256 == hashlib.sha256(data).hexdigest()
    assert "canvas" in painting.pictures
    assert from_bytes(to_bytes(painting)).canvases[0].regions[0].label == look.regions[0].label


def test_a_photo_looked_at_again_is_the_same_sitting(folder: Path) -> None:
    first = check_canvas(asked(folder))
    again = check_canvas(asked(folder))
    assert (first.sitting, again.sitting) == (1, 1)
    assert len(read_painting(folder).canvases) == 1
    assert again.since == ""


def test_what_changed_since_the_sitting_before_is_told(folder: Path, tmp_path: Path) -> None:
    """Of the same canvas, once as it was when the hedge was right and once as the photo has it."""
    check_canvas(asked(folder))
    painting = read_painting(folder)
    (look,) = painting.canvases
    regions = tuple(
        replace(row, lab=row.target_lab) if row.label == "dark yellow-green" else row
        for row in look.regions
    )
    before = replace(
        look, regions=regions, date="2026-01-01", photo=replace(look.photo, sha256="0" * 64)
    )
    save(folder, replace(painting, canvases=(before,)))
    checked = check_canvas(asked(folder))
    assert (checked.sitting, checked.since) == (2, "2026-01-01")
    told = {change.label: change for change in checked.changes}
    assert told["dark yellow-green"].word == "lighter"
    assert not told["dark yellow-green"].is_nearer
    assert "dull brown" not in told
    said = sentences(checked.regions, checked.since, checked.changes)
    assert said[-1] == "Since 1 January 2026: the dark yellow-green lighter, farther off."
    unlit = check_canvas(asked(folder, places=Places()))
    assert (unlit.since, unlit.changes) == ("", ())


def test_a_painting_without_sittings_is_saved_as_it_always_was(kept: Path) -> None:
    assert "canvases" not in to_dict(read_painting(kept))


def test_json_holds_no_array_and_every_region(folder: Path) -> None:
    checked = check_canvas(asked(folder))
    form = json.loads(json.dumps(envelope(canvas_form(checked), checked.all_flags)))
    assert len(form["regions"]) == len(checked.regions)
    assert form["words"] == list(sentences(checked.regions))
    assert form["way"] == "grey card"


def test_a_state_that_is_none_is_refused(folder: Path) -> None:
    with pytest.raises(UsageError, match="no_such_state"):
        check_canvas(asked(folder, state="damp"))


def test_the_next_sheet_has_the_canvas_and_so_has_a_page_by_itself(
    folder: Path, tmp_path: Path
) -> None:
    check_canvas(asked(folder))
    painting = read_painting(folder)
    content = compose(painting, read_pictures(folder, painting))
    assert content.canvas is not None
    assert content.canvas.words[0] == "The shadows are one value too light."
    assert [words for words, *_ in content.canvas.pictures] == [
        "as it is to be painted",
        "in three values",
        "in five values",
    ]
    assert "pictures" not in content_form(content)["canvas"]
    write_page(painting, folder, tmp_path / "canvas.pdf")
    with pymupdf.open(tmp_path / "canvas.pdf") as pdf:
        (page,) = pdf
        text = page.get_text()
        assert len(page.get_images()) == 6
    assert "The blue is too dull." in " ".join(text.split())
    for row in content.canvas.rows:
        assert row.label in text


@pytest.fixture(scope="module")
def named(kept: Path) -> tuple[Reckoner, Painting]:
    """The painting with its two holes called otherwise than the masses that they lie in."""
    painting = read_painting(kept)
    targets = [
        replace(target, label=label)
        for target, label in zip(painting.targets, ("board", "hedge"), strict=True)
    ]
    return Reckoner(load(SAMPLES / "garden-table.jpg")), replace(painting, targets=tuple(targets))


def test_holes_of_another_photo_have_no_place_on_the_canvas(
    named: tuple[Reckoner, Painting],
) -> None:
    reckoner, painting = named
    _, holes = reference_of(reckoner, painting)
    assert [hole.label for hole in holes] == ["board", "hedge"]
    board, hedge = painting.targets
    elsewhere = replace(painting, targets=(board, replace(hedge, photo="sky")))
    reference, holes = reference_of(reckoner, elsewhere)
    assert [hole.label for hole in holes] == ["board"]
    assert [one.label for one in regions_of(reference, holes) if one.kind == HOLE] == ["board"]


def test_a_dry_passage_is_held_against_the_photo_not_against_itself(
    named: tuple[Reckoner, Painting],
) -> None:
    reckoner, painting = named
    _, as_photographed = reference_of(reckoner, painting)
    board, hedge = painting.targets
    dry = replace(board, lab=np.array([80.0, 0.0, 60.0]), flags=(DRY_PASSAGE,))
    _, holes = reference_of(reckoner, replace(painting, targets=(dry, hedge)))
    assert holes[0].lab == pytest.approx(as_photographed[0].lab, abs=1e-6)


def test_other_photos_and_glazes_are_told(folder: Path) -> None:
    painting = read_painting(folder)
    board, hedge = painting.targets
    named = replace(board, label="cloud", photo="sky"), hedge
    brushed = Brushed(1, hedge.label, "none", 0.0, 0.5, (1.0, 3.0))
    glaze = PaintLayer(GLAZE, 20.0, (brushed,), 0.5, (1.0, 3.0), hedge.label)
    save(folder, replace(painting, targets=named, layers=(glaze,)))
    told = {flag.name: flag for flag in check_canvas(asked(folder)).all_flags}
    assert "“sky”" in sentence_of(told["canvas_other_photos"])
    assert "'dark yellow-green'" in sentence_of(told["canvas_before_glaze"])


def test_dull_paint_is_judged_as_it_looks_oiled_out(folder: Path) -> None:
    """Sunk paint is lighter than it will be, its darks above all (common practice, no source)."""

    def darkest(state: str) -> float:
        regions = check_canvas(asked(folder, state=state)).regions
        return min(float(one.lab[0]) for one in regions if one.region.kind == MASS)

    wet, dry, sunk = map(darkest, (WET, DRY, SUNK))
    assert sunk < dry < wet - 0.5


def test_a_sheen_over_the_darks_is_told_for_what_it_may_be(folder: Path, tmp_path: Path) -> None:
    """A veil of white light over the whole photo: darks grow lighter and greyer than they are."""
    with Image.open(PHOTO) as photo:
        veiled = Image.blend(photo, Image.new("RGB", photo.size, (235, 235, 235)), 0.16)
        veiled.save(tmp_path / "veiled.jpg", quality=92)
    place = {"places": Places(neutral=parse_place(TRUTH["neutral"]["place"]), neutral_lstar=49.5)}
    checked = check_canvas(CanvasAsked(tmp_path / "veiled.jpg", folder, **place))
    shine = [flag for flag in checked.all_flags if flag.name == "dark_may_shine"]
    assert "dark yellow-green" in " ".join(sentence_of(flag) for flag in shine)


def test_a_page_that_is_no_pdf_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="canvas_page_is_pdf"):
        check_page(tmp_path / "canvas.txt", replace=False)
