"""The tutor's lesson on the sheet says what ``recipe.nudge`` teaches of the painting's own box."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pymupdf
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.encode import content_form
from refmatch.errors import BoxError
from refmatch.painting.asked import Asked
from refmatch.painting.own_box import box_of
from refmatch.recipe.mixture import predict
from refmatch.recipe.moves import LEAST_DELTA_E_00, directions_of
from refmatch.sheet import pdf, text
from refmatch.sheet.compose import Wanted, compose, lessons
from tests.painting import example
from tests.painting.rounds_example import box_text, boxed
from tests.sheet.cases import nudged


@pytest.fixture(scope="module")
def taught():
    return lessons(boxed(3))


def test_there_is_a_lesson_for_each_recipe(taught):
    assert [lesson.number for lesson in taught] == [1, 2, 3]
    for lesson in taught:
        assert [nudge.direction for nudge in lesson.nudges] == list(directions_of(lesson.mix))
        alone, black, *dulling = (nudge.direction for nudge in lesson.instead)
        assert (alone, black) == ("white alone", "black alone")
        assert all(label.startswith("duller by ") for label in dulling)


def test_the_mix_is_the_recipes_own_in_this_box(taught):
    painting = boxed(3)
    box = box_of(painting)
    for lesson, answer in zip(taught, painting.recipes, strict=True):
        portions = answer.recipes[0].portions
        tubes, parts = [box.tube(p.tube) for p in portions], [p.parts for p in portions]
        assert np.allclose(lesson.mix, predict(tubes, parts, box.surface), atol=1e-9)


def test_a_nudge_goes_its_way_and_is_seen_in_print(taught):
    for lesson in taught:
        moved = {nudge.direction: nudge.lab for nudge in lesson.nudges}
        for direction, sign in (("lighter", 1), ("darker", -1)):
            if moved[direction] is not None:
                assert sign * (moved[direction][0] - lesson.mix[0]) > 0.0
                far = delta_e_00(moved[direction], lesson.mix)
                assert far >= LEAST_DELTA_E_00


def test_white_alone_costs_a_yellow_its_chroma(taught):
    """White lightens, and dulls: what is called chalky (common practice, no source)."""
    white, black, *_ = taught[0].instead
    assert "chalky" in white.words
    assert "ΔC*\u00a0−" in white.differences
    assert black.words == "There is no black among these tubes."
    assert black.lab is None


def test_tubes_that_are_not_on_the_table_teach_nothing():
    painting = replace(boxed(1), asked=Asked("Pears", box_text(), away=("hansa yellow",)))
    (lesson,) = lessons(painting)
    assert not any("hansa yellow" in nudge.words for nudge in lesson.nudges)
    assert any("hansa yellow" in nudge.words for nudge in lessons(boxed(1))[0].nudges)


def test_a_box_that_cannot_be_read_is_told_only_where_it_is_needed():
    assert not compose(example.painting(1), example.pictures()).lessons
    with pytest.raises(BoxError):
        compose(example.painting(1), example.pictures(), Wanted(nudges=True))


def test_every_form_tells_it():
    made = nudged()
    pages = [page.get_text() for page in pymupdf.open(stream=pdf.write(made))]
    assert sum("nudges, page" in page for page in pages) == 2
    written = text.write(made)
    assert max(len(line) for line in written.splitlines()) <= text.WIDTH
    assert "NUDGES" in written
    assert "white alone:" in written
    told = content_form(made)["lessons"]
    ways = [each["direction"] for each in told[1]["nudges"]]
    assert ways[:6] == ["lighter", "darker", "warmer", "cooler", "duller", "stronger"]
    greys = [step for lesson in told for step in lesson["to_grey"]]
    assert greys
    assert all({"parts", "lab", "value", "holds", "words"} == set(step) for step in greys)
    assert "to grey:" in written
    assert "black alone" in "".join(pages)
    assert sum("strings to grey, page" in page for page in pages) == 1


def test_a_string_to_grey_is_what_its_parts_make(taught):
    """Its chroma falls at each step, whatever the box can do."""
    for lesson in taught:
        labs = [lesson.mix, *(step.lab for step in lesson.to_grey)]
        assert np.all(np.diff([np.hypot(lab[1], lab[2]) for lab in labs]) < 0.0)
        assert all(" of the puddle and " in step.words for step in lesson.to_grey)


def test_without_being_asked_no_form_speaks_of_nudges():
    made = compose(boxed(3), example.pictures())
    pages = pymupdf.open(stream=pdf.write(made))
    assert not any("nudges, page" in page.get_text() for page in pages)
    assert "NUDGES" not in text.write(made)


def test_what_has_no_string_to_grey_takes_no_page_for_saying_so():
    made = nudged()
    words = "This puddle is a grey already."
    bare = tuple(replace(one, to_grey=(), to_grey_words=words) for one in made.lessons)
    pages = pymupdf.open(stream=pdf.write(replace(made, lessons=bare)))
    told = [page.get_text() for page in pages]
    assert not any("strings to grey, page" in page for page in told)
    assert sum(page.count(words) for page in told if "nudges, page" in page) == len(bare)
