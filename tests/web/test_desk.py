"""A painting worked on step by step: each step saved, each taken back, none lost."""

from __future__ import annotations

import json
import os
import shutil
import signal
import time
from pathlib import Path

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.errors import (
    BoxError,
    HoleError,
    OutputError,
    PaintingError,
    RefmatchError,
    StaleRevision,
    UnknownTube,
    UsageError,
)
from refmatch.painting.record import rounds_of, with_round
from refmatch.painting.store import open_folder, save
from refmatch.say.light import light_words
from refmatch.web.page import sitting_shown
from refmatch.web.shelf import Shelf
from tests.apart import programs_apart
from tests.cli.running import planned
from tests.painting.rounds_example import look, round_of
from tests.refusals import refused

ROOT = Path(__file__).parents[2]
PHOTO = ROOT / "sample_images" / "garden-table.jpg"
CARD = {"method": "neutral", "x_px": 1709.0, "y_px": 1146.0, "diameter_px": 38.0}


def do(desk, change: str, **fields):
    revision = desk.sitting().painting.revision
    return desk.change(revision, change, fields)


def punched(desk, *places):
    return [do(desk, "punch", x_px=float(x), y_px=float(y))[1] for x, y in places]


def test_the_page_and_the_command_find_the_same_colours_and_recipes(desk, tmp_path):
    """One photo, one light, one hole: two doors to one room."""
    do(desk, "light", **CARD, keep_light_percent=20.0)
    do(desk, "punch", x_px=983.0, y_px=896.0, diameter_px=60.0)
    light = ("--neutral", "1709,1146,38", "--keep-light", 20)  # how light it is, neither says
    made = planned(tmp_path / "made", PHOTO, *light, "--hole", "983,896,60")
    shown = desk.sitting().painting
    assert np.array_equal(shown.targets[0].lab, made.targets[0].lab)
    assert shown.recipes[0].recipes[0].laid_out == made.recipes[0].recipes[0].laid_out
    assert light_words(shown.balance) == light_words(made.balance)


def test_every_step_is_on_the_disk_before_it_is_answered(desk):
    do(desk, "light", **CARD)
    for number in range(1, 4):
        sitting, _ = do(desk, "punch", x_px=300.0 * number, y_px=500.0)
        saved = open_folder(desk.folder).painting
        assert saved.revision == sitting.painting.revision
        assert len(saved.targets) == number
        assert saved.asked == sitting.painting.asked


def test_all_steps_are_undone_and_redone_to_the_same_states(desk):
    states = [desk.sitting().painting.asked]
    do(desk, "light", **CARD)
    states.append(desk.sitting().painting.asked)
    keys = punched(desk, (300, 500), (700, 800))
    do(desk, "move", hole=keys[0], x_px=320.0, y_px=510.0)
    do(desk, "name", hole=keys[0], label="jug")
    do(desk, "size", hole=keys[1], diameter_px=44.0)
    do(desk, "habits", hole=keys[1], without=["ultramarine"], insist=[])
    do(desk, "away", tubes=["burnt sienna"])
    do(desk, "options", tubes=3, finish="matt", lamp="A")
    do(desk, "crop", left_px=100, top_px=100, width_px=1500, height_px=1000)
    do(desk, "canvas", width_cm=60, height_cm=40, grid_cm=10)
    do(desk, "title", title="Breakfast")
    do(desk, "remove", hole=keys[0])
    last = desk.sitting()
    taken = 0
    while (sitting := desk.sitting()).undo:
        desk.undo(sitting.painting.revision)
        taken += 1
    assert taken == 13
    assert desk.sitting().painting.asked == states[0]
    assert not desk.sitting().painting.targets
    while (sitting := desk.sitting()).redo:
        desk.redo(sitting.painting.revision)
    again = desk.sitting()
    assert again.painting.asked == last.painting.asked
    assert (
        again.painting.recipes[0].recipes[0].laid_out
        == last.painting.recipes[0].recipes[0].laid_out
    )
    with refused(UsageError, match="nothing to redo"):
        desk.redo(again.painting.revision)


