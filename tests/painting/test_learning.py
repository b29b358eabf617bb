"""A painting's box that learns from its dabs, in the virtual studio: kept, and taken back."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refmatch.cli.box_learn import write_learnt
from refmatch.colorimetry.lab import delta_e_00
from refmatch.errors import OutputError, PaintingError
from refmatch.paint.box_file import box_from_toml, box_to_toml, read_box, write_box
from refmatch.painting.form import from_bytes, to_bytes
from refmatch.painting.history import read_history
from refmatch.painting.learning import (
    LEARNT,
    TAKEN_BACK,
    keep_text,
    kept_text,
    learn_box,
    learn_if_on,
    standing,
    switch,
    take_back,
)
from refmatch.painting.states import NAME
from refmatch.painting.store import read_painting, save
from refmatch.recipe.mixture import Palette
from refmatch.say.sentence import sentence_of
from refmatch.web.shelf import Shelf
from tests.painting.learning_example import COUNT, a_table, looked_at, planned
from tests.painting.learning_example import kept as kept_in
from tests.refusals import refused
from tests.virtual_studio.piles import DAB_IN_SHADE, GREY_AND_PAINT, random_piles

PHOTO = Path(__file__).parents[2] / "sample_images" / "garden-table.jpg"
LOOKED = 5


@pytest.fixture(scope="module")
def table():
    return a_table()


@pytest.fixture(scope="module")
def plan(table):
    return planned(table)


@pytest.fixture(scope="module")
def seen(table, plan):
    """The plan with its first five piles looked at, beside a chart."""
    for place in range(LOOKED):
        plan = looked_at(plan, table, place)
    return plan


@pytest.fixture
def folder(tmp_path, seen):
    return kept_in(tmp_path / "pears", seen)


@pytest.fixture(scope="module")
def once(tmp_path_factory, seen):
    """A folder whose box has learnt, for copies of it, and what was found."""
    folder = kept_in(tmp_path_factory.mktemp("once") / "pears", seen)
    return folder, learn_box(folder)


@pytest.fixture
def learnt(tmp_path, once):
    """A copy of the folder that has learnt."""
    return Path(shutil.copytree(once[0], tmp_path / "learnt"))


def misses(text, table):
    mixes = random_piles(79, 40)
    box = box_from_toml(text)
    return delta_e_00(Palette.of(box.tubes, box.surface).lab(mixes), table.lab(mixes))


def test_the_box_comes_nearer_to_the_painters_tubes(once, seen, table):
    folder, found = once
    assert len(found.taken) >= LOOKED - 1
    after = read_painting(folder)
    assert np.median(misses(after.box, table)) < 0.6 * np.median(misses(seen.box, table))
    assert after.learnings == (found.update,)
    assert found.painting.box == after.box
    told = {each.tube: each for each in found.changes}
    assert set(told) <= {tube.name for tube in table.box.tubes}
    assert all(each.words.startswith(f"your {name} is ") for name, each in told.items())


def test_what_is_told_of_strength_is_what_the_tubes_truly_are(once, table):
    """The true tube over the one assumed, of every tube that is told to differ for certain."""
    told = [each for each in once[1].changes if each.is_other and each.words.count(" % ")]
    true = dict(
        zip([tube.name for tube in table.studio.tubes], table.studio.absorption, strict=True)
    )
    strengths = [each for each in told if each.strength_percent is not None]
    assert strengths
    for each in strengths:
        assumed = table.box.tube(each.tube).absorption.sum()
        ratio = true[each.tube].sum() / assumed
        assert (ratio > 1.0) == (each.strength_percent > 0.0)


def test_targets_not_begun_are_mixed_anew_and_piles_stay(once, seen):
    folder, found = once
    after = read_painting(folder)
    for one, other in zip(after.recipes[:LOOKED], seen.recipes[:LOOKED], strict=True):
        assert [each.portions for each in one.recipes] == [each.portions for each in other.recipes]
    assert found.mixed_anew == tuple(each.label for each in seen.targets[LOOKED:])
    moved = [
        one.recipes[0].portions != other.recipes[0].portions
        for one, other in zip(after.recipes[LOOKED:], seen.recipes[LOOKED:], strict=True)
    ]
    assert any(moved)


def test_learning_twice_changes_nothing(learnt):
    before = (learnt / NAME).read_bytes()
    again = learn_box(learnt)
    assert again.update is None
    assert (learnt / NAME).read_bytes() == before


def test_an_update_is_taken_back_to_the_byte(folder, learnt):
    took = take_back(learnt)
    after = read_painting(learnt)
    assert after.learnings == (took.update,)
    before = replace(read_painting(folder), step=after.step)  # both were steps of its history
    assert to_bytes(replace(after, learnings=())) == to_bytes(before)
    with refused(PaintingError, match="learnt nothing"):
        take_back(learnt)


def test_updates_stand_on_each_other_and_go_one_by_one(once, learnt, table):
    first = once[1].update
    save(learnt, looked_at(read_painting(learnt), table, LOOKED))
    second = learn_box(learnt).update
    assert second.base == first.base
    assert second.before == first.after
    now = read_painting(learnt)
    assert list(standing(now.box, now.learnings)) == [second, first]
    take_back(learnt)
    assert read_painting(learnt).box == kept_text(learnt, first.after)


def test_what_was_taken_back_is_learnt_again_only_when_asked(learnt):
    switch(learnt, on=True)
    assert learn_if_on(learnt).update is None
    take_back(learnt)
    held = learn_if_on(learnt)
    assert held.update is None
    assert {each.why for each in held.left_out} == {"taken_back"}
    assert learn_box(learnt).update is not None


def test_a_painting_learns_by_itself_only_when_switched_on(folder):
    before = (folder / NAME).read_bytes()
    assert learn_if_on(folder) is None
    assert (folder / NAME).read_bytes() == before
    assert switch(folder, on=True).learns
    assert not switch(folder, on=False).learns


def test_one_photo_is_held_back_and_the_box_stays(tmp_path, plan, table):
    folder = kept_in(tmp_path / "one", looked_at(plan, table, 0))
    found = learn_box(folder)
    assert found.update is None
    assert found.taken == ()
    assert "another day, agrees" in sentence_of(found.held_back[0].flag)
    save(folder, looked_at(read_painting(folder), table, 0))
    assert len(learn_box(folder).held_back) == 2


def test_a_wrong_photo_and_a_sunk_dab_are_left_out_with_their_reasons(tmp_path, seen, table):
    painting = looked_at(seen, table, LOOKED, wrong=DAB_IN_SHADE)
    painting = looked_at(painting, table, LOOKED + 1, state="sunk")
    folder = kept_in(tmp_path / "wrong", painting)
    found = learn_box(folder)
    whys = {each.look: each.why for each in found.left_out}
    shaded, sunk = (look.photo.sha256 for look in painting.looks[-2:])
    assert whys[shaded] == "surprising"
    assert whys[sunk] == "sunk"
    assert found.update.left_out == found.left_out


def test_white_and_black_beside_a_grey_card_teach_too(tmp_path, plan, table):
    for place in range(LOOKED):
        plan = looked_at(plan, table, place, way=GREY_AND_PAINT)
    folder = kept_in(tmp_path / "grey", plan)
    found = learn_box(folder)
    assert {tube.name for tube in table.box.tubes[:2]} <= {each.tube for each in found.changes}


def test_a_box_that_has_learnt_serves_other_paintings(once, tmp_path):
    found = once[1]
    out = tmp_path / "learnt.toml"
    write_learnt(found.painting, out)
    assert box_to_toml(read_box(out)) == found.painting.box
    with refused(OutputError, match="already there"):
        write_learnt(found.painting, out)


def test_on_the_page_learning_is_a_step_that_can_be_undone(tmp_path, seen):
    folder = kept_in(tmp_path / "page", seen)
    after = learn_box(folder).painting
    assert after.asked.box == after.box
    history = read_history(folder)
    assert history.said(after.step) == LEARNT
    assert history.asked(history.before(after.step).number).box == seen.box
    back = take_back(folder).painting
    assert back.asked.box == seen.box
    assert read_history(folder).said(back.step) == TAKEN_BACK


def test_the_page_goes_on_from_what_was_learnt(tmp_path, table):
    shelf = Shelf(tmp_path / "paintings")
    desk = shelf.open(shelf.new_from_photo(PHOTO))
    (shelf.folder / "boxes").mkdir()
    write_box(shelf.folder / "boxes" / "five.toml", table.box)
    do(desk, "box", box=next(key for key in shelf.boxes() if key.startswith("own-")))
    do(desk, "punch", x_px=300.0, y_px=500.0)
    do(desk, "punch", x_px=700.0, y_px=800.0)
    planned = read_painting(desk.folder)
    looked = looked_at(planned, table, 0, date="2026-11-27")
    looked = looked_at(looked, table, 0, date="2026-11-28")
    save(desk.folder, looked)
    learnt = learn_box(desk.folder)
    assert len(learnt.taken) == 2
    shown = desk.sitting()
    assert shown.undo == LEARNT
    assert shown.painting.box == learnt.painting.box
    titled = do(desk, "title", title="Breakfast").painting
    assert titled.learnings == learnt.painting.learnings
    assert titled.recipes[0].recipes[0].portions == planned.recipes[0].recipes[0].portions
    assert titled.recipes[1].recipes[0].portions == learnt.painting.recipes[1].recipes[0].portions
    for _ in range(2):
        desk.undo(desk.sitting().painting.revision)
    back = read_painting(desk.folder)
    assert back.box == planned.box
    assert len(back.rounds) == 2
    assert list(standing(back.box, back.learnings)) == []


def do(desk, change, **fields):
    return desk.change(desk.sitting().painting.revision, change, fields)[0]


def test_nothing_looked_at_is_told(tmp_path, plan):
    folder = kept_in(tmp_path / "none", plan)
    with refused(PaintingError, match="nothing to learn from"):
        learn_box(folder)


def test_a_kept_box_that_is_gone_or_changed_is_told(folder, seen):
    mark = keep_text(folder, seen.box)
    path = folder / mark.file
    path.write_bytes(path.read_bytes() + b"\n")
    with refused(PaintingError, match="has changed"):
        kept_text(folder, mark)
    path.unlink()
    with refused(PaintingError, match="is gone"):
        kept_text(folder, mark)
    with refused(PaintingError, match="outside"):
        kept_text(folder, replace(mark, file="boxes/../painting.json"))


def test_what_was_learnt_survives_saving(once):
    painting = once[1].painting
    assert from_bytes(to_bytes(painting)).learnings == painting.learnings
    assert len(painting.targets) == COUNT
