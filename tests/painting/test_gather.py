"""From a photo on disk to a painting: what was found is what is kept."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image, ImageCms

from refmatch.colorimetry.lab import delta_e_00
from refmatch.errors import BoxError
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import box_from_toml
from refmatch.paint.kubelka_munk import Surface
from refmatch.painting import store
from refmatch.painting.gather import Findings, drawn, gather
from refmatch.photo import families, values
from refmatch.photo.light import as_shot
from refmatch.photo.load import load
from refmatch.photo.mask import Hole, sample
from refmatch.sheet.compose import compose
from refmatch.sheet.formats import FORMATS
from refmatch.target import Target
from tests.painting import example


@pytest.fixture(scope="module")
def found(tmp_path_factory) -> Findings:
    path = tmp_path_factory.mktemp("photo") / "pears.png"
    path.write_bytes(example.picture())
    photo = load(path, "10%,0,90%,100%")
    holes = (Hole(180.0, 350.0, 20.0, "pear"), Hole(600.0, 250.0, 20.0, "jug"))
    samples = tuple(sample(photo, as_shot(), hole) for hole in holes)
    targets = tuple(Target(s.label, s.lab, s.x_px, s.y_px, s.diameter_px) for s in samples)
    keys = ("titanium-white", "hansa-yellow", "burnt-sienna", "phthalo-green", "ultramarine-blue")
    return Findings(
        photo=photo,
        balance=as_shot(),
        samples=samples,
        families=families.find(photo, as_shot()),
        values=values.study(photo, as_shot(), 3),
        box=Box("garden table", tuple(built_in_tube(key) for key in keys)),
        targets=targets,
        answers=tuple(
            replace(answer, label=target.label)
            for answer, target in zip(example.painting(2).recipes, targets, strict=True)
        ),
    )


def test_what_was_found_is_kept(found):
    painting, pictures = gather(found, "Pears", "2026-11-24", "4:3"), drawn(found)
    assert painting.photo.sha256 == store.saved_photo(found.photo.path).sha256
    assert (painting.frame.left_px, painting.frame.width_px) == (90.0, 810.0)
    assert [hole.label for hole in painting.holes] == ["pear", "jug"]
    assert len(painting.families) == len(found.families.items)
    assert sum(mass.share for mass in painting.families) == pytest.approx(1.0)
    assert painting.values is not None
    assert painting.values.steps == found.values.values
    assert painting.finish == "gloss"
    assert set(pictures) == {"balanced", "values"}


def test_the_box_is_kept_whole(found):
    painting = gather(found, "Pears", "2026-11-24")
    again = box_from_toml(painting.box)
    for before, after in zip(found.box.tubes, again.tubes, strict=True):
        assert before.name == after.name
        assert np.array_equal(before.absorption, after.absorption)


def test_the_picture_has_the_photos_colours(found):
    pictures = drawn(found)
    with Image.open(io.BytesIO(pictures["balanced"])) as image:
        shown = np.asarray(image.convert("RGB"))[345:355, 175:185].mean(axis=(0, 1))
    assert shown == pytest.approx((184, 190, 104), abs=2.0)  # JPEG is not exact
    assert delta_e_00(found.targets[0].lab, lab_by_littlecms((184, 190, 104))) < 0.5


def lab_by_littlecms(rgb: tuple[int, int, int]) -> np.ndarray:
    """Return the D50 Lab of an sRGB colour by littleCMS, to whole numbers."""
    srgb, lab = ImageCms.createProfile("sRGB"), ImageCms.createProfile("LAB", 5000)
    way = ImageCms.buildTransform(srgb, lab, "RGB", "LAB", ImageCms.Intent.RELATIVE_COLORIMETRIC)
    seen = ImageCms.applyTransform(Image.new("RGB", (1, 1), rgb), way)
    assert seen is not None
    lightness, *others = np.frombuffer(seen.tobytes(), np.uint8).astype(float)
    signed = [value - 256.0 if value > 127.0 else value for value in others]
    return np.array([lightness * 100.0 / 255.0, *signed])


def test_neighbours_are_told_by_number(found):
    painting = gather(found, "Pears", "2026-11-24")
    assert painting.words[0].neighbours == ()
    assert painting.words[1].neighbours[0].startswith("2 is ")
    assert painting.words[1].neighbours[0].endswith(" than 1.")
    assert "darker" in painting.words[1].neighbours[0]


def test_a_matt_box_is_called_matt(found):
    matt = replace(found, box=replace(found.box, surface=Surface(f=1.0)))
    assert gather(matt, "Pears", "2026-11-24").finish == "matt"


def test_a_gathered_painting_goes_through_its_folder(found, tmp_path):
    painting, pictures = gather(found, "Pears", "2026-11-24"), drawn(found)
    painting = replace(painting, table=(*painting.table, *example.table()))
    first = FORMATS["pdf"](compose(painting, pictures), "a4")
    store.create(tmp_path / "pears", found.photo.path, painting, pictures)
    again = store.open_folder(tmp_path / "pears")
    assert FORMATS["pdf"](compose(again.painting, again.pictures), "a4") == first


def test_a_box_without_white_is_left_to_the_solver(found):
    whiteless = replace(found, box=replace(found.box, tubes=found.box.tubes[1:]))
    painting = gather(whiteless, "Pears", "2026-11-24")
    assert len(painting.table) == 4
    with pytest.raises(BoxError):
        _ = whiteless.box.white