def test_undoing_goes_on_after_the_studio_was_closed(shelf, desk):
    punched(desk, (300, 500), (700, 800))
    other = Shelf(shelf.folder).open(desk.key)
    sitting = other.undo(other.sitting().painting.revision)
    assert len(sitting.painting.targets) == 1
    assert sitting.redo == "punch hole 2"


def test_a_stale_window_changes_nothing(desk):
    seen = desk.sitting().painting.revision
    punched(desk, (300, 500))
    with refused(StaleRevision, match="another window"):
        desk.change(seen, "punch", {"x_px": 10.0, "y_px": 10.0})
    assert len(open_folder(desk.folder).painting.targets) == 1


def test_another_program_at_the_same_folder_is_not_written_over(shelf, desk):
    punched(desk, (300, 500))
    seen = desk.sitting().painting.revision
    other = Shelf(shelf.folder).open(desk.key)
    other.change(other.sitting().painting.revision, "punch", {"x_px": 700.0, "y_px": 800.0})
    with pytest.raises(StaleRevision):
        desk.change(seen, "punch", {"x_px": 10.0, "y_px": 10.0})
    assert len(desk.sitting().painting.targets) == 2
    assert desk.sitting().undo == "punch hole 2"


def test_a_change_made_while_another_is_reckoned_is_seen(shelf, desk, monkeypatch):
    """Two steps of one number would leave a history that tells of neither."""
    seen = desk.sitting().painting.revision
    other = Shelf(shelf.folder).open(desk.key)
    reckon = desk.reckoner.reckon

    def slowly(*given):
        monkeypatch.undo()
        do(other, "title", title="Breakfast")
        return reckon(*given)

    monkeypatch.setattr(desk.reckoner, "reckon", slowly)
    with pytest.raises(StaleRevision):
        desk.change(seen, "title", {"title": "Supper"})
    lines = (desk.folder / "history.jsonl").read_text("utf-8").splitlines()
    steps = [json.loads(line) for line in lines]
    assert [step["set"]["title"] for step in steps] == ["Garden table", "Breakfast"]
    assert desk.sitting().redo is None


def test_an_answer_forgotten_meanwhile_is_given_all_the_same(desk):
    """Another thread may make room at any moment."""

    class Forgetful(dict):
        def __setitem__(self, key, value):
            super().__setitem__(key, value)
            self.clear()

    desk.reckoner._mixed = Forgetful()
    assert desk.reading(983.0, 896.0, 60.0, with_recipe=True)[1].recipes


def test_what_is_printed_is_of_one_moment(shelf, desk):
    """The photo on the sheet stands in the light that the sheet tells of, whoever changed it."""
    other = Shelf(shelf.folder).open(desk.key)
    desk.to_print()
    do(other, "light", **CARD)
    painting, pictures = desk.to_print()
    assert painting.balance.method == "neutral"
    assert pictures == open_folder(desk.folder).pictures


def test_a_folder_moved_away_is_told_and_put_back_is_gone_on_with(desk):
    punched(desk, (300, 500))
    away = desk.folder.rename(desk.folder.with_name("away"))
    with refused(PaintingError, match="moved or thrown away"):
        punched(desk, (700, 800))
    away.rename(desk.folder)
    assert desk.sitting().undo == "punch hole 1"


def test_another_photo_of_the_same_name_is_looked_at_anew(shelf, desk):
    """Phones call every photo alike; a painting thrown away leaves its name to the next."""
    before = desk.sitting()
    shutil.rmtree(desk.folder)
    orchard = shutil.copy(PHOTO.with_name("orchard-shade.jpg"), shelf.folder / PHOTO.name)
    key = shelf.new_from_photo(Path(orchard))
    assert key == desk.key
    punched(shelf.open(key), (300, 500))
    sitting = shelf.open(key).sitting()
    assert sitting.look != before.look, "a browser keeps pictures by their look"
    assert sitting.photo.sha256 != before.photo.sha256
    (target,) = sitting.painting.targets
    sample, _ = Shelf(shelf.folder).open(key).reading(300.0, 500.0, target.diameter_px)
    assert np.array_equal(target.lab, sample.lab)


