"""The saved form comes back exactly; what it cannot read it says in a sentence."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refmatch.errors import PaintingError
from refmatch.painting.asked import Asked, AskedHole, AskedMixing, AskedPlan
from refmatch.painting.form import from_bytes, from_dict, renamed, to_bytes, to_dict, upgraded
from refmatch.painting.model import Painting
from refmatch.photo.light.balance import AskedLight
from refmatch.photo.load import Frame
from refmatch.plan.amounts import Canvas
from refmatch.say.sentence import sentence_of
from tests.painting import example
from tests.refusals import refused


def test_round_trip_is_exact():
    painting = example.painting()
    again = from_dict(to_dict(painting))
    assert to_bytes(again) == to_bytes(painting)
    for before, after in zip(painting.targets, again.targets, strict=True):
        assert np.array_equal(before.lab, after.lab)
    assert np.array_equal(painting.balance.matrix, again.balance.matrix)
    assert again.recipes[0].recipes[0].steps[0].text == painting.recipes[0].recipes[0].steps[0].text
    assert again.title == painting.title
    assert again.asked == painting.asked


def test_random_floats_survive_to_the_last_bit():
    rng = np.random.default_rng(5)
    painting = example.painting(1)
    for _ in range(50):
        lab = rng.normal(size=3) * 10.0 ** rng.integers(-12, 3)
        target = replace(painting.targets[0], lab=lab, share=float(rng.random()))
        again = from_bytes(to_bytes(replace(painting, targets=(target,))))
        assert again.targets[0].lab.tobytes() == lab.tobytes()
        assert again.targets[0].share == target.share


def test_an_older_painting_s_flags_and_light_are_read():
    """Before sentences were kept apart, they were saved with what they are said of."""
    saved = to_dict(example.painting(1))
    saved["balance"]["words"] = "warm, about 3200 K"
    saved["flags"] = [{"name": "clipped", "text": "4 % of the photo is clipped."}]
    found = from_dict(saved)
    assert found.balance.cast_kelvin == 3187.5
    assert [sentence_of(flag) for flag in found.flags] == ["4 % of the photo is clipped."]


def test_any_text_survives():
    title = 'Ζωγράφος → “ñandú” 汉 \u2028 \\ " \n 🎨'
    assert from_bytes(to_bytes(example.asking(example.painting(1), title=title))).title == title


def test_not_a_number_is_never_saved():
    broken = example.painting(1)
    target = replace(broken.targets[0], lab=np.array([np.nan, 0.0, 0.0]))
    with pytest.raises(ValueError, match="JSON"):
        to_bytes(replace(broken, targets=(target,)))


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        (("schema",), 99, "newer refmatch"),
        (("schema",), 0, "not one that refmatch wrote"),
        (("schema",), "1", "names no schema"),
        (("schema",), True, "names no schema"),
        (("title",), 7, "wrong at 'asked.title'"),
        (("targets", 0, "lab"), [1.0, 2.0], "three numbers"),
        (("targets", 0, "lab"), [1.0, 2.0, "three"], r"wrong at 'targets\[0\].lab'"),
        (("targets", 0, "x_px"), "left", r"wrong at 'targets\[0\].x_px'"),
        (("targets",), [], "do not belong together"),
        (("chosen", 0), 3, "choice for"),
        (("chosen", 0), -1, "choice for"),
        (("unheard_of",), 1, "wrong, or something is missing"),
        (("balance", "matrix"), [1.0], "three numbers"),
    ],
)
def test_a_form_gone_wrong_is_told(path, value, says):
    form = json.loads(to_bytes(example.painting(2)))
    place = form
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    with refused(PaintingError, match=says):
        from_dict(form)


@pytest.mark.parametrize("data", [b"", b"{", b"[]", b"null", b"\xff\xfe", b'{"schema": 1}'])
def test_what_is_no_painting_is_told(data):
    with pytest.raises(PaintingError):
        from_bytes(data)


def test_every_field_is_needed_or_has_a_default():
    form = to_dict(example.painting(1))
    optional = {"parts_by", "plan", "flags", "pictures", "rounds", "sheets"} | {
        "looks",
        "learnings",
        "learns",
        "step",
        "revision",
    }
    for name in set(form) - optional - {"schema"}:
        short = {key: value for key, value in form.items() if key != name}
        with refused(PaintingError, match="is wrong"):
            from_dict(short)
    for name in optional:
        assert from_dict({key: value for key, value in form.items() if key != name})


def test_older_forms_climb_one_schema_at_a_time(monkeypatch):
    monkeypatch.setattr(
        "refmatch.painting.form.UPGRADES",
        {1: lambda saved: {**saved, "path": [1]}, 2: lambda saved: {**saved, "path": [1, 2]}},
    )
    assert upgraded({"schema": 1}, 3) == {"schema": 3, "path": [1, 2]}


def test_a_painting_saved_by_the_first_schema_still_opens():
    """The file was written by the commit before schema 2; it is kept as it was."""
    old = Path(__file__).with_name("painting-schema-1.json").read_bytes()
    painting = from_bytes(old)
    assert painting.title == json.loads(old)["title"]
    assert painting.frame == Frame(0, 0, 900, 600)
    assert painting.asked.light.saved is not None
    assert painting.asked.light.saved.method == painting.balance.method
    assert [hole.label for hole in painting.asked.holes] == ["pear, lit side", "pear, turning"]
    assert painting.targets[0].spread_delta_e_00 == 1.25
    assert len(painting.recipes) == 2
    assert from_bytes(to_bytes(painting)).frame == painting.frame


def test_what_was_asked_is_saved_once_and_read_where_it_stood_twice():
    painting = example.asking(example.painting(1), finish="matt")
    form = to_dict(painting)
    assert form.keys().isdisjoint({"title", "box", "finish"})
    twice = form | {"title": "Plums", "box": form["asked"]["box"], "finish": "satin"}
    opened = from_dict(twice)
    # what the recipes were made with
    assert (opened.title, opened.finish, opened.box) == ("Plums", "satin", painting.box)


def test_what_was_asked_survives():
    hole = AskedHole("h1", 10.25, 20.5, 30.0, "pear", ("ultramarine",), (), "fewest tubes")
    asked = Asked(
        "Pears",
        "box",
        AskedLight("neutral", 1.5, 2.5, 9.0),
        Frame(1, 2, 30, 40),
        Canvas(30.0, 40.0, 5.0),
        (hole,),
        ("ivory black",),
        mixing=AskedMixing(3, 20, ("burnt sienna",), lamp="A"),
        plan=AskedPlan(False, 5, ("ultramarine",)),
    )
    painting = replace(example.painting(1), asked=asked, step=7, revision=9)
    again = from_bytes(to_bytes(painting))
    assert (again.asked, again.step, again.revision) == (asked, 7, 9)


def saved_by(name: str) -> tuple[dict, Painting]:
    """Return what the commit before schema 4 wrote, as it was, and as it opens now."""
    data = Path(__file__).with_name(f"painting-schema-3-{name}.json").read_bytes()
    return json.loads(data), from_bytes(data)


@pytest.mark.parametrize("name", ["command", "page"])
def test_results_of_the_third_schema_are_kept_as_they_were(name):
    old, painting = saved_by(name)
    again = to_dict(painting)
    assert again["asked"]["title"] == old["title"]
    for key in ("chosen", "words", "families", "values", "table"):
        assert again[key] == old[key], key
    named = renamed(old)
    assert again["recipes"] == named["recipes"]
    words = {"words": old["balance"]["words"]}
    assert {**again["balance"], **words} == named["balance"]
    for target, before, hole in zip(again["targets"], old["targets"], old["holes"], strict=True):
        assert {key: target[key] for key in before} == before
        assert target["spread_delta_e_00"] == hole["spread_delta_e_00"]
        assert target["clipped_fraction"] == hole["clipped_fraction"]
    assert painting.plan is None


def test_what_a_command_of_the_third_schema_asked_for_is_asked_for_still():
    """Its places were those of the crop, and its tubes called as the painter called them."""
    _, painting = saved_by("command")
    asked = painting.asked
    assert (asked.title, asked.frame) == ("House", Frame(20, 0, 180, 150))
    assert [(hole.x_px, hole.y_px, hole.label) for hole in asked.holes] == [
        (60.0, 30.0, "sky"),
        (160.0, 67.0, ""),
    ]
    assert asked.away == ("phthalo green",)
    assert asked.mixing == AskedMixing(3, 12, ("ultramarine",), easy_on_black=True)
    assert asked.light.method == "saved"
    assert asked.light.keep_light == 20.0


def test_what_a_page_of_the_third_schema_was_asked_for_is_asked_for_still():
    old, painting = saved_by("page")
    asked = painting.asked
    assert asked.mixing == AskedMixing(3, finish="matt")
    assert asked.away == ("phthalo green",)
    assert asked.canvas == Canvas(40.0, 30.0, 10.0)
    assert [hole.key for hole in asked.holes] == [hole["key"] for hole in old["asked"]["holes"]]
    shares = [target["share"] for target in old["targets"]]
    assert [hole.share for hole in asked.holes] == shares
    assert sum(shares) == pytest.approx(1.0)
