"""Checking on the page: a photo on the table, dabs pointed to, what was done, what moves it."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refmatch.cli.remedies import REMEDIES as PROMPT
from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.dabs.beside import parts_of
from refmatch.dabs.fuse import predict_piles
from refmatch.dabs.spots import black_of
from refmatch.errors import (
    BoxError,
    CardError,
    PaintingError,
    PhotoError,
    StaleRevision,
    UsageError,
)
from refmatch.flag import Flag
from refmatch.paint.box_file import built_in_box
from refmatch.painting.check import dab_card_of
from refmatch.painting.own_box import box_of
from refmatch.painting.record import belief_now, pile_now, rounds_of
from refmatch.painting.store import read_painting
from refmatch.recipe.mixture import predict
from refmatch.recipe.moves import directions_of
from refmatch.say.sentence import sentence_of
from refmatch.target import parse_colour
from refmatch.web import check_table as dab_card
from refmatch.web.check_table import lesson_on
from refmatch.web.checking import MOST_KEPT, Checking, Checkings, check_asked
from refmatch.web.remedies import REMEDIES
from refmatch.web.shelf import Shelf
from tests.refusals import refused
from tests.virtual_studio.camera import camera_of, grey
from tests.virtual_studio.table_photo import photographed_on_table

SAMPLES = Path(__file__).parents[2] / "sample_images"
PHOTO = SAMPLES / "garden-table.jpg"
PLACES = {
    each["label"]: each for each in json.loads(PHOTO.with_suffix(".json").read_text())["places"]
}
JUG, PLUM = "jug in the light", "plum"
TOO_MUCH = 3.0
"""So many times its darkest tube lies in the jug's puddle: a grey card tells its value best."""


def do(desk, change, **fields):
    return desk.change(desk.sitting().painting.revision, change, fields)[1]


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    """A painting with two named holes."""
    shelf = Shelf(tmp_path_factory.mktemp("shelf"))
    desk = shelf.open(shelf.new_from_photo(PHOTO))
    for label in (JUG, PLUM):
        place = {key: PLACES[label][key] for key in ("x_px", "y_px", "diameter_px")}
        do(desk, "name", hole=do(desk, "punch", **place), label=label)
    return desk


@pytest.fixture(scope="module")
def photo(desk, tmp_path_factory):
    """A photo of the jug's puddle, too dark, beside what is known; places; the true Lab."""
    painting, box = desk.sitting().painting, desk.sitting().box
    parts = dict(pile_now(painting, JUG).parts)
    darkest = min(parts, key=lambda tube: predict([box.tube(tube)], [1.0])[0])
    parts[darkest] *= TOO_MUCH
    piles = {"dab": parts, "white": {box.white.name: 1.0}, "black": {black_of(box).name: 1.0}}
    rows = np.stack([parts_of(box, tuple(pile.items())) for pile in piles.values()])
    surfaces = dict(zip(piles, predict_piles(box, rows).reflectance, strict=True))
    path = tmp_path_factory.mktemp("dabs") / "dabs.jpg"
    surfaces["grey"] = grey(49.5)
    places = photographed_on_table(path, surfaces, camera_of("D50", 4), 4)
    told = {name: _place(*map(float, place.split(","))) for name, place in places.items()}
    return path, told, reflectance_to_lab(surfaces["dab"])


def _place(x_px, y_px, diameter_px):
    return {"x_px": x_px, "y_px": y_px, "diameter_px": diameter_px}


def asked(desk, table, places, **more):
    hole = desk.sitting().holes[0].key
    given = {"photo": table["photo"]["key"], "way": "pointed", "hole": hole, "places": places}
    return given | {"state": "wet", "light": "", "grey_lstar": 49.5} | more


@pytest.fixture(scope="module")
def judged(desk, photo):
    """The dab pointed to and judged: the checks, what came, and what listeners were told."""
    path, places, _ = photo
    checking, heard = Checking(), []
    desk.listen(lambda revision, window: heard.append((revision, window)))
    before = desk.sitting().painting.revision
    laid = checking.lay(desk, path)
    kept = list(desk.folder.glob("checks/*"))
    table = checking.judge(desk, asked(desk, laid, places), "this window")
    return checking, table, {"before": before, "heard": heard, "kept": kept}