def test_windows_hear_of_each_other(desk):
    heard = []
    stop = desk.listen(lambda revision, window: heard.append((revision, window)))
    sitting, _ = desk.change(
        desk.sitting().painting.revision, "punch", {"x_px": 10.0, "y_px": 10.0}, "left"
    )
    stop()
    punched(desk, (20, 20))
    assert heard == [(sitting.painting.revision, "left")]


def test_a_painting_that_a_command_planned_is_taken_on_as_it_is(shelf, tmp_path):
    folder = tmp_path / "planned"
    light = ("--crop", "100,50,1800,1200", "--neutral", "1609,1096,38", "--keep-light", 20)
    made = planned(folder, PHOTO, *light, "--hole", "883,846,60=pear", "--hole", "400,400")
    desk = shelf.open(shelf.open_folder(folder))
    punched(desk, (700, 700))
    desk.undo(desk.sitting().painting.revision)
    shown = desk.sitting().painting
    for before, after in zip(made.targets, shown.targets, strict=True):
        assert (before.label, before.x_px, before.y_px) == (after.label, after.x_px, after.y_px)
        assert delta_e_00(before.lab, after.lab) < 1e-6
    assert [a.recipes[0].laid_out for a in shown.recipes] == [
        a.recipes[0].laid_out for a in made.recipes
    ]


def test_a_hole_stays_on_its_thing_when_the_photo_is_cropped(desk):
    punched(desk, (900, 800))
    before = desk.sitting().painting.targets[0]
    sitting, _ = do(desk, "crop", left_px=600, top_px=500, width_px=800, height_px=600)
    after = sitting.painting.targets[0]
    assert (after.x_px, after.y_px) == (300.0, 300.0)
    assert np.allclose(after.lab, before.lab, atol=1e-9)


def test_a_hole_outside_the_crop_waits_for_another(desk):
    punched(desk, (100, 100), (900, 800))
    sitting, _ = do(desk, "crop", left_px=600, top_px=500, width_px=800, height_px=600)
    assert [target.x_px for target in sitting.painting.targets] == [300.0]
    sitting, _ = do(desk, "crop")
    assert len(sitting.painting.targets) == 2


def test_tubes_held_out_are_in_no_recipe_and_insisted_ones_in_all(desk):
    (key,) = punched(desk, (983, 896))
    first = desk.sitting().painting.recipes[0].recipes[0]
    used = next(portion.tube for portion in first.portions if "white" not in portion.tube)
    sitting, _ = do(desk, "habits", hole=key, without=[used], insist=["ultramarine"])
    for recipe in sitting.painting.recipes[0].recipes:
        tubes = {portion.tube for portion in recipe.portions}
        assert used not in tubes
        assert "ultramarine" in tubes


def test_what_is_not_on_the_table_is_in_no_recipe(desk):
    punched(desk, (983, 896), (700, 400))
    names = [tube.name for tube in desk.sitting().box.tubes]
    gone = [name for name in names if "white" not in name][::2]
    sitting, _ = do(desk, "away", tubes=gone)
    for answer in sitting.painting.recipes:
        for recipe in answer.recipes:
            assert not {portion.tube for portion in recipe.portions} & set(gone)


def test_a_chosen_recipe_is_the_one_on_the_sheet_until_it_is_no_longer_there(desk):
    (key,) = punched(desk, (983, 896))
    whys = [recipe.why for recipe in desk.sitting().painting.recipes[0].recipes]
    assert len(whys) > 1
    sitting, _ = do(desk, "choose", hole=key, why=whys[1])
    assert sitting.painting.chosen == (1,)


