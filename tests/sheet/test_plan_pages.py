"""The plan on the sheet says what ``recipe.whole_plan`` found, in every form."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pymupdf
import pytest

from refmatch.cli.main import app
from refmatch.cli.remedies import REMEDIES
from refmatch.encode import content_form
from refmatch.errors import UsageError
from refmatch.painting.asked import AskedPlan
from refmatch.sheet import pdf, text
from refmatch.sheet.palette_pages import SPACING, spread
from refmatch.sheet.plan_content import KeyLine
from tests.painting.rounds_example import boxed, keep
from tests.refusals import refused
from tests.sheet.cases import content, mixed_by_a_plan, planned


@pytest.fixture(scope="module")
def plan():
    shown = planned().plan
    assert shown
    return shown


def drawn(lines: tuple[KeyLine, ...], side: str) -> list[float]:
    return [float(getattr(line, side)[0]) for line in lines]


def test_the_ladder_falls_from_light_to_dark_before_and_after_the_key(plan):
    for side in ("before", "after"):
        values = drawn(plan.key.lines, side)
        assert values == sorted(values, reverse=True)
    moved = [line for line in plan.key.lines if not np.array_equal(line.before, line.after)]
    assert [line.number for line in moved] == [4, 7]
    assert all("→" in line.values for line in moved)


def test_it_says_what_the_puddles_and_the_slips_aim_at(plan):
    assert "The key is on" in plan.key.aim
    assert "slips and puddles aim at the keyed colours" in plan.key.aim


def test_what_the_camera_lost_is_told_beside_its_rung(plan):
    (lost,) = (line for line in plan.key.lines if line.cautions)
    assert lost.number == 7
    assert "the photo does not know" in lost.cautions[0]


def test_every_slip_has_its_puddle_and_what_is_drawn_stands_below_its_mother(plan):
    numbers = [line.number for line in plan.work if line.number]
    assert sorted(numbers) == list(range(1, 9))
    for line in plan.work:
        assert line.drawn_from is None or line.drawn_from < line.order


def test_amounts_are_told_in_words_millilitres_and_centimetres(plan):
    assert "40 × 30 cm" in plan.amounts_words
    assert all("ml" in tube.amount and "cm squeezed" in tube.amount for tube in plan.tubes)


def test_the_cover_lays_out_as_much_of_each_tube_as_the_plan_tells(plan):
    """One amount for a tube in one PDF: the canvas's, not that of puddles alike."""
    made = planned()
    assert "40 × 30 cm" in made.palette_words
    told = {tube.tube: tube.amount for tube in plan.tubes}
    for squeeze in made.palette:
        assert told[squeeze.tube].startswith(f"{squeeze.size}: ")


def test_every_form_tells_it(plan):
    made = planned()
    pages = [page.get_text() for page in pymupdf.open(stream=pdf.write(made))]
    told = "".join(page for page in pages if "plan, page" in page)
    written = text.write(made)
    assert max(len(line) for line in written.splitlines()) <= text.WIDTH
    for heading in ("The key", "The palette", "The order of work", "Strings"):
        assert heading in told
    for heading in ("THE KEY", "THE PALETTE", "THE ORDER OF WORK", "A STRING"):
        assert f"PLAN: {heading}" in written
    assert made.plan.key.lines[-1].number == 7


def test_without_being_asked_no_form_speaks_of_a_plan():
    made = content(2)
    assert "plan" not in content_form(made)
    assert "PLAN" not in text.write(made)
    pages = pymupdf.open(stream=pdf.write(made))
    assert not any("plan, page" in page.get_text() for page in pages)


def test_a_plan_without_what_may_be_missing_is_drawn(plan):
    """A box may hold no palette of the trade, a picture no string, and a plan no amounts."""
    bare = replace(plan, known=(), prices=(), strings=(), glazes=(), reaches=plan.reaches[:1])
    assert pymupdf.open(stream=pdf.write(replace(planned(), plan=bare))).page_count > 3


def test_numbers_beside_the_picture_keep_apart_and_stay_beside_it():
    downs = spread([5.0, 5.0, 6.0, 99.0, 99.0], 8.0, 100.0)
    assert min(np.diff(downs)) >= SPACING - 1e-9
    assert downs[0] >= 8.0
    assert downs[-1] <= 100.0


def test_a_folder_is_printed_as_it_is_with_its_plan(tmp_path):
    painting = mixed_by_a_plan(boxed(3), AskedPlan(keyed=False), None)
    folder, out = keep(tmp_path / "pears", painting), tmp_path / "sheet.txt"
    app(["sheet", str(folder), "--out", str(out)], standalone_mode=False)
    told = " ".join(out.read_text("utf-8").split())
    assert "PLAN: THE KEY" in told
    assert "The key is off" in told


def test_what_belongs_to_a_plan_is_refused_without_one(tmp_path):
    folder = keep(tmp_path / "pears", boxed(1))
    words = ["sheet", str(folder), "--out", str(tmp_path / "sheet.txt"), "--palette", "5"]
    with refused(UsageError, match="add --plan", remedies=REMEDIES):
        app(words, standalone_mode=False)