def test_the_dab_is_judged_put_on_record_and_every_window_told(desk, photo, judged):
    _, table, about = judged
    puddle, other = table["puddles"]
    (shown,) = puddle["rounds"]
    (only,) = read_painting(desk.folder).rounds
    assert table["judged"] == [puddle["hole"]]
    assert not other["rounds"]
    assert shown["colour"]["lab"] == pytest.approx(only.lab, abs=1e-4)
    off = only.lab - photo[2]
    assert off @ np.linalg.solve(only.covariance, off) < 16.3  # once in a thousand (chi2, 3)
    assert (shown["verdict"], bool(shown["corrections"])) == ("off", True)
    assert only.look.startswith(shown["photo"])
    assert about["heard"][-1] == (table["revision"], "this window")
    assert table["revision"] > about["before"]


def test_the_photo_is_in_the_painting_only_once_a_dab_in_it_is_judged(desk, photo, judged):
    checking, table, about = judged
    assert not about["kept"]
    (kept,) = desk.folder.glob("checks/*")
    assert kept.read_bytes() == photo[0].read_bytes()
    assert kept.stem == table["photo"]["key"]
    again = Checking().picture(desk, table["photo"]["key"])
    assert again == checking.picture(desk, table["photo"]["key"])
    with refused(PaintingError, match="no longer there"):
        checking.picture(desk, "../painting")


def test_what_was_told_is_done_and_taken_back(desk, judged):
    checking, table, _ = judged
    hole, last = table["puddles"][0]["hole"], read_painting(desk.folder).rounds[-1]
    spoken = {"hole": hole, "pile": last.pile, "number": last.number}
    after = checking.did(desk, spoken | {"correction": 1})["puddles"][0]
    added = sum(addition.parts for addition in last.corrections[0].additions)
    held = sum(parts for _, parts in last.parts)
    kept = held / 3.0 if last.divide else held
    assert after["now"]["parts"] == pytest.approx(kept + added)
    assert after["now"]["next_look"] == last.number + 1
    else_done = spoken | {"added": [{"name": "core", "parts": 0.5}], "divided": True}
    after = checking.did(desk, else_done)["puddles"][0]
    assert after["now"]["parts"] == pytest.approx(held / 3.0 + 0.5, abs=1e-4)
    after = checking.did(desk, spoken | {"anew": True})["puddles"][0]
    assert after["now"]["pile"] == last.pile + 1
    at_hand = checking.table(desk)["puddles"][1]["at_hand"]
    assert f"{JUG}, left over" in [paint["name"] for paint in at_hand]
    assert checking.take_back(desk, spoken)["puddles"][0]["rounds"][-1]["done"] is None


@pytest.mark.parametrize("kind", ["tube", "let-down", "core"])
def test_what_is_offered_as_added_can_be_added(desk, judged, kind):
    checking, table, _ = judged
    puddle = table["puddles"][0]
    spoken = {"hole": puddle["hole"], "pile": 1, "number": 1}
    assert {paint["kind"] for paint in puddle["at_hand"]} == {"tube", "let-down", "core"}
    name = [paint["name"] for paint in puddle["at_hand"] if paint["kind"] == kind][-1]
    after = checking.did(desk, spoken | {"added": [{"name": name, "parts": 1}]})
    assert after["puddles"][0]["rounds"][-1]["done"]["additions"][0]["name"] == name
    checking.take_back(desk, spoken)


def test_a_step_taken_back_leaves_the_record_as_it_is(desk, judged):
    painting = desk.sitting().painting
    do(desk, "title", title="Under the pear tree")
    desk.undo(desk.sitting().painting.revision)
    after = desk.sitting().painting
    assert after.title == painting.title
    assert [each.look for each in rounds_of(after, JUG)] == [
        each.look for each in rounds_of(painting, JUG)
    ]


