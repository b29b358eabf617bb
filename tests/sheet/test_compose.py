"""What the sheet says: everything of the painting, in a painter's words, and nothing made up."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from refmatch.encode import content_form
from refmatch.errors import PaintingError
from refmatch.flag import Flag
from refmatch.painting.form import from_bytes, to_bytes
from refmatch.photo.load import Frame
from refmatch.sheet import text
from refmatch.sheet.compose import compose
from refmatch.sheet.formats import FORMATS
from refmatch.target import Target
from tests.painting import example
from tests.refusals import refused


def made(count: int = 8):
    return compose(example.painting(count), example.pictures())


def test_a_slip_tells_all_of_its_recipe():
    slip, recipe = made().slips[0], example.painting().recipes[0].recipes[0]
    assert [part.figure for part in slip.parts] == [str(laid.parts) for laid in recipe.laid_out]
    assert sum(part.share for part in slip.parts) == pytest.approx(1.0)
    assert [step.words for step in slip.steps] == [step.text for step in recipe.steps]
    assert slip.total == "39 parts by volume"
    assert np.array_equal(slip.mix, recipe.lab)
    assert len(slip.alternatives) == 2


def test_a_let_down_is_laid_out_in_its_own_colour():
    part = made().slips[0].parts[3]
    assert part.words.replace("\u00a0", " ") == "phthalo green let-down (1 : 9 white)"
    assert np.array_equal(part.lab, np.array(example.TUBES["phthalo green"][2], float))


def test_the_chosen_recipe_leads():
    painting = replace(example.painting(1), chosen=(1,))
    slip = compose(painting, example.pictures()).slips[0]
    assert np.array_equal(slip.mix, painting.recipes[0].recipes[1].lab)
    assert [other.why for other in slip.alternatives] == ["closest", "without black"]


def test_a_hole_that_is_only_a_number_is_called_by_its_hue():
    """Its number stands beside the name already: "1  1" tells the painter nothing."""
    painting = example.painting(1)
    olive = Target("1", np.array([44.0, -3.0, 31.0]))
    named = replace(olive, label="turning edge")
    for target, heading in ((olive, "olive"), (named, "turning edge")):
        content = compose(replace(painting, targets=(target,)), example.pictures())
        assert content.slips[0].label == heading


def test_a_text_sheet_does_not_speak_of_what_only_a_page_shows():
    assert "small dab" not in FORMATS["txt"](made(), "a4").decode()


def test_out_of_reach_is_said_on_the_slip():
    slips = made().slips
    assert [slip.number for slip in slips if slip.out_of_reach] == [4]
    assert "falls 6 short" in slips[3].out_of_reach


def test_a_target_without_a_recipe_still_has_its_slip():
    painting = example.painting(1)
    answer = replace(painting.recipes[0], recipes=(), in_gamut=False, reach=None)
    content = compose(replace(painting, recipes=(answer,)), example.pictures())
    assert content.slips[0].mix is None
    assert content.slips[0].out_of_reach == "Out of reach of these tubes."
    assert content.palette == ()


def test_flags_are_told_once():
    flag = Flag("uneven", "The hole is uneven.")
    painting = example.painting(1)
    target = replace(painting.targets[0], flags=(flag,))
    answer = replace(painting.recipes[0], flags=(flag,))
    content = compose(replace(painting, targets=(target,), recipes=(answer,)), example.pictures())
    assert content.slips[0].flags == ("The hole is uneven.",)


def test_flags_of_photo_and_light_are_told_on_the_cover():
    painting = replace(example.painting(1), flags=(Flag("untagged", "Taken as sRGB."),))
    assert compose(painting, example.pictures()).flags == ("Taken as sRGB.",)


def test_holes_are_placed_by_their_share_of_the_frame():
    painting = replace(example.painting(1), frame=Frame(50, 70, 600, 400))
    target = replace(painting.targets[0], x_px=150.0, y_px=300.0, diameter_px=12.0)
    mark = compose(replace(painting, targets=(target,)), example.pictures()).marks[0]
    assert (mark.x, mark.y, mark.diameter) == (0.25, 0.75, 0.02)


def test_the_same_folder_says_the_same():
    painting = example.painting()
    again = from_bytes(to_bytes(painting))
    first = compose(painting, example.pictures())
    second = compose(again, example.pictures())
    assert content_form(first) == content_form(second)
    assert FORMATS["txt"](first, "a4") == FORMATS["txt"](second, "a4")


def test_json_holds_every_word_and_figure():
    found = json.loads(json.dumps(content_form(made()), allow_nan=False))
    assert found["slips"][0]["target"] == [73.0, -6.0, 48.0]
    assert found["slips"][3]["out_of_reach"].startswith("Out of reach")
    assert "photo" not in found


def test_text_holds_every_slip_in_lines_of_80():
    written = text.write(made(20))
    assert max(len(line) for line in written.splitlines()) <= text.WIDTH
    for slip in made(20).slips:
        assert f"\n{slip.number}  {slip.label.upper()}" in written
    for words in ("PALETTE", "CARE", "LIGHT", "MASSES", "   24  titanium white", "(1 : 9 white)"):
        assert words in written


def test_a_painting_without_its_picture_is_told():
    with refused(PaintingError, match="no picture"):
        compose(example.painting(1), {})


def test_a_recipe_of_a_tube_that_is_not_there_is_told():
    painting = replace(example.painting(1), table=example.table()[1:])
    with refused(PaintingError, match="titanium white"):
        compose(painting, example.pictures())


def test_without_a_hole_nothing_is_said_to_be_laid_out():
    content = compose(example.painting(0), example.pictures())
    text = FORMATS["txt"](content, "a4").decode()
    assert "No hole is punched yet" in " ".join(text.split())
    assert "not needed" not in text
    assert FORMATS["pdf"](content, "a4").startswith(b"%PDF")