def test_the_masses_of_the_picture_are_punched_at_once(desk):
    sitting, _ = do(desk, "punch_masses", count=5)
    labels = [target.label for target in sitting.painting.targets]
    assert len(labels) == len(set(labels)) == 5
    assert abs(sum(target.share for target in sitting.painting.targets) - 1.0) < 1e-9
    assert do(desk, "punch_masses", count=5)[0].painting.revision == sitting.painting.revision


BAD = [
    ("punch", {}, UsageError, "'x_px' must be a number"),
    ("punch", {"x_px": "1", "y_px": 1.0}, UsageError, "must be a number"),
    ("punch", {"x_px": True, "y_px": 1.0}, UsageError, "must be a number"),
    ("punch", {"x_px": float("nan"), "y_px": 1.0}, UsageError, "must be a number"),
    ("punch", {"x_px": -1.0, "y_px": 1.0}, UsageError, "cannot be -1"),
    ("punch", {"x_px": 1e9, "y_px": 1.0}, UsageError, "cannot be 1e"),
    ("move", {"hole": "h9", "x_px": 1.0, "y_px": 1.0}, UsageError, "no longer there"),
    ("name", {"hole": "KEY", "label": "x" * 81}, UsageError, "too long"),
    ("name", {"hole": "KEY", "label": "7"}, UsageError, "give it a word"),
    ("title", {"title": "  "}, UsageError, "needs a title"),
    ("light", {"method": "moonlight"}, UsageError, "no way 'moonlight'"),
    ("light", {"method": "neutral"}, UsageError, "truly neutral"),
    ("light", {"method": "temperature"}, RefmatchError, "kelvin|temperature"),
    ("light", {"method": "as-shot", "keep_light_percent": 101.0}, UsageError, "cannot be 101"),
    ("crop", {"width_px": 10, "height_px": 10, "left_px": 0, "top_px": 0}, UsageError, "cannot be"),
    ("canvas", {"width_cm": 0, "height_cm": 10}, UsageError, "cannot be 0"),
    ("box", {"box": "../../etc/passwd"}, BoxError, "no such box"),
    ("away", {"tubes": ["moonstone"]}, UnknownTube, "moonstone"),
    ("away", {"tubes": "all"}, UsageError, "list of names"),
    (
        "habits",
        {"hole": "KEY", "without": ["ultramarine"], "insist": ["ultramarine"]},
        UsageError,
        "both insisted on and held out",
    ),
    ("options", {"tubes": 9}, UsageError, "cannot be 9"),
    ("options", {"finish": "wet"}, UsageError, "no finish"),
    ("options", {"easy_on_black": 1}, UsageError, "true or false"),
    ("fly", {}, UsageError, "no change 'fly'"),
]


@pytest.fixture(scope="module")
def one_hole(tmp_path_factory, begun):
    """A desk that no test changes, and the key of its only hole."""
    shelf = Shelf(tmp_path_factory.mktemp("shelf"))
    folder = shutil.copytree(begun, shelf.folder / begun.name)
    desk = shelf.open(shelf.open_folder(folder))
    return desk, *punched(desk, (983, 896))


@pytest.mark.parametrize(("change", "fields", "error", "says"), BAD)
def test_what_cannot_be_done_is_told_and_changes_nothing(one_hole, change, fields, error, says):
    desk, key = one_hole
    before = (desk.folder / "painting.json").read_bytes()
    history = (desk.folder / "history.jsonl").read_bytes()
    fields = {name: key if value == "KEY" else value for name, value in fields.items()}
    with refused(error, match=says):
        do(desk, change, **fields)
    assert (desk.folder / "painting.json").read_bytes() == before
    assert (desk.folder / "history.jsonl").read_bytes() == history


def test_two_holes_never_share_a_name(desk):
    one, other = punched(desk, (300, 500), (700, 800))
    do(desk, "name", hole=one, label="jug")
    with refused(UsageError, match="Another hole is called 'jug'"):
        do(desk, "name", hole=other, label="jug")