def test_a_dab_of_a_target_that_has_moved_since_is_told_so(desk, judged):
    checking, table, _ = judged
    hole = desk.sitting().holes[0]
    assert not table["puddles"][0]["has_other_target"]
    do(desk, "move", hole=hole.key, x_px=hole.x_px, y_px=hole.y_px + 300.0)
    assert checking.table(desk)["puddles"][0]["has_other_target"]
    desk.undo(desk.sitting().painting.revision)
    assert not checking.table(desk)["puddles"][0]["has_other_target"]


def test_the_same_dab_judged_again_takes_its_round_s_place(desk, photo, judged):
    checking, table, _ = judged
    again = checking.judge(desk, asked(desk, table, photo[1], state="dry"))
    (only,) = again["puddles"][0]["rounds"]
    assert only["state"] == "dry"


def test_other_parts_are_pencilled_in_before_a_look_and_taken_back(desk):
    checking, plum = Checking(), desk.sitting().holes[1].key
    by_recipe = puddle_of(checking.table(desk), plum)
    assert not by_recipe["pencilled"]
    table = checking.mixed(desk, {"hole": plum, "parts": "4½ white, 1 burnt umber, ¼ black"})
    said = puddle_of(table, plum)
    assert said["pencilled"]
    assert said["now"]["words"] == "4½ titanium white + 1 burnt umber + ¼ ivory black"
    table = checking.mixed(desk, {"hole": plum, "parts": said["now"]["words"]})
    assert puddle_of(table, plum)["now"]["words"] == said["now"]["words"]
    with refused(UsageError, match="some black"):
        checking.mixed(desk, {"hole": plum, "parts": "4½ white, some black"})
    back = checking.mixed(desk, {"hole": plum, "parts": ""})
    assert puddle_of(back, plum)["now"] == by_recipe["now"]


def puddle_of(table, hole):
    return next(puddle for puddle in table["puddles"] if puddle["hole"] == hole)


@pytest.mark.parametrize("written", ["62, 14, 38", "#6a5f3c", "10YR 5/4"])
def test_the_known_colour_is_written_as_at_the_prompt(desk, photo, judged, written):
    _, table, _ = judged
    given = asked(desk, table, dict(photo[1]) | {"reference": photo[1]["white"]})
    read = check_asked(given | {"reference_colour": written}, desk.folder, desk.folder, None)
    np.testing.assert_allclose(read.reference.lab, parse_colour(written))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"places": {}}, "Click the dab"),
        ({"places": None}, "'places'"),
        ({"places": {"dab": 7}}, "'places'|dab"),
        ({"way": "guessed"}, "'way'"),
        ({"way": "card"}, "no dab card yet; point to the dab"),
        ({"photo": "0000"}, "not on the table"),
        ({"hole": "none"}, "no longer there"),
        ({"state": "damp"}, "damp"),
        ({"light": "candle"}, "candle"),
        ({"light": "same"}, "leave the light unknown"),
        ({"grey_lstar": 0}, "cannot be 0"),
        ({"reference_lab": [50, None, 0], "reference": True}, r"a\*"),
        ({"reference_lab": None, "reference": True}, "known colour: L"),
        ({"alone": True}, "point to the grey card, or to a dab of known colour"),
    ],
)
def test_what_makes_no_sense_is_told_in_the_page_s_words(desk, photo, judged, change, says):
    checking, table, _ = judged
    given = asked(desk, table, dict(photo[1])) | change
    if given.pop("reference", False):
        given["places"] = photo[1] | {"reference": photo[1]["white"]}
    if given.pop("alone", False):
        given["places"] = {"dab": photo[1]["dab"]}
    with refused(UsageError, match=says, remedies=REMEDIES) as told:
        checking.judge(desk, given)
    said = sentence_of(told.value, REMEDIES)
    assert "--" not in said
    assert "refmatch " not in said
    assert len(checking.table(desk)["puddles"][0]["rounds"]) == 1


def test_the_puddle_now_is_what_was_seen_of_it(judged):
    puddle = judged[1]["puddles"][0]
    now, last = puddle["now"], puddle["rounds"][-1]
    assert now["colour"] == last["colour"]
    assert now["delta_e_00"] == last["delta_e_00"]


def test_who_speaks_of_an_older_round_is_told(desk, judged):
    checking, table, _ = judged
    hole, other = (puddle["hole"] for puddle in table["puddles"])
    with refused(StaleRevision, match="looked at meanwhile"):
        checking.did(desk, {"hole": hole, "pile": 1, "number": 2, "correction": 1})
    with refused(UsageError, match="No dab of 'plum'"):
        checking.take_back(desk, {"hole": other, "pile": 1, "number": 1})
    with refused(UsageError, match=r"^Say what was done\.$"):
        checking.did(desk, {"hole": hole, "pile": 1, "number": 1})
    with refused(UsageError, match="'added'"):
        checking.did(desk, {"hole": hole, "pile": 1, "number": 1, "added": ["core"]})


def test_what_is_no_photo_leaves_the_one_on_the_table(desk, judged, tmp_path):
    checking, table, _ = judged
    letter = tmp_path / "letter.jpg"
    letter.write_text("Dear painter")
    with refused(PhotoError, match=r"letter\.jpg"):
        checking.lay(desk, letter)
    assert checking.table(desk)["photo"]["key"] == table["photo"]["key"]


class Cleared:
    """A desk from which tubes were put away, nothing being mixed anew for it."""

    def __init__(self, desk, away):
        self.desk, self.away = desk, away

    def sitting(self):
        sitting = self.desk.sitting()
        painting = sitting.painting
        asked = replace(painting.asked, away=self.away)
        return replace(sitting, painting=replace(painting, asked=asked))


def test_a_puddle_s_nudges_are_of_the_tubes_on_the_table(desk, judged):
    hole = desk.sitting().holes[0].key
    label, lesson = lesson_on(desk, hole)
    painting = desk.sitting().painting
    assert label == JUG
    believed = belief_now(painting, JUG, box_of(painting))
    assert lesson.lab == pytest.approx(believed.lab, abs=1e-6)
    assert [each.direction for each in lesson.instead][:2] == ["lighter", "darker"]
    gone = next(each.tube for each in lesson.nudges if each.direction == "cooler")
    away = (gone, black_of(desk.sitting().box).name)
    _, lesson = lesson_on(Cleared(desk, away), JUG)
    assert not set(away) & {each.tube for each in (*lesson.nudges, *lesson.instead)}
    assert len(lesson.nudges) == len(directions_of(lesson.lab))
    with refused(PaintingError, match="no target 'quince'"):
        lesson_on(desk, "quince")


def test_the_dab_card_is_laid_out_and_what_no_longer_holds_is_said(desk):
    with refused(CardError, match="no dab card yet"):
        dab_card.printed(desk)
    dab_card.lay_out(desk, "a4", 52.0)
    assert dab_card.printed(desk)[1].startswith(b"%PDF")
    assert [each.target for each in dab_card_of(desk.folder).targets] == [JUG, PLUM]
    do(desk, "name", hole=desk.sitting().holes[1].key, label="damson")
    card = Checking().table(desk)["card"]
    assert (card["grey_lstar"], card["holds"]) == (52.0, True)
    assert {flag["name"] for flag in card["flags"]} == {"target_changed", "target_not_on_card"}
    assert all("lay the dab card out anew" in flag["text"] for flag in card["flags"])
    desk.undo(desk.sitting().painting.revision)


def test_the_page_names_no_command_and_no_option():
    box = built_in_box().without(["ivory black"])
    with refused(BoxError, match=r"has no black; point to no black\.$", remedies=REMEDIES):
        black_of(box)
    told = Flag("target_changed", targets=("pear",))
    assert "lay the dab card out anew" in sentence_of(told, REMEDIES)
    assert "'refmatch card --painting FOLDER'" in sentence_of(told, PROMPT)


def test_only_so_many_photos_lie_on_tables(desk, photo, tmp_path, monkeypatch):
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    checkings = Checkings()
    first = checkings.of("first")
    first.lay(desk, photo[0])
    assert checkings.of("first") is first
    for number in range(MOST_KEPT):
        checkings.of(str(number))
    assert checkings.of("first") is not first
    assert first.table(desk)["photo"] is None
    last = checkings.of("last")
    last.lay(desk, photo[0])
    checkings.put_away()
    assert last.table(desk)["photo"] is None
    assert not list(tmp_path.iterdir())