def test_a_reading_changes_nothing_and_equals_the_hole_punched_there(desk):
    before = (desk.folder / "painting.json").read_bytes()
    place = 983.2518, 896.75, 60.04  # as a screen has it: no whole pixels
    sample, answer = desk.reading(*place, with_recipe=True)
    assert (desk.folder / "painting.json").read_bytes() == before
    x_px, y_px, diameter_px = place
    sitting, _ = do(desk, "punch", x_px=x_px, y_px=y_px, diameter_px=diameter_px)
    assert np.array_equal(sitting.painting.targets[0].lab, sample.lab)
    told = sitting_shown(sitting)["holes"][0]
    again, _ = desk.reading(told["x_px"], told["y_px"], told["diameter_px"])
    assert np.array_equal(again.lab, sample.lab)
    assert sitting.painting.recipes[0].recipes[0].laid_out == answer.recipes[0].laid_out
    with pytest.raises(HoleError):
        desk.reading(-900.0, 896.0, 60.0)


def test_a_full_disk_leaves_the_painting_as_it_was(desk, monkeypatch):
    punched(desk, (300, 500))
    before = (desk.folder / "painting.json").read_bytes()

    def full(path, data):
        raise OutputError("The disk is full.")

    monkeypatch.setattr("refmatch.painting.states.write_whole", full)
    monkeypatch.setattr("refmatch.painting.store.write_whole", full)
    with refused(OutputError, match="full"):
        do(desk, "punch", x_px=700.0, y_px=800.0)
    monkeypatch.undo()
    assert (desk.folder / "painting.json").read_bytes() == before
    sitting, _ = do(desk, "punch", x_px=700.0, y_px=800.0)
    assert len(sitting.painting.targets) == 2
    assert len(desk.undo(sitting.painting.revision).painting.targets) == 1


def _punch_for_ever(folder: str, key: str, answered) -> None:
    desk = Shelf(Path(folder)).open(key)
    for i in range(10_000):
        sitting, _ = do(desk, "punch", x_px=float(10 + i), y_px=10.0)
        answered.value = len(sitting.painting.targets)
        key_of_it = sitting.painting.asked.holes[-1].key
        do(desk, "move", hole=key_of_it, x_px=float(10 + i), y_px=20.0)


def test_killed_at_any_moment_nothing_that_was_answered_is_lost(shelf, desk):
    programs = programs_apart()
    answered = programs.Value("i", 0)
    for seconds in (0.0, 0.013, 0.037, 0.081):
        child = programs.Process(
            target=_punch_for_ever, args=(str(shelf.folder), desk.key, answered)
        )
        before = answered.value
        child.start()
        while answered.value <= before:
            time.sleep(0.005)
        time.sleep(seconds)
        os.kill(child.pid, signal.SIGKILL)
        child.join()
        sitting = Shelf(shelf.folder).open(desk.key).sitting()
        assert len(sitting.painting.targets) >= answered.value
        assert json.loads((desk.folder / "painting.json").read_bytes())["step"] > 0
        assert sitting.undo


def test_what_was_seen_of_a_puddle_follows_its_hole(desk):
    """Holes without a name are called by their number, which another takes over."""
    first, second = punched(desk, (300, 500), (700, 800))
    painting = open_folder(desk.folder).painting
    for place in (0, 1):
        painting = with_round(painting, look(1), round_of(painting, place, look(1)))
    save(desk.folder, painting)
    do(desk, "remove", hole=first)
    assert [len(rounds_of(desk.sitting().painting, label)) for label in "12"] == [1, 0]
    do(desk, "name", hole=second, label="jug")
    kept = open_folder(desk.folder).painting
    assert np.array_equal(rounds_of(kept, "jug")[0].target_lab, painting.targets[1].lab)
    for _ in range(2):
        desk.undo(desk.sitting().painting.revision)
    assert [each.target for each in desk.sitting().painting.rounds] == ["1", "2"]
